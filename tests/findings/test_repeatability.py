"""Adopted and current repeatability of a method, and whether they differ."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from sitegen.findings.comparisons import Repeats, current_scatter
from sitegen.findings.repeatability import (
    current_repeatability,
    repeatability_finding,
)

# The published repeats: s_r 0.0258740949 with eight degrees of freedom.
GROUPS = {
    "a.fine.high": (182.4, 176.9, 188.3),
    "b.fine.high": (241.0, 250.2, 246.1),
    "c.fine.high": (98.4, 95.1, 97.9, 101.2),
    "d.fine.high": (310.5, 322.8),
}


def repeats(name: str, each: tuple[float, ...], *, told: bool = True) -> Repeats:
    return Repeats(name, "decay-a", "pm2_5", each, told=told)


PUBLISHED = [repeats(*item) for item in GROUPS.items()]


def test_published_repeatability() -> None:
    """The published repeats give the published figure and its degrees of freedom."""
    got = current_repeatability(PUBLISHED)
    assert got is not None
    assert got.cv == pytest.approx(0.0258740949, abs=5e-11)
    assert (got.degrees, got.configurations, got.runs) == (8.0, 4, 12)
    assert got.limit == pytest.approx(math.exp(2.77181 * 0.0258740949) - 1, rel=1e-5)
    assert (got.enough, got.good, got.variable, got.steady_cv) == (
        True,
        False,
        (),
        None,
    )


def test_scatter_alike_by_scipys_bartlett() -> None:
    """Whether settings scatter alike is what SciPy's test of the logarithms says."""
    got = current_repeatability(PUBLISHED)
    want = stats.bartlett(*[np.log(each) for each in GROUPS.values()])
    assert got is not None
    assert got.bartlett_p == pytest.approx(float(want.pvalue), rel=1e-9)
    assert got.homogeneous is True


def test_a_setting_that_scatters_more_is_named() -> None:
    """It stays in the current figure, is named, and the figure without it is told."""
    wild = repeats("e.fine.high", (100.0, 160.0, 75.0))
    got = current_repeatability([*PUBLISHED, wild])
    assert got is not None
    assert got.variable == ("e.fine.high",)
    assert got.homogeneous is False
    assert got.steady_cv == pytest.approx(0.0258740949, abs=5e-11)
    logs = np.log(wild.each_m3h)
    pooled = (8 * 0.0258740949**2 + 2 * float(logs.var(ddof=1))) / 10
    assert got.cv == pytest.approx(math.sqrt(pooled), rel=1e-8)


def test_what_cannot_be_told_from_zero_is_left_out() -> None:
    """Near zero a logarithm shows the natural decay's scatter; single runs add none."""
    near = repeats("e.fine.low", (3.0, 0.4), told=False)
    negative = repeats("f.fine.low", (3.0, -0.4))
    single = repeats("g.fine.low", (80.0,))
    assert current_repeatability([*PUBLISHED, near, negative, single]) == (
        current_repeatability(PUBLISHED)
    )
    scatter = current_scatter([*PUBLISHED, near])
    assert scatter is not None
    assert scatter.degrees == 8.0


def test_repeats_that_differ_much_are_not_left_out_for_it() -> None:
    """A configuration whose common interval holds zero counts if its runs do not."""
    far = repeats("e.fine.high", (40.0, 120.0), told=True)
    got = current_repeatability([*PUBLISHED, far])
    assert got is not None
    assert got.configurations == 5


@pytest.mark.parametrize(
    "given", [[], [repeats("a.b.c", (1.0,))], [repeats("a.b.c", (2.0, 2.0))]]
)
def test_nothing_without_repeats_that_differ(given: list[Repeats]) -> None:
    """Without repeats, or with equal ones, there is no repeatability."""
    assert current_repeatability(given) is None
    found = repeatability_finding("decay-a", "pm2_5", (0.03, 20.0, "2026-01-01"), given)
    assert (found.current, found.ratio, found.differ) == (None, None, False)
    assert found.adopted is not None


def test_few_degrees_of_freedom_are_not_enough() -> None:
    """Seven degrees of freedom must not be adopted; the figure is told all the same."""
    seven = [PUBLISHED[0], PUBLISHED[1], PUBLISHED[2]]
    got = current_repeatability(seven)
    assert got is not None
    assert (got.degrees, got.enough) == (7.0, False)


@pytest.mark.parametrize(
    ("cv", "differ"), [(0.026, False), (0.012, True), (0.06, True)]
)
def test_adopted_against_current(cv: float, differ: bool) -> None:
    """The two differ where SciPy's two-sided F is below 5 %, and the ratio is told."""
    found = repeatability_finding(
        "decay-a", "pm2_5", (cv, 40.0, "2026-01-01"), PUBLISHED
    )
    assert found.current is not None
    ratio = found.current.cv / cv
    f = stats.f(8, 40)
    p = 2 * min(float(f.sf(ratio**2)), float(f.cdf(ratio**2)))
    assert found.ratio == pytest.approx(ratio)
    assert found.p == pytest.approx(p)
    assert found.differ is (p < 0.05) is differ


def test_without_an_adopted_one_nothing_is_compared() -> None:
    """Where none is adopted the current one stands alone."""
    found = repeatability_finding("decay-a", "pm2_5", None, PUBLISHED)
    assert (found.adopted, found.ratio, found.differ) == (None, None, False)
    assert found.current is not None
