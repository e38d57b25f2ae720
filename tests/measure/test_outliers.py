"""Results that stand off: told of, and kept."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.outliers import ROBUST_Z_LIMIT, grubbs, robust_z

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
