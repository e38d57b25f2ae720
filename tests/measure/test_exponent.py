"""The ratio of two sensors' exponents."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from sitegen.errors import MeasureError
from sitegen.measure.exponent import exponent_ratio

LOG = np.linspace(5.7, 3.3, 40)


@pytest.mark.parametrize("ratio", [0.94, 1.0, 1.08])
def test_exact_readings(ratio: float) -> None:
    """Without noise the slope is the ratio of exponents, whatever the gains."""
    assert exponent_ratio(ratio * LOG + 0.4, LOG) == pytest.approx(ratio, rel=1e-12)


def test_the_other_way_round_is_the_reciprocal() -> None:
    """Unlike a plain regression the slope treats both sensors alike."""
    rng = np.random.default_rng(1)
    a, b = 1.05 * LOG + rng.normal(0, 0.3, 40), LOG + rng.normal(0, 0.3, 40)
    assert exponent_ratio(a, b) * exponent_ratio(b, a) == pytest.approx(1.0)


def test_equal_noise_does_not_flatten_the_slope() -> None:
    """The mean slope of noisy pairs is the true one, where plain regression is low."""
    rng = np.random.default_rng(2)
    got = [
        exponent_ratio(LOG + rng.normal(0, 0.3, 40), LOG + rng.normal(0, 0.3, 40))
        for _ in range(400)
    ]
    assert np.mean(got) == pytest.approx(1.0, abs=0.02)


def test_slope_is_the_first_principal_axis() -> None:
    """With equal noise the slope is that of the cloud's first principal axis."""
    rng = np.random.default_rng(3)
    a, b = 1.1 * LOG + rng.normal(0, 0.2, 40), LOG + rng.normal(0, 0.2, 40)
    axis = np.linalg.eigh(np.cov(b, a))[1][:, 1]
    assert exponent_ratio(a, b) == pytest.approx(axis[1] / axis[0], rel=1e-10)


def test_missing_readings_are_left_out() -> None:
    """Only times at which both sensors read count."""
    a, b = 1.05 * LOG, LOG.copy()
    a[3], b[10] = np.nan, np.nan
    assert exponent_ratio(a, b) == pytest.approx(1.05)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: exponent_ratio(LOG, LOG[:-1]), "lengths_differ"),
        (lambda: exponent_ratio([LOG], [LOG]), "lengths_differ"),
        (lambda: exponent_ratio([1.0, 2.0, np.nan], [1.0, 2.0, 3.0]), "too_few_points"),
        (lambda: exponent_ratio([1.0, 2.0, 3.0], [4.0] * 3), "constant_series"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """Readings that carry no slope raise a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code
