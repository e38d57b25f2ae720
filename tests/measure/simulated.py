"""Seeded generators of noise and of whole runs, whose true decay is known."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from sitegen.measure.run_data import DecayMethod, Event, RunData, RunKind, Sensor

Floats = npt.NDArray[np.float64]

START = 400.0
"""Level at which simulated runs start, in the sensors' unit."""


def drifting(
    rng: np.random.Generator, t_s: Floats, sd: float, tau_s: float, size: int = 1
) -> Floats:
    """Return stationary first-order autoregressions at times in s, (size, n)."""
    out = np.empty((size, t_s.size))
    out[:, 0] = sd * rng.normal(size=size)
    for i in range(1, t_s.size):
        rho = float(np.exp(-(t_s[i] - t_s[i - 1]) / tau_s))
        fresh = sd * np.sqrt(1 - rho**2) * rng.normal(size=size)
        out[:, i] = rho * out[:, i - 1] + fresh
    return out


def simulated(
    seed: int,
    *,
    decay_per_h: float = 6.35,
    kind: RunKind = "decay",
    readings: int = 72,
    step_s: float = 30.0,
    fractions: tuple[str, ...] = ("pm2_5",),
    sensors: int = 3,
    step_at: int | None = None,
    step: float = 0.0,
    exponents: Sequence[float] = (),
    loss_scale: float | None = None,
) -> RunData:
    """Return one run of three low-cost sensors in a mixed room, device on at 0.

    White noise 2 %, room fluctuation 2.5 % over 90 s, sensor fluctuation 2 % over
    90 s, additive 0.5, quantum 1, zero offset 1 known to 0.2, gains 15 %, dropouts.

    Args:
        seed: of the chance.
        decay_per_h: true decay, 1/h.
        kind: of the run.
        readings: how many.
        step_s: time between them, s.
        fractions: size fractions that each sensor reads.
        sensors: how many.
        step_at: number of the first reading after a step, or None.
        step: its size as a share of the level.
        exponents: each sensor's: it reads the level to that power; all 1 if empty.
        loss_scale: the sensors read C/(1 + C/scale); None for no loss.
    """
    rng = np.random.default_rng(seed)
    t_s: Floats = np.arange(0.0, readings) * step_s
    level = np.log(START) - decay_per_h * t_s / 3600.0
    if step_at is not None:
        level = level + np.log1p(step) * (np.arange(readings) >= step_at)
    room = level + drifting(rng, t_s, 0.025, 90.0)[0]
    values: dict[str, dict[str, Floats]] = {}
    known: dict[str, dict[str, Sensor]] = {}
    for number in range(sensors):
        name = f"bench-{chr(ord('a') + number)}"
        gain = 0.15 * rng.normal()
        values[name], known[name] = {}, {}
        for fraction in fractions:
            own = drifting(rng, t_s, 0.02, 90.0)[0] + 0.02 * rng.normal(size=readings)
            offset = 1.0 + 0.2 * rng.normal()
            power = exponents[number] if exponents else 1.0
            shown = np.exp(np.log(START) + power * (room - np.log(START)) + own + gain)
            if loss_scale is not None:
                shown /= 1.0 + np.exp(room) / loss_scale
            net = shown + 0.5 * rng.normal(size=readings)
            raw = np.round(net + offset)
            for start in np.flatnonzero(rng.random(readings) < 0.01):
                raw[start : start + int(rng.integers(1, 6))] = np.nan
            values[name][fraction] = raw
            known[name][fraction] = Sensor(1.0, 0.2, 1.0, 0.5, 1000.0, 30000.0, 10.0)
    return RunData(
        kind=kind,
        elapsed_min=t_s / 60.0,
        readings=values,
        sensors=known,
        method=DecayMethod(),
        events=(Event(0.0, "device_on"),),
    )
