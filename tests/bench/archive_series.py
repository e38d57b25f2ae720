"""Simulated decay series for archives of any size; invented numbers, plain physics.

The room's level is a background, an injection at 4 min that is well mixed at 8 min,
and from then on an exponential decay; with the device on at 9 min its rate is natural
decay plus CADR over volume. Each sensor logs that with a gain, an offset and noise of
its own, rounded as the instrument rounds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

VOLUME_M3 = 31.4
NATURAL_PER_H = 0.35
INJECTED_MIN, MIXED_MIN, ON_MIN = 4.0, 8.0, 9.0
_BACKGROUND, _PEAK = 3.0, 360.0
_WAIT_MIN = 3.0


@dataclass(frozen=True, slots=True)
class Course:
    """How a run goes.

    Attributes:
        total_per_h: decay rate while it counts, 1/h.
        end_min: when the series ends, minutes.
        device: whether a device runs.
    """

    total_per_h: float
    end_min: float
    device: bool


def decay_course(cadr_m3h: float) -> Course:
    """Return the course of a run of a device: long enough to fall to a tenth."""
    total = NATURAL_PER_H + cadr_m3h / VOLUME_M3
    fitted = 60 * math.log(10) / total * 1.12 + 1.5
    return Course(total, ON_MIN + _WAIT_MIN + fitted, device=True)


def natural_course(rng: np.random.Generator) -> Course:
    """Return the course of a natural decay, a little different each time."""
    rate = NATURAL_PER_H * math.exp(0.08 * rng.standard_normal())
    return Course(rate, MIXED_MIN + 66.0, device=False)


def series_text(
    rng: np.random.Generator, course: Course, points: int, sensors: tuple[str, ...]
) -> str:
    """Return a series file.

    Args:
        rng: random generator.
        course: how the run goes.
        points: number of readings aimed at; the step is whole multiples of 5 s.
        sensors: instrument ids; each has a column of PM2.5.
    """
    step_s = max(5, round(course.end_min * 60 / points / 5) * 5)
    time_s = np.arange(0, course.end_min * 60 + step_s / 2, step_s)
    level = _level(time_s / 60, course)
    columns = [
        _logged(rng, level, gain=0.94 + 0.06 * at, zero=0.9 - 0.6 * at)
        for at in range(len(sensors))
    ]
    head = ",".join(["elapsed_s", *(f"{name}.pm2_5" for name in sensors)])
    table = np.column_stack([time_s, *columns]).astype(int)
    lines = [",".join(map(str, row)) for row in table.tolist()]
    return "# simulated, not measured\n" + head + "\n" + "\n".join(lines) + "\n"


def _level(time_min: Floats, course: Course) -> Floats:
    """Return the true level, µg/m³, shape (n,)."""
    rising = np.clip((time_min - INJECTED_MIN) / (MIXED_MIN - INJECTED_MIN), 0, 1)
    on_min = ON_MIN if course.device else MIXED_MIN
    before_h = np.clip(time_min - MIXED_MIN, 0, on_min - MIXED_MIN) / 60
    after_h = np.clip(time_min - on_min, 0, None) / 60
    fall = np.exp(-NATURAL_PER_H * before_h - course.total_per_h * after_h)
    return np.asarray(_BACKGROUND + _PEAK * rising * fall)


def _logged(
    rng: np.random.Generator, level: Floats, *, gain: float, zero: float
) -> Floats:
    """Return what a sensor logs of a level, whole µg/m³, shape (n,)."""
    noise = 1 + 0.012 * rng.standard_normal(level.shape)
    added = 0.5 * rng.standard_normal(level.shape)
    return np.maximum(np.rint(gain * level * noise + zero + added), 0)
