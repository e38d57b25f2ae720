"""The method's tables of noise-free errors, recomputed with the plain fit.

Sixty readings a window, decay 6/h, start at 300: what the tables were made with.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest
from scipy import optimize

from sitegen.measure.fit import fit_slope
from sitegen.measure.free_background import fit_background
from sitegen.measure.plain import ols_fit
from sitegen.measure.signal import log_signal
from sitegen.measure.sizing import steady_reduction

Floats = npt.NDArray[np.float64]

READINGS = 60
START = 300.0
ENDS = (0.5, 0.2, 0.1, 0.05, 0.02)


def window(decay_per_h: float, end: float) -> Floats:
    """Return times, hours, to where a decay has left a share of its start."""
    return np.linspace(0.0, math.log(1.0 / end) / decay_per_h, READINGS)


def bias_pct(t_h: Floats, log_reading: Floats, decay_per_h: float) -> float:
    """Return the error of the fitted decay, %."""
    return 100.0 * (ols_fit(t_h, log_reading).decay_per_h / decay_per_h - 1.0)


@pytest.mark.parametrize(
    ("offset", "biases"),
    [
        (0.5, (-0.2385, -0.3971, -0.5993, -0.9221, -1.6675)),
        (1.0, (-0.4765, -0.7919, -1.1915, -1.8229, -3.2466)),
        (3.0, (-1.4252, -2.3494, -3.4926, -5.2317, -8.8460)),
        (10.0, (-4.6999, -7.5414, -10.8032, -15.2579, -22.9433)),
    ],
)
def test_offset_left_in(offset: float, biases: tuple[float, ...]) -> None:
    """A zero offset left in the readings flattens the decay by what the table says."""
    for end, bias in zip(ENDS, biases, strict=True):
        t = window(6.0, end)
        reading = (START - offset) * np.exp(-6.0 * t) + offset
        got = bias_pct(t, log_signal(reading), 6.0)
        assert got == pytest.approx(bias, abs=5.1e-5)
        assert bias_pct(t, log_signal(reading, offset), 6.0) == pytest.approx(
            0.0, abs=1e-9
        )


@pytest.mark.parametrize(
    ("end", "left", "subtracted"), [(0.1, -0.199, 3.577), (0.05, -0.307, 5.749)]
)
def test_background_of_the_room(end: float, left: float, subtracted: float) -> None:
    """Subtracting the level before the test harms far more than leaving it in."""
    natural, total, before = 0.35, 6.35, 3.0
    t = window(total, end)
    plateau = before * natural / total
    level = plateau + (START - plateau) * np.exp(-total * t)
    assert bias_pct(t, np.log(level), total) == pytest.approx(left, abs=5.1e-4)
    over = bias_pct(t, log_signal(level, before), total)
    assert over == pytest.approx(subtracted, abs=5.1e-4)
    assert bias_pct(t, log_signal(level, plateau), total) == pytest.approx(
        0.0, abs=1e-9
    )


def test_free_background_takes_an_offset_out() -> None:
    """Where the plain fit is 15 % low the fit with a free background is exact."""
    t = window(6.0, 0.05)
    reading = (START - 10.0) * np.exp(-6.0 * t) + 10.0
    assert fit_background(t, np.log(reading)).decay.value == pytest.approx(
        6.0, rel=1e-6
    )


@pytest.mark.parametrize(
    ("start_over_scale", "bias"),
    [(0.01, -0.360), (0.02, -0.717), (0.05, -1.768), (0.1, -3.459), (0.2, -6.633)],
)
def test_coincidence_loss(start_over_scale: float, bias: float) -> None:
    """Readings C/(1 + C/scale) flatten a window to 10 % by what the table says."""
    t = window(6.0, 0.1)
    level = START * np.exp(-6.0 * t)
    reading = level / (1.0 + level * start_over_scale / START)
    assert bias_pct(t, np.log(reading), 6.0) == pytest.approx(bias, abs=5.1e-4)


def test_slow_sensor() -> None:
    """A lag of 20 s shifts time by 20.3409 s, scales by 1.0344828, keeps the decay."""
    k, lag_h = 6.0, 20.0 / 3600.0
    t = 3.0 * lag_h + window(k, 0.1)
    # The exact answer of a first-order sensor that stood at the level at t = 0.
    settled = 1.0 / (1.0 - k * lag_h)
    reading = settled * np.exp(-k * t) + (1.0 - settled) * np.exp(-t / lag_h)
    assert bias_pct(t, np.log(reading), k) == pytest.approx(0.0, abs=0.05)
    straight = ols_fit(t, np.log(settled * np.exp(-k * t)))
    assert math.exp(straight.intercept) == pytest.approx(1.0344828, abs=5e-8)
    shift_s = 3600.0 * straight.intercept / straight.decay_per_h
    assert shift_s == pytest.approx(20.3409, abs=5e-5)


@pytest.mark.parametrize(
    ("end", "decay"), [(0.5, 6.4549), (0.2, 6.3506), (0.1, 6.2790), (0.05, 6.2142)]
)
def test_two_sizes_at_once(end: float, decay: float) -> None:
    """Of a mixture of 5.7/h and 8.5/h the fitted decay falls as the window grows."""

    def level(t_h: Floats | float) -> Floats:
        t = np.asarray(t_h)
        return np.asarray(0.7 * np.exp(-5.7 * t) + 0.3 * np.exp(-8.5 * t))

    last = optimize.brentq(lambda t: float(level(t)) - end, 0.0, 2.0, xtol=1e-14)
    t = np.linspace(0.0, float(last), READINGS)
    assert ols_fit(t, np.log(level(t))).decay_per_h == pytest.approx(decay, abs=5.1e-5)


def test_exponent_scales_every_decay() -> None:
    """A sensor that reads C^1.05 makes decay and interval 1.05 times as large."""
    rng = np.random.default_rng(3)
    t = window(6.0, 0.1)
    y = math.log(START) - 6.0 * t + rng.normal(0, 0.02, READINGS)
    base, bent = fit_slope(t, y), fit_slope(t, 1.05 * y)
    for name in ("decay_per_h", "low_per_h", "high_per_h", "sd_per_h"):
        want = 1.05 * getattr(base, name)
        assert getattr(bent, name) == pytest.approx(want, rel=1e-9)


def test_what_the_factor_of_1_55_means() -> None:
    """4.8387 changes an hour against other losses of 1.20968/h leave a fifth."""
    assert steady_reduction(4.83870968, 1.20968) == pytest.approx(0.8, abs=5e-7)
