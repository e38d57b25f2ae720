"""Results that stand off: told of, and kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.outliers import (
    ROBUST_Z_LIMIT,
    grubbs,
    robust_z,
    standing_off,
)
from sitegen.measure.repeatability import Repeatability

RUNS = (181.0, 178.5, 183.9, 180.2, 141.0)


def test_grubbs_vector() -> None:
    """The last of five runs stands off by the stated statistic."""
    got = grubbs(RUNS)
    assert got.index == 4
    assert got.statistic == pytest.approx(1.77823297, abs=5e-9)
    assert got.critical == pytest.approx(1.71503731, abs=5e-9)
    assert got.outlying


def test_robust_z_vector() -> None:
    """The same run lies 15.5529634 robust deviations below the median."""
    z = robust_z(RUNS)
    assert z[4] == pytest.approx(-15.5529634, abs=5e-8)
    assert z[3] == 0.0
    assert (np.abs(z) > ROBUST_Z_LIMIT).tolist() == [False] * 4 + [True]


def test_nothing_is_taken_away() -> None:
    """Both tests leave the list of results as it was."""
    runs = np.array(RUNS)
    grubbs(runs)
    assert robust_z(runs).size == 5
    assert runs.tolist() == list(RUNS)


@pytest.mark.parametrize("n", [4, 7, 20])
def test_critical_value_by_scipys_t(n: int) -> None:
    """The critical value follows from SciPy's t at the two-sided point."""
    x = np.random.default_rng(n).normal(size=n)
    t2 = float(stats.t.isf(0.05 / (2 * n), n - 2)) ** 2
    want = (n - 1) / n**0.5 * (t2 / (n - 2 + t2)) ** 0.5
    assert grubbs(x).critical == pytest.approx(want, rel=1e-9)


def test_false_alarms_are_as_rare_as_said() -> None:
    """Of 2000 sets of six clean results about one in twenty is flagged."""
    draws = np.random.default_rng(6).normal(size=(2000, 6))
    share = np.mean([grubbs(x).outlying for x in draws])
    assert 0.035 <= share <= 0.065


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: grubbs([1.0, 1.1, 9.0]), "too_few_values"),
        (lambda: grubbs([2.0, 2.0, 2.0, 2.0]), "constant_series"),
        (lambda: grubbs([2.0, 2.0, 2.0, np.nan]), "not_finite"),
        (lambda: robust_z([1.0, 2.0]), "too_few_values"),
        (lambda: robust_z([2.0, 2.0, 2.0, 7.0]), "constant_series"),
        (lambda: robust_z([1.0, 2.0, np.inf]), "not_finite"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """Too few results, or results without scatter, raise a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code


KNOWN = Repeatability(0.03, 20.0)


def test_the_run_that_stands_off_is_named() -> None:
    """Five repeats with one far off: Grubbs' test names it, with its figures in ln."""
    got = standing_off(RUNS)
    x = np.log(RUNS)
    assert got is not None
    assert (got.index, got.rule, got.outlying) == (4, "grubbs", True)
    want = float(abs(x[4] - x.mean()) / x.std(ddof=1))
    assert got.statistic == pytest.approx(want, rel=1e-12)
    assert got.limit == pytest.approx(1.71503731, abs=5e-9)


@pytest.mark.parametrize(
    ("results", "outlying"),
    [
        # ln 1.20 = 0.182 is beyond 2.77181 x 0.03 = 0.0832 and beyond 3.5 deviations.
        ((100.0, 101.0, 120.0), True),
        # ln 1.08 = 0.077 is not, however well the two others agree.
        ((100.0, 100.1, 108.0), False),
        # Far off, but the rest scatter as much.
        ((100.0, 112.0, 126.0), False),
    ],
)
def test_three_repeats_need_the_repeatability_limit(
    results: tuple[float, ...], outlying: bool
) -> None:
    """Of three a repeat stands off beyond the robust z and the repeatability limit."""
    got = standing_off(results, KNOWN)
    assert got is not None
    assert (got.index, got.rule, got.outlying) == (2, "robust", outlying)
    assert standing_off(results) is None


@pytest.mark.parametrize(
    "results", [(), (100.0,), (100.0, 130.0), (5.0, 5.0, 5.0, 5.0), (5.0, 5.0, 5.0)]
)
def test_nothing_can_be_said_of_few_or_equal_repeats(results: Sequence[float]) -> None:
    """Two repeats, or equal ones, have none that stands off."""
    assert standing_off(results, KNOWN) is None


def test_results_that_are_not_positive_are_tested_as_they_are() -> None:
    """With a negative result there is no logarithm; Grubbs' test still holds."""
    got = standing_off((-1.0, 0.5, 0.0, -0.2, 30.0), KNOWN)
    assert got is not None
    assert (got.index, got.rule, got.outlying) == (4, "grubbs", True)
    assert standing_off((-1.0, 0.5, 30.0), KNOWN) is None


@pytest.mark.parametrize(("m", "most"), [(3, 0.03), (5, 0.08), (8, 0.08)])
def test_clean_repeats_are_seldom_flagged(m: int, most: float) -> None:
    """Of clean sets about 2 % are flagged, and from four repeats on Grubbs' 5 % more.

    The robust z alone flags 29, 21 and 14 % of sets of three, five and eight.
    """
    draws = 100 * np.exp(np.random.default_rng(m).normal(scale=0.03, size=(2000, m)))
    told = [standing_off(x, KNOWN) for x in draws]
    assert np.mean([one is not None and one.outlying for one in told]) < most
    alone = np.mean([np.abs(robust_z(np.log(x))).max() > 3.5 for x in draws])
    assert alone > 0.10


def test_one_run_far_off_is_mostly_found() -> None:
    """A run that is off by five standard deviations is found in over half of cases."""
    draws = np.random.default_rng(5).normal(scale=0.03, size=(1000, 5))
    draws[:, 0] += 0.15
    told = [standing_off(100 * np.exp(x), KNOWN) for x in draws]
    found = [one is not None and one.outlying and one.index == 0 for one in told]
    assert np.mean(found) > 0.55
