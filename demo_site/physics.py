"""How the simulated aerosol decays and what the simulated instruments log of it.

One decay, with C the true level of a size fraction:

    dC/dt = S - k C      k = natural decay + CADR / V while the device runs
    logged = round(gain (L C M exp(room + local))^p / (1 + C / Csat) exp(noise)
             + zero + additive noise), cut off at the ceiling, with dropouts

where M is the mixing transient after injection and after switching on, L the
first-order lag of the instrument, room an AR(1) fluctuation shared by all instruments
and local one of each instrument's own.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

GRID_S = 5.0  # time step of the simulation, s
INJECTION_MIN = 3.0  # how long the nebuliser runs, min
Array = NDArray[np.float64]


def generator(run_id: str) -> np.random.Generator:
    """Return the random generator that belongs to a run, seeded from its id."""
    digest = hashlib.sha256(f"quernholm:{run_id}".encode()).digest()
    return np.random.Generator(np.random.PCG64(int.from_bytes(digest[:8], "big")))


@dataclass(frozen=True, slots=True)
class Course:
    """What happens in a run, in minutes of elapsed time.

    Attributes:
        injected: start of the injection.
        mixing_off: mixing fan off.
        device_on: when the device starts; nothing for a natural decay.
        device_off: when it stops before the end, if it does.
        end: end of the series.
        step_s: time between readings, s.
    """

    injected: float
    mixing_off: float
    device_on: float | None
    device_off: float | None
    end: float
    step_s: float


def bulk(
    time_min: Array,
    course: Course,
    rates_per_h: tuple[float, float],
    levels: tuple[float, float],
    incident: dict[str, Any],
) -> Array:
    """Return the true level of one size fraction.

    Args:
        time_min: elapsed time, minutes, shape (n,), equally spaced.
        course: what happens when.
        rates_per_h: natural decay rate, and CADR over volume, 1/h.
        levels: steady level before, and what the injection adds, µg/m³.
        incident: what goes wrong, as the plan says.

    Returns:
        The level, µg/m³, shape (n,).
    """
    natural_per_h, extra_per_h = rates_per_h
    background, peak = levels
    step_h = (time_min[1] - time_min[0]) / 60
    level = np.empty_like(time_min)
    level[0] = background
    on = math.inf if course.device_on is None else course.device_on
    on += incident.get("late_min", 0.0)
    off = math.inf if course.device_off is None else course.device_off
    door = incident.get("door_at_min", math.inf)
    for at in range(1, len(time_min)):
        now = time_min[at]
        loss = natural_per_h + (extra_per_h if on < now <= off else 0.0)
        if door < now <= door + 1.0:
            # The door lets a share of the air out within a minute.
            loss += -math.log(1 - incident["door_drop"]) * 60
        steady = background * natural_per_h / loss
        if course.injected < now <= course.injected + INJECTION_MIN:
            steady += peak / (INJECTION_MIN / 60) / loss
        level[at] = steady + (level[at - 1] - steady) * math.exp(-loss * step_h)
    return level


def fluctuation(
    rng: np.random.Generator, length: int, spread: float, time_s: float
) -> Array:
    """Return a stationary AR(1) series, shape (length,), with mean 0.

    Args:
        rng: random generator.
        length: number of steps of ``GRID_S``.
        spread: standard deviation.
        time_s: correlation time, s.
    """
    keep = math.exp(-GRID_S / time_s)
    shocks = rng.standard_normal(length) * spread
    values = np.empty(length)
    values[0] = shocks[0]
    fresh = math.sqrt(1 - keep * keep)
    for at in range(1, length):
        values[at] = keep * values[at - 1] + fresh * shocks[at]
    return values


def mixing(
    rng: np.random.Generator, time_min: Array, course: Course, rule: dict[str, float]
) -> Array:
    """Return the factor of incomplete mixing after injection and switching on."""
    factor = np.zeros_like(time_min)
    for start, part in (
        (course.injected + INJECTION_MIN, 1.0),
        (course.device_on, 0.4),
    ):
        if start is not None:
            amplitude = rng.normal(0.0, rule["amplitude"] * part)
            since_s = np.clip((time_min - start) * 60, 0, None)
            since = np.exp(-since_s / rule["efold_s"])
            factor += np.where(time_min >= start, amplitude * since, 0.0)
    return np.exp(factor)


def logged(
    rng: np.random.Generator,
    level: Array,
    local: Array,
    sensor: dict[str, float],
    every: int,
) -> Array:
    """Return what an instrument logs of a true level.

    Args:
        rng: random generator.
        level: true level at the instrument on the fine grid, µg/m³, shape (n,).
        local: the instrument's own fluctuation, log scale, shape (n,).
        sensor: the instrument's truth.
        every: a reading is taken at each ``every``-th step of the grid.

    Returns:
        The readings, µg/m³, NaN where dropped.
    """
    seen = level * np.exp(local)
    share = 1 - math.exp(-GRID_S / sensor["lag_s"])
    for at in range(1, len(seen)):
        seen[at] = seen[at - 1] + share * (seen[at] - seen[at - 1])
    seen = seen[::every]
    count = len(seen)
    value = (
        sensor["gain"] * seen ** sensor["exponent"] / (1 + seen / sensor["saturation"])
    )
    value = value * np.exp(sensor["noise"] * rng.standard_normal(count))
    value += sensor["zero"] + sensor["zero_noise"] * rng.standard_normal(count)
    value = np.minimum(
        np.round(value / sensor["step"]) * sensor["step"], sensor["ceiling"]
    )
    for start in np.flatnonzero(rng.random(count) < sensor["dropout"] / 2):
        value[start : start + 1 + int(rng.integers(0, 3))] = np.nan
    return value


def spoil(name: str, values: Array, time_min: Array, incident: dict[str, Any]) -> None:
    """Put a fault of the log into one instrument's readings, in place."""
    if "gap_min" in incident and incident.get("instrument", name) == name:
        start, end = incident["gap_min"]
        values[(time_min >= start) & (time_min <= end)] = np.nan
    if incident.get("stale") == name:
        for at in range(len(values)):
            values[at] = values[at - at % 6]
    if incident.get("stuck") == name:
        stuck = time_min >= incident["stuck_at_min"]
        values[stuck] = values[~stuck][-1]
