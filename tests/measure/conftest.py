"""Series and seeded generators that several tests share."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest

from sitegen.measure.run_data import RunData
from tests.measure.simulated import drifting, simulated

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
    return drifting


@pytest.fixture
def simulated_run() -> Callable[..., RunData]:
    """The generator of one simulated run."""
    return simulated
