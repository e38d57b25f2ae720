"""Pooled repeatability and the tests whether groups scatter alike."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.repeatability import (
    LIMIT_FACTOR,
    Repeatability,
    bartlett,
    cochran,
    geometric_centre,
    is_variable,
    pooled_repeatability,
    pooled_without_each,
    repeatability_factor,
    repeatability_limit,
    variance_ratio,
)

A = (182.4, 176.9, 188.3)
B = (241.0, 250.2, 246.1)
C = (98.4, 95.1, 97.9, 101.2)
D = (310.5, 322.8)
ALL = (A, B, C, D)
S_R = Repeatability(0.0258740949, 8.0)


def test_pooled_vector() -> None:
    """Four devices have the stated pooled deviation and degrees of freedom."""
    got = pooled_repeatability(ALL)
    assert got.s_r == pytest.approx(0.0258740949, rel=3e-9)
    assert got.nu == 8.0


@pytest.mark.parametrize(
    ("results", "value", "low", "high"),
    [
        (A, 182.474001, 176.295164, 188.869397),
        (B, 245.737812, 237.416769, 254.350493),
        (C, 98.1261377, 95.2419871, 101.097627),
        (D, 316.590271, 303.511150, 330.233008),
    ],
)
def test_centres_vector(
    results: tuple[float, ...], value: float, low: float, high: float
) -> None:
    """Each device's geometric mean and interval are those stated."""
    got = geometric_centre(results, S_R)
    assert (got.value, got.low, got.high) == pytest.approx((value, low, high), rel=5e-9)


def test_single_results_add_nothing() -> None:
    """A device measured once, or not at all, leaves the pooled scatter as it was."""
    got = pooled_repeatability([*ALL, (500.0,), ()])
    assert got == pooled_repeatability(ALL)


@pytest.mark.parametrize("groups", [ALL, (A, (200.0,), B), (A, B), (A, (200.0,)), (A,)])
def test_pool_without_each(groups: tuple[tuple[float, ...], ...]) -> None:
    """Leaving one out gives what pooling the others gives, or nothing."""
    for at, got in enumerate(pooled_without_each(groups)):
        others = [group for other, group in enumerate(groups) if other != at]
        try:
            rest = pooled_repeatability(others)
        except MeasureError:
            assert got is None
            continue
        assert got is not None
        assert got.s_r == pytest.approx(rest.s_r, rel=1e-12)
        assert got.nu == rest.nu


def test_limit_factor() -> None:
    """Two results differ by less than 2.77181 deviations in 95 % of cases."""
    assert pytest.approx(2.77181, abs=5e-6) == LIMIT_FACTOR


def test_factor_shrinks_with_runs() -> None:
    """The factor is exp(t s_r) for one run and its root for four."""
    one = repeatability_factor(S_R, 1)
    t = float(stats.t.ppf(0.975, 8))
    assert one == pytest.approx(float(np.exp(t * S_R.s_r)), rel=1e-10)
    assert repeatability_factor(S_R, 4) == pytest.approx(one**0.5, rel=1e-12)


def test_variable_at_its_limit() -> None:
    """A device is variable when its variance exceeds the 99 % point of F."""
    edge = (float(stats.f.ppf(0.99, 1, 8)) * S_R.s_r**2) ** 0.5
    for share, variable in ((0.999, False), (1.001, True)):
        # Two logs at +/- d/2 have the variance d^2/2.
        half = share * edge * 2**0.5 / 2.0
        pair = [float(np.exp(5.0 + half)), float(np.exp(5.0 - half))]
        assert is_variable(pair, S_R) is variable


def test_no_device_of_the_vector_is_variable() -> None:
    """None of the four devices scatters more than their pool allows."""
    assert not any(is_variable(results, S_R) for results in ALL)


def test_one_result_is_never_variable() -> None:
    """Without repeats there is no scatter to judge."""
    assert not is_variable([182.0], S_R)
    assert not is_variable([], S_R)


def test_bartlett_is_scipys() -> None:
    """Bartlett's statistic and probability on the logarithms are SciPy's."""
    want = stats.bartlett(*[np.log(results) for results in ALL])
    got = bartlett([(77.0,), *ALL])
    assert got.statistic == pytest.approx(float(want.statistic), rel=1e-9)
    assert got.p == pytest.approx(float(want.pvalue), rel=1e-9)
    deviations = [0.0, *[float(np.std(np.log(r), ddof=1)) for r in ALL]]
    assert got.group == int(np.argmax(deviations))


def test_cochran_at_its_tabled_point() -> None:
    """Of five groups of three, a share of 0.6838 has a probability of 5 %."""
    share = 0.6838
    rest = (1.0 - share) / 4.0
    # Logs at 0 and +/- the root of a variance have that variance.
    groups = [
        np.exp(1e-3 * np.sqrt(v) * np.array([-1.0, 0.0, 1.0]))
        for v in (rest, rest, share, rest, rest)
    ]
    got = cochran(groups)
    assert got.statistic == pytest.approx(share, rel=1e-6)
    assert got.p == pytest.approx(0.05, abs=2e-4)
    assert got.group == 2


def test_cochran_of_equal_groups_and_of_one_that_scatters() -> None:
    """Equal variances are wholly probable, and a single one is not at all."""
    assert cochran([A, [2.0 * one for one in A]]).p == pytest.approx(1.0)
    lone = cochran([(5.0, 5.0), A])
    assert (lone.statistic, lone.p, lone.group) == (1.0, 0.0, 1)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: Repeatability(-0.01, 8.0), "not_positive"),
        (lambda: Repeatability(0.03, 0.0), "not_positive"),
        (lambda: Repeatability(float("nan"), 8.0), "not_positive"),
        (lambda: pooled_repeatability([]), "no_repeats"),
        (lambda: pooled_repeatability([(1.0,), (2.0,)]), "no_repeats"),
        (lambda: pooled_repeatability([(1.0, 0.0)]), "not_positive"),
        (lambda: pooled_repeatability([(1.0, -2.0)]), "not_positive"),
        (lambda: pooled_repeatability([(1.0, np.nan)]), "not_finite"),
        (lambda: geometric_centre([], S_R), "too_few_values"),
        (lambda: geometric_centre([-1.0], S_R), "not_positive"),
        (lambda: repeatability_factor(S_R, 0), "too_few_values"),
        (lambda: is_variable([1.0, -1.0], S_R), "not_positive"),
        (lambda: bartlett([A]), "too_few_values"),
        (lambda: bartlett([A, (1.0,)]), "too_few_values"),
        (lambda: bartlett([A, (5.0, 5.0)]), "constant_series"),
        (lambda: cochran([A, (1.0,)]), "too_few_values"),
        (lambda: cochran([(5.0, 5.0), (6.0, 6.0)]), "constant_series"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """Results without a logarithm or without repeats raise a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code


def test_repeatability_limit() -> None:
    """Two runs differ by less than 1.96 sqrt(2) s_r in ln in 95 % of cases."""
    limit = repeatability_limit(Repeatability(0.036, 58.0))
    assert limit == pytest.approx(math.exp(2.7718076 * 0.036) - 1, rel=1e-7)
    draws = np.random.default_rng(3).normal(scale=0.036, size=(40_000, 2))
    share = np.exp(np.abs(draws[:, 0] - draws[:, 1])) - 1
    assert float(np.mean(share < limit)) == pytest.approx(0.95, abs=0.004)


@pytest.mark.parametrize(
    ("first", "second"),
    [((0.036, 58.0), (0.0478, 84.0)), ((0.05, 10.0), (0.03, 20.0)), ((0.03, 9.0),) * 2],
)
def test_two_repeatabilities_by_scipys_f(
    first: tuple[float, float], second: tuple[float, float]
) -> None:
    """The probability is the two-sided one of SciPy's F, and the order is no matter."""
    got = variance_ratio(Repeatability(*first), Repeatability(*second))
    f = stats.f(first[1], second[1])
    ratio = (first[0] / second[0]) ** 2
    want = 2 * min(float(f.sf(ratio)), float(f.cdf(ratio)))
    assert got.p == pytest.approx(min(want, 1.0), rel=1e-9)
    assert got.ratio == pytest.approx(first[0] / second[0])
    assert got.differ is (want < 0.05)
    back = variance_ratio(Repeatability(*second), Repeatability(*first))
    assert back.p == pytest.approx(got.p)


def test_repeatability_without_scatter_has_no_ratio() -> None:
    """A repeatability of nought cannot be held against another."""
    with pytest.raises(MeasureError, match="not_positive"):
        variance_ratio(Repeatability(0.0, 9.0), Repeatability(0.03, 9.0))
