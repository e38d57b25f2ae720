"""The headline estimator against published vectors and dense matrices."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.fit import fit_slope, fit_slopes

Floats = npt.NDArray[np.float64]
Series = tuple[Floats, Floats]


def test_device_on_vector(d1: Series) -> None:
    """The device-on series has the decay and interval stated in the method's text."""
    fit = fit_slope(d1[0], np.log(d1[1]))
    assert fit.decay_per_h == pytest.approx(6.29216719, rel=1e-8)
    assert fit.sd_per_h == pytest.approx(0.124389537, rel=1e-8)
    assert fit.low_per_h == pytest.approx(6.02659297, rel=1e-5)
    assert fit.high_per_h == pytest.approx(6.53271974, rel=1e-5)
    assert (fit.n, fit.nu) == (46, 44)


def test_natural_vector(d2: Series) -> None:
    """The natural series has the decay and interval stated in the method's text."""
    fit = fit_slope(d2[0], np.log(d2[1]))
    assert fit.decay_per_h == pytest.approx(0.337051711, rel=1e-8)
    assert fit.sd_per_h == pytest.approx(0.0175007470, rel=1e-8)
    assert fit.low_per_h == pytest.approx(0.300419632, rel=1e-5)
    assert fit.high_per_h == pytest.approx(0.373210829, rel=1e-5)


def dense(t_h: Floats, y: Floats, extra: Floats | None = None) -> dict[str, float]:
    """Compute the estimator by inverting correlation matrices cell by cell."""
    seen = ~np.isnan(y)
    t, y = t_h[seen], y[seen]
    n = t.size
    columns = [np.ones(n), t - t.mean()]
    if extra is not None:
        columns.append(extra[seen])
    X = np.column_stack(columns)
    p = X.shape[1]
    h, T = float(np.median(np.diff(t))), float(t[-1] - t[0])
    like, slope, variance, taus, whites = [], [], [], [], []
    for tau in np.geomspace(0.3 * h, 0.5 * T, 12):
        for w in (0.0, 0.25, 0.5, 0.75, 0.95):
            R = (1 - w) * np.exp(-np.abs(t[:, None] - t) / tau) + w * np.eye(n)
            Ri = np.linalg.inv(R)
            A = X.T @ Ri @ X
            beta = np.linalg.solve(A, X.T @ Ri @ y)
            rest = y - X @ beta
            rss = float(rest @ Ri @ rest)
            nu = n - p
            slope.append(beta[1])
            variance.append(rss / nu * np.linalg.inv(A)[1, 1])
            like.append(
                -0.5 * np.linalg.slogdet(R)[1]
                - 0.5 * np.linalg.slogdet(A)[1]
                - 0.5 * nu * np.log(rss)
            )
            taus.append(tau)
            whites.append(w)
    W = np.exp(np.array(like) - max(like))
    W /= W.sum()
    b, v = np.array(slope), np.array(variance)
    mean = float(W @ b)

    def below(x: float) -> float:
        return float(W @ stats.t.cdf((x - b) / np.sqrt(v), n - p))

    def quantile(q: float) -> float:
        low, high = mean - 20 * np.sqrt(v.max()), mean + 20 * np.sqrt(v.max())
        for _ in range(80):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if below(middle) < q else (low, middle)
        return float(0.5 * (low + high))

    return {
        "decay": -mean,
        "sd": float(np.sqrt(W @ (v + (b - mean) ** 2))),
        "low": -quantile(0.975),
        "high": -quantile(0.025),
        "tau": float(W @ np.array(taus)),
        "white": float(W @ np.array(whites)),
    }


def check_dense(t_h: Floats, y: Floats, extra: Floats | None = None) -> None:
    """Hold the filter to the dense computation at 1e-8 relative."""
    fit, want = fit_slope(t_h, y, extra), dense(t_h, y, extra)
    got = {
        "decay": fit.decay_per_h,
        "sd": fit.sd_per_h,
        "low": fit.low_per_h,
        "high": fit.high_per_h,
        "tau": fit.correlation_h,
        "white": fit.nugget,
    }
    assert got == pytest.approx(want, rel=1e-8)


def test_filter_equals_dense_matrices(d1: Series) -> None:
    """The recursion gives what inverting the correlation matrices gives."""
    check_dense(d1[0], np.log(d1[1]))


def test_filter_equals_dense_matrices_with_gaps_and_unequal_steps(d2: Series) -> None:
    """Missing readings and unequal steps need no imputation."""
    rng = np.random.default_rng(4)
    t_h = d2[0] + rng.uniform(-0.01, 0.01, d2[0].size)
    y = np.log(d2[1])
    y[[0, 4, 12, 13, 14, 15, 30]] = np.nan
    check_dense(t_h, y)


@settings(derandomize=True, deadline=None, max_examples=25)
@given(
    steps=st.lists(st.floats(0.004, 0.04), min_size=12, max_size=50),
    missing=st.sets(st.integers(0, 50), max_size=20),
    decay=st.floats(0.1, 12.0),
    noise=st.floats(0.005, 0.1),
    seed=st.integers(0, 99),
)
def test_filter_equals_dense_matrices_on_any_series(
    steps: list[float], missing: set[int], decay: float, noise: float, seed: int
) -> None:
    """Whatever the steps, gaps, decay and scatter, the two computations agree."""
    t: Floats = np.cumsum([0.0, *steps])
    rng = np.random.default_rng(seed)
    y = 5.0 - decay * t + noise * rng.normal(size=t.size)
    y[[i for i in missing if i < t.size]] = np.nan
    assume((~np.isnan(y)).sum() >= 8)
    check_dense(t, y)


def test_filter_equals_dense_matrices_with_a_further_regressor(d1: Series) -> None:
    """An added column goes through the same recursion."""
    check_dense(d1[0], np.log(d1[1]), (d1[0] - 0.1) ** 2)


def test_missing_rows_equal_absent_rows(d1: Series) -> None:
    """A missing reading counts exactly as a row that was never written."""
    y = np.log(d1[1])
    kept = np.ones(46, dtype=bool)
    kept[[3, 20, 21, 22, 40]] = False
    gappy = np.where(kept, y, np.nan)
    with_nan, without = fit_slope(d1[0], gappy), fit_slope(d1[0][kept], y[kept])
    assert with_nan.decay_per_h == pytest.approx(without.decay_per_h, rel=1e-12)
    assert with_nan.low_per_h == pytest.approx(without.low_per_h, rel=1e-12)


def test_series_fitted_together_equal_series_fitted_alone(d1: Series) -> None:
    """A batch with different missing readings gives each series its own result."""
    y = np.log(d1[1])
    other = y + 0.02 * np.sin(40 * d1[0])
    other[5:9] = np.nan
    together = fit_slopes(d1[0], np.stack([y, other]))
    for got, series in zip(together, (y, other), strict=True):
        alone = fit_slope(d1[0], series)
        assert got.decay_per_h == pytest.approx(alone.decay_per_h, rel=1e-12)
        assert got.high_per_h == pytest.approx(alone.high_per_h, rel=1e-12)


def test_gain_and_clock_do_not_matter(d1: Series) -> None:
    """Another gain or another zero of the clock leaves decay and interval alone."""
    base = fit_slope(d1[0], np.log(d1[1]))
    moved = fit_slope(d1[0] + 7.25, np.log(1.3 * d1[1]))
    assert moved.decay_per_h == pytest.approx(base.decay_per_h, rel=1e-9)
    assert moved.low_per_h == pytest.approx(base.low_per_h, rel=1e-9)
    assert moved.sd_per_h == pytest.approx(base.sd_per_h, rel=1e-9)


def test_rate_scales_with_the_clock(d1: Series) -> None:
    """A clock in other units scales the decay and nothing else."""
    base = fit_slope(d1[0], np.log(d1[1]))
    slow = fit_slope(d1[0] * 60, np.log(d1[1]))
    assert slow.decay_per_h * 60 == pytest.approx(base.decay_per_h, rel=1e-10)
    assert slow.nugget == pytest.approx(base.nugget, rel=1e-9)


def test_line_passes_through_its_intercept(d1: Series) -> None:
    """Wherever the intercept is put, the line and its band are the same."""
    t, y = d1[0], np.log(d1[1])
    at_start, at_end = fit_slope(t, y), fit_slope(t, y, reference_h=0.375)
    assert at_start.line(t) == pytest.approx(at_end.line(t), rel=1e-12)
    low, high = at_start.band(t)
    low_end, high_end = at_end.band(t)
    assert low == pytest.approx(low_end, rel=1e-9)
    assert high == pytest.approx(high_end, rel=1e-9)
    assert np.all(low < at_start.line(t))
    # The band is narrowest inside the data and widest at its ends.
    width = high - low
    assert width.argmin() not in (0, 45)


def test_exact_line_has_its_slope_and_no_spread() -> None:
    """Noise-free readings give their slope and a vanishing interval."""
    t = np.arange(40) / 60.0
    fit = fit_slope(t, 5.0 - 3.0 * t)
    assert fit.decay_per_h == pytest.approx(3.0, rel=1e-9)
    assert fit.high_per_h - fit.low_per_h < 1e-9


def test_three_readings_are_enough() -> None:
    """Three readings give a finite, enormous interval."""
    fit = fit_slope([0.0, 0.1, 0.2], [5.0, 4.7, 4.5])
    assert fit.nu == 1
    assert np.isfinite([fit.low_per_h, fit.high_per_h]).all()
    assert fit.high_per_h - fit.low_per_h > 5.0


@pytest.mark.parametrize(
    ("t_h", "y", "code"),
    [
        ([0.0, 0.1], [1.0, 0.9], "too_few_points"),
        ([0.0, 0.1, 0.2], [1.0, np.nan, 0.9], "too_few_points"),
        ([], [], "too_few_points"),
        (np.arange(9.0), np.full(9, 5.0), "constant_series"),
        (np.arange(9.0), np.full(9, np.nan), "too_few_points"),
        ([0.0, 0.2, 0.1, 0.3], [4.0, 3.0, 2.0, 1.0], "time_not_increasing"),
        ([0.0, 0.1, 0.1, 0.3], [4.0, 3.0, 2.0, 1.0], "time_not_increasing"),
        ([0.0, 0.1, 0.2], [1.0, np.inf, 0.9], "not_finite"),
        ([0.0, np.nan, 0.2], [1.0, 0.95, 0.9], "not_finite"),
        ([0.0, 0.1, 0.2], [1.0, 0.9], "lengths_differ"),
    ],
)
def test_impossible_series_are_refused(
    t_h: npt.ArrayLike, y: npt.ArrayLike, code: str
) -> None:
    """A series that carries no decay raises a typed error and never gives NaN."""
    with pytest.raises(MeasureError) as caught:
        fit_slope(t_h, y)
    assert caught.value.code == code


def test_dependent_regressors_are_refused(d1: Series) -> None:
    """A further column that repeats the time cannot be told apart from it."""
    with pytest.raises(MeasureError, match="regressors_dependent"):
        fit_slope(d1[0], np.log(d1[1]), 2.0 * d1[0] + 1.0)


def test_coverage_of_correlated_noise(drift: Callable[..., Floats]) -> None:
    """The interval covers the truth in 91 to 98 % of 300 runs with mixed noise."""
    rng = np.random.default_rng(20240)
    t_s = np.arange(46) * 30.0
    y = 5.7 - 6.35 * t_s / 3600.0
    y = y + rng.normal(0.0, 0.02, (300, 46)) + drift(rng, t_s, 0.025, 90.0, 300)
    fits = [fit for part in np.split(y, 10) for fit in fit_slopes(t_s / 3600.0, part)]
    share = np.mean([fit.low_per_h <= 6.35 <= fit.high_per_h for fit in fits])
    assert 0.91 <= share <= 0.98
