"""Series and seeded generators that several tests share."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest

from sitegen.measure.run_data import DecayMethod, Event, RunData, RunKind, Sensor

Floats = npt.NDArray[np.float64]

_D1 = np.fromstring(
    """303.3 281.9 265.2 254.8 238.5 228.9 221.4 209.8 199.7 195.0 190.4 171.3 163.7
    159.4 149.2 139.8 132.1 127.9 122.6 113.4 110.9 105.1 101.5 94.7 92.0 84.6 80.2
    78.6 72.7 67.8 64.6 59.6 57.6 56.3 51.0 47.9 44.4 42.5 40.0 38.6 35.5 34.7 32.4
    30.0 30.0 29.3""",
    sep=" ",
)
_D2 = np.fromstring(
    """258.1 259.2 257.2 248.5 250.0 244.4 254.0 236.8 231.8 229.0 224.2 226.6 224.8
    212.4 222.2 220.5 217.6 208.5 209.2 211.0 205.7 204.4 204.2 200.5 193.4 195.6
    195.3 194.1 187.2 184.9 187.7""",
    sep=" ",
)


@pytest.fixture
def d1() -> tuple[Floats, Floats]:
    """Hours and concentrations of a simulated run, device on, true decay 6.35/h."""
    return np.linspace(0.0, 0.375, 46), _D1.copy()


@pytest.fixture
def d2() -> tuple[Floats, Floats]:
    """Hours and concentrations of a simulated natural run, true decay 0.35/h."""
    return np.linspace(0.0, 1.0, 31), _D2.copy()


@pytest.fixture
def drift() -> Callable[..., Floats]:
    """The autoregression that the simulated runs are made with."""
    return _drift


@pytest.fixture
def simulated_run() -> Callable[..., RunData]:
    """The generator of one simulated run."""
    return _simulated_run


def _drift(
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


def _simulated_run(
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
) -> RunData:
    """Return one run of three low-cost sensors in a mixed room, device on at 0.

    White noise 2 %, room fluctuation 2.5 % over 90 s, sensor fluctuation 2 % over
    90 s, additive 0.5, quantum 1, zero offset 1 known to 0.2, gains 15 %, dropouts.
    """
    rng = np.random.default_rng(seed)
    t_s: Floats = np.arange(0.0, readings) * step_s
    level = np.log(400.0) - decay_per_h * t_s / 3600.0
    if step_at is not None:
        level = level + np.log1p(step) * (np.arange(readings) >= step_at)
    room = level + _drift(rng, t_s, 0.025, 90.0)[0]
    values: dict[str, dict[str, Floats]] = {}
    known: dict[str, dict[str, Sensor]] = {}
    for number in range(sensors):
        name = f"bench-{chr(ord('a') + number)}"
        gain = 0.15 * rng.normal()
        values[name], known[name] = {}, {}
        for fraction in fractions:
            own = _drift(rng, t_s, 0.02, 90.0)[0] + 0.02 * rng.normal(size=readings)
            offset = 1.0 + 0.2 * rng.normal()
            net = np.exp(room + own + gain) + 0.5 * rng.normal(size=readings)
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
