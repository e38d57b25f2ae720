"""Decay and background fitted together."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from scipy import optimize

from sitegen.errors import MeasureError
from sitegen.measure.fit import fit_slope
from sitegen.measure.free_background import fit_background

Floats = npt.NDArray[np.float64]
Series = tuple[Floats, Floats]

T = np.arange(60) * 30 / 3600


def curve(t_h: Floats, log_a: float, k: float, b: float) -> Floats:
    """Return ln of a decay over a background."""
    return np.asarray(np.log(np.exp(log_a - k * t_h) + b))


@pytest.mark.parametrize("background", [-2.0, 0.0, 5.0, 40.0])
def test_exact_curve(background: float) -> None:
    """Noise-free readings give back decay, background and amplitude, below 0 too."""
    got = fit_background(T, curve(T, np.log(300.0), 6.0, background))
    assert got.decay.value == pytest.approx(6.0, rel=1e-8)
    assert got.background.value == pytest.approx(background, abs=1e-6)
    assert got.amplitude == pytest.approx(300.0, rel=1e-8)
    assert got.n == 60


def test_scipys_curve_lies_inside_the_interval() -> None:
    """Plain least squares of the curve finds much the same decay and background."""
    rng = np.random.default_rng(1)
    y = curve(T, np.log(300.0), 6.0, 10.0) + rng.normal(0, 0.02, 60)
    want, _ = optimize.curve_fit(curve, T, y, p0=[5.7, 5.0, 1.0])
    got = fit_background(T, y)
    assert abs(got.decay.value - want[1]) < 0.5 * got.decay.sd
    assert abs(got.background.value - want[2]) < 0.5 * got.background.sd
    assert got.amplitude == pytest.approx(float(np.exp(want[0])), rel=1e-6)


def test_covers_the_truth_at_a_price() -> None:
    """Decay and background are covered in 60 runs, by a far wider interval."""
    rng = np.random.default_rng(2)
    clean, held, wider = curve(T, np.log(300.0), 6.0, 5.0), [], []
    for _ in range(60):
        noise = rng.normal(0, 0.02, 60)
        got = fit_background(T, clean + noise)
        held.append(
            got.decay.low <= 6.0 <= got.decay.high
            and got.background.low <= 5.0 <= got.background.high
        )
        known = fit_slope(T, np.log(300.0) - 6.0 * T + noise)
        width = known.high_per_h - known.low_per_h
        wider.append((got.decay.high - got.decay.low) / width)
    assert np.mean(held) >= 0.9
    assert 2.5 <= np.median(wider) <= 3.5


def test_unknown_offset_does_not_bias_it() -> None:
    """An offset of 3 left in, which bends a plain fit by 3 %, is found."""
    y = np.log(300.0 * np.exp(-6.0 * T) + 3.0)
    assert fit_slope(T, y).decay_per_h < 5.8
    assert fit_background(T, y).decay.value == pytest.approx(6.0, rel=1e-7)


def test_vector_series_agrees_with_its_truth(d1: Series) -> None:
    """The device-on series, made without a background, allows none and 6.35/h."""
    got = fit_background(d1[0], np.log(d1[1]))
    assert got.background.low < 0.0 < got.background.high
    assert got.decay.low < 6.35 < got.decay.high


def test_missing_readings_are_left_out() -> None:
    """A missing reading counts as a row that was never written."""
    rng = np.random.default_rng(3)
    y = curve(T, np.log(300.0), 6.0, 5.0) + rng.normal(0, 0.02, 60)
    kept = np.ones(60, dtype=bool)
    kept[[0, 7, 30, 31, 32]] = False
    got = fit_background(T, np.where(kept, y, np.nan))
    want = fit_background(T[kept], y[kept])
    assert got.decay.value == pytest.approx(want.decay.value, rel=1e-7)
    assert got.decay.low == pytest.approx(want.decay.low, rel=1e-6)
    assert got.n == 55


def outcome(t_h: Floats, y: Floats) -> str:
    """Tell whether a fit has finite limits, or why there is none."""
    try:
        got = fit_background(t_h, y)
    except MeasureError as error:
        return error.code
    limits = [got.decay.low, got.decay.high, got.background.low, got.background.high]
    return "finite" if np.isfinite(limits).all() else "not a number"


def test_never_nan() -> None:
    """Noise without any decay gives finite limits or a typed error."""
    rng = np.random.default_rng(0)
    sizes = rng.integers(5, 40, 50)
    found = {outcome(np.sort(rng.random(n)), rng.normal(0, 3, n)) for n in sizes}
    assert found == {"finite", "no_convergence"}


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: fit_background(T[:4], [4.0, 3.0, 2.5, 2.2]), "too_few_points"),
        (lambda: fit_background(T, np.full(60, 3.0)), "constant_series"),
        (lambda: fit_background(T, np.full(59, 3.0)), "lengths_differ"),
        (lambda: fit_background(T[::-1], -T), "time_not_increasing"),
        (lambda: fit_background(T[:6], [3.0, 1.0, np.inf, 1, 1, 1]), "not_finite"),
        (lambda: fit_background(T[:6], [1.0, 0, 1, 0, 1, 0]), "no_convergence"),
    ],
)
def test_impossible_series_are_refused(call: Callable[[], object], code: str) -> None:
    """Readings that hold no decay over a background raise a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code
