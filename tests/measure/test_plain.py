"""Plain least squares and batch means."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pytest
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.plain import batch_means_fit, ols_fit

Series = tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]


def test_device_on_vector(d1: Series) -> None:
    """The device-on series has the plain figures stated in the method's text."""
    fit = ols_fit(d1[0], np.log(d1[1]))
    assert fit.decay_per_h == pytest.approx(6.33574633, rel=1e-8)
    assert fit.intercept == pytest.approx(5.73206415, rel=1e-8)
    assert fit.se_per_h == pytest.approx(0.0416765164, rel=1e-8)
    assert fit.r_squared == pytest.approx(0.998099736, rel=1e-8)
    assert fit.residual_sd == pytest.approx(0.0312718550, rel=1e-8)
    assert fit.lag_one == pytest.approx(0.704275463, rel=1e-8)
    assert fit.durbin_watson == pytest.approx(0.573788719, rel=1e-8)
    assert fit.low_per_h == pytest.approx(6.25175283, rel=1e-8)
    assert fit.high_per_h == pytest.approx(6.41973983, rel=1e-8)


def test_natural_vector(d2: Series) -> None:
    """The natural series has the plain figures stated in the method's text."""
    fit = ols_fit(d2[0], np.log(d2[1]))
    assert fit.decay_per_h == pytest.approx(0.337354504, rel=1e-8)
    assert fit.intercept == pytest.approx(5.55397659, rel=1e-8)
    assert fit.se_per_h == pytest.approx(0.0111283595, rel=1e-8)
    assert fit.r_squared == pytest.approx(0.969408956, rel=1e-8)
    assert fit.residual_sd == pytest.approx(0.0184729278, rel=1e-8)
    assert fit.lag_one == pytest.approx(0.0914748017, rel=1e-8)
    assert fit.durbin_watson == pytest.approx(1.78345488, rel=1e-8)
    assert fit.low_per_h == pytest.approx(0.314594453, rel=1e-8)
    assert fit.high_per_h == pytest.approx(0.360114555, rel=1e-8)


def test_missing_readings_are_left_out(d1: Series) -> None:
    """NaN readings are skipped, as SciPy's fit of the others shows."""
    y = np.log(d1[1])
    y[[2, 30]] = np.nan
    kept = ~np.isnan(y)
    want = stats.linregress(d1[0][kept], y[kept])
    fit = ols_fit(d1[0], y)
    assert fit.n == 44
    assert fit.decay_per_h == pytest.approx(-float(want.slope), rel=1e-10)
    assert fit.se_per_h == pytest.approx(float(want.stderr), rel=1e-10)


def test_batch_means_are_a_line_through_five_means(d1: Series) -> None:
    """Batch means equal SciPy's line through the five blocks' means, with t of 3."""
    t, y = d1[0], np.log(d1[1])
    cuts = [0, 10, 19, 28, 37, 46]
    blocks = [slice(a, b) for a, b in pairwise(cuts)]
    want = stats.linregress(
        [t[b].mean() for b in blocks], [y[b].mean() for b in blocks]
    )
    half = float(stats.t.ppf(0.975, 3)) * float(want.stderr)
    decay, low, high = batch_means_fit(t, y)
    assert decay == pytest.approx(-float(want.slope), rel=1e-10)
    assert (low, high) == pytest.approx((decay - half, decay + half), rel=1e-10)


@pytest.mark.parametrize(
    ("y", "code"),
    [
        ([1.0, np.nan, 2.0, np.nan], "too_few_points"),
        ([1.0, 1.0, 1.0, 1.0], "constant_series"),
        ([1.0, -np.inf, 2.0, 3.0], "not_finite"),
        ([1.0, 2.0, 3.0], "lengths_differ"),
    ],
)
def test_impossible_series_are_refused(y: list[float], code: str) -> None:
    """Too few, constant, infinite or mismatched readings raise a typed error."""
    with pytest.raises(MeasureError) as caught:
        ols_fit(np.arange(4.0), y)
    assert caught.value.code == code


def test_batch_means_need_two_readings_a_block() -> None:
    """Nine readings cannot fill five blocks of two."""
    with pytest.raises(MeasureError, match="too_few_points"):
        batch_means_fit(np.arange(9.0), np.arange(9.0) ** 2)
