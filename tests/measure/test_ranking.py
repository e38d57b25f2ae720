"""Ratios, rank intervals, the top group and several comparisons at once."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.ranking import (
    NaturalShare,
    Ratio,
    holm,
    natural_half_width,
    rank_intervals,
    ratio_by_own_scatter,
    ratio_by_repeatability,
)
from sitegen.measure.repeatability import Repeatability

A = (182.4, 176.9, 188.3)
B = (241.0, 250.2, 246.1)
D = (310.5, 322.8)
S_R = Repeatability(0.0258740949, 8.0)


def test_ratio_vector() -> None:
    """B over A has the stated ratio, interval, t and probability."""
    got = ratio_by_repeatability(B, A, S_R)
    assert got.ratio == pytest.approx(1.3467004, abs=5e-8)
    assert got.low == pytest.approx(1.2826658, abs=5e-8)
    assert got.high == pytest.approx(1.4139318, abs=5e-8)
    assert got.t == pytest.approx(14.089554, abs=5e-7)
    assert got.p == pytest.approx(6.25533e-07, rel=1e-6)
    assert got.nu == 8.0
    assert got.verdict() == "higher"


def test_ratio_vector_of_unequal_numbers() -> None:
    """D over B, two runs against three, has the stated ratio and interval."""
    got = ratio_by_repeatability(D, B, S_R)
    assert got.ratio == pytest.approx(1.2883254, abs=5e-8)
    assert got.low == pytest.approx(1.2200308, abs=5e-8)
    assert got.high == pytest.approx(1.3604430, abs=5e-8)


def test_the_other_way_round() -> None:
    """A over B is the reciprocal, and lower."""
    there, back = ratio_by_repeatability(B, A, S_R), ratio_by_repeatability(A, B, S_R)
    assert back.ratio == pytest.approx(1.0 / there.ratio)
    assert back.low == pytest.approx(1.0 / there.high)
    assert back.p == pytest.approx(there.p)
    assert back.verdict() == "lower"


def test_welch_vector() -> None:
    """Results whose logarithms are the vector's have its t, freedom and p."""
    x, y = np.array([182.4, 176.9, 188.3]), np.array([190.7, 186.0, 195.9])
    got = ratio_by_own_scatter(np.exp(x / 100.0), np.exp(y / 100.0), None, None)
    assert got.t == pytest.approx(-1.91135073, abs=5e-9)
    assert got.nu == pytest.approx(3.92317762, abs=5e-9)
    assert got.p == pytest.approx(0.129939352, abs=5e-10)


def test_welch_works_on_logarithms() -> None:
    """The test of the results themselves is SciPy's on their logarithms."""
    other = (190.7, 186.0, 195.9)
    want = stats.ttest_ind(np.log(A), np.log(other), equal_var=False)
    got = ratio_by_own_scatter(A, other, None, None)
    interval = want.confidence_interval(0.95)
    assert got.p == pytest.approx(float(want.pvalue), rel=1e-9)
    assert got.low == pytest.approx(math.exp(float(interval.low)), rel=1e-9)
    assert got.high == pytest.approx(math.exp(float(interval.high)), rel=1e-9)
    assert got.verdict() == "not_distinguishable"


def test_intervals_that_overlap_can_still_differ() -> None:
    """Two results differ by their ratio though their own intervals overlap."""
    single = Repeatability(0.03, 20.0)
    x, y = [200.0] * 3, [190.0] * 3
    half = math.exp(float(stats.t.ppf(0.975, 20)) * 0.03 / math.sqrt(3.0))
    assert 190.0 * half > 200.0 / half
    assert ratio_by_repeatability(x, y, single).low > 1.0


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [
        (1.01, 1.30, "higher"),
        (0.70, 0.99, "lower"),
        (0.95, 1.20, "not_distinguishable"),
        (1.00, 1.20, "not_distinguishable"),
        (0.80, 1.00, "not_distinguishable"),
        (0.95, 1.05, "equivalent"),
        (1.01, 1.09, "equivalent"),
        (1.01, 1.10, "higher"),
        (0.91, 1.09, "equivalent"),
        (0.90, 1.05, "not_distinguishable"),
        (0.90, 0.99, "lower"),
    ],
)
def test_verdict_at_its_edges(low: float, high: float, verdict: str) -> None:
    """An interval wholly within 10 % of 1 is equivalent, else 1 decides."""
    ratio = Ratio(math.sqrt(low * high), low, high, 0.0, 8.0, 0.5)
    assert ratio.verdict() == verdict


def test_false_differences_are_as_rare_as_said() -> None:
    """Of 1000 pairs of like devices about one in twenty is told apart."""
    rng = np.random.default_rng(5)
    pooled = Repeatability(0.03, 1e9)
    draws = 200.0 * np.exp(0.03 * rng.normal(size=(1000, 2, 3)))
    told = [
        not (ratio.low <= 1.0 <= ratio.high)
        for ratio in (ratio_by_repeatability(a, b, pooled) for a, b in draws)
    ]
    assert 0.03 <= np.mean(told) <= 0.07


def test_holm_vector() -> None:
    """The four probabilities are adjusted as stated."""
    assert holm([0.001, 0.012, 0.03, 0.2]) == pytest.approx([0.004, 0.036, 0.06, 0.2])


def test_holm_keeps_the_order_given() -> None:
    """Adjusted probabilities stand where the given ones stood, never above 1."""
    assert holm([0.2, 0.001, 0.03, 0.012]) == pytest.approx([0.2, 0.004, 0.06, 0.036])
    assert holm([0.6, 0.7]) == [1.0, 1.0]
    assert holm([]) == []


def test_holm_never_falls() -> None:
    """A larger probability is never adjusted below a smaller one."""
    assert holm([0.01, 0.011, 0.5]) == pytest.approx([0.03, 0.03, 0.5])


def slow_ranks(x: np.ndarray, s: np.ndarray, critical: float) -> list[tuple[int, int]]:
    """Compare every result with every other."""
    out = []
    for i in range(x.size):
        limit = critical * np.hypot(s[i], s)
        out.append(
            (
                1 + int(np.sum(x - x[i] > limit)),
                x.size - int(np.sum(x[i] - x > limit)),
            )
        )
    return out


@pytest.mark.parametrize("seed", range(8))
def test_ranks_by_search_equal_all_pairs(seed: int) -> None:
    """The sorted search gives what comparing all pairs gives, ties and zeros too."""
    rng = np.random.default_rng(seed)
    # In steps of 1/64 sums are exact, so that ties at the limit are the same in both.
    x = np.round(rng.normal(320.0, 20.0, 120)) / 64.0
    s = rng.choice([0.0, 1.0, 3.0, 4.0, 20.0 * (seed % 2)], 120) / 64.0
    got = [(r.low, r.high) for r in rank_intervals(x, s, 2.0)]
    assert got == slow_ranks(x, s, 2.0)


def test_rank_intervals_by_hand() -> None:
    """One clear winner, two that cannot be told apart, and one clear last."""
    got = rank_intervals([3.0, 1.0, 1.1, 0.0], [0.1] * 4, 2.0)
    assert [(r.low, r.high) for r in got] == [(1, 1), (2, 3), (2, 3), (4, 4)]


def test_nothing_to_rank() -> None:
    """An empty set has no rank intervals."""
    assert rank_intervals([], [], 2.0) == []


def test_no_chaining() -> None:
    """A is like B and B like C, but A and C differ: the intervals say just that."""
    got = rank_intervals([0.0, 0.25, 0.5], [0.1] * 3, 2.0)
    assert [(r.low, r.high) for r in got] == [(2, 3), (1, 3), (1, 2)]


def test_equal_results_have_equal_rank_intervals() -> None:
    """Same value and same error, same interval, wherever they stand."""
    x = [5.0, 4.0, 5.0, 4.5, 5.0]
    got = rank_intervals(x, [0.01] * 5, 2.0)
    assert got[0] == got[2] == got[4]
    assert (got[0].low, got[0].high) == (1, 3)


def test_exactly_at_the_limit_is_not_better() -> None:
    """A distance equal to the critical one is not significant."""
    got = rank_intervals([0.0, 0.5], [0.25, 0.0], 2.0)
    assert [(r.low, r.high) for r in got] == [(1, 2), (1, 2)]


@pytest.mark.parametrize("number", [63, 64, 129, 700])
def test_rank_intervals_are_those_of_all_pairs(number: int) -> None:
    """Whatever is found by search, few or many, is what comparing every pair gives."""
    generator = np.random.default_rng(number)
    x = generator.normal(5.0, 0.5, number)
    se = generator.uniform(0.01, 0.08, number)
    # Some are equal, and a few errors are far wider than the rest.
    x[::7], se[::9] = x[1], se[1]
    se[:: max(1, number // 5)] = 0.6
    better = x[None, :] - x[:, None] > 2.0 * np.hypot(se[:, None], se[None, :])
    want = [
        (1 + int(above), number - int(below))
        for above, below in zip(better.sum(axis=1), better.sum(axis=0), strict=True)
    ]
    got = rank_intervals(x, se, 2.0)
    assert [(each.low, each.high) for each in got] == want


def test_many_configurations_are_ranked_fast() -> None:
    """5000 results are ranked without comparing their twelve million pairs."""
    rng = np.random.default_rng(2)
    got = rank_intervals(
        rng.normal(5.0, 0.5, 5000), rng.uniform(0.01, 0.05, 5000), 1.99
    )
    assert min(r.low for r in got) == 1
    assert max(r.high for r in got) == 5000
    assert all(r.low <= r.high for r in got)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: ratio_by_repeatability([], A, S_R), "too_few_values"),
        (lambda: ratio_by_repeatability(A, [-1.0], S_R), "not_positive"),
        (
            lambda: ratio_by_repeatability(A, B, Repeatability(0.0, 8.0)),
            "constant_series",
        ),
        (lambda: ratio_by_own_scatter([180.0], A, None, None), "too_few_values"),
        (lambda: ratio_by_own_scatter([180.0, 0.0], A, None, None), "not_positive"),
        (
            lambda: ratio_by_own_scatter([5.0, 5.0], [6.0, 6.0], None, None),
            "constant_series",
        ),
        (lambda: holm([0.1, 1.1]), "not_a_fraction"),
        (lambda: holm([-0.1]), "not_a_fraction"),
        (lambda: holm([math.nan]), "not_finite"),
        (lambda: rank_intervals([1.0, 2.0], [0.1], 2.0), "lengths_differ"),
        (lambda: rank_intervals([1.0, math.nan], [0.1, 0.1], 2.0), "not_finite"),
        (lambda: rank_intervals([1.0, 2.0], [0.1, -0.1], 2.0), "not_positive"),
        (lambda: rank_intervals([1.0, 2.0], [0.1, 0.1], -2.0), "not_positive"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """Input without a meaning raises a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code


def test_same_natural_runs_cancel_between_equal_results() -> None:
    """Two equal CADRs less the same natural runs owe nothing to the natural decay."""
    share = NaturalShare(4.0, ("n-1", "n-2"))
    assert natural_half_width(120.0, share, 120.0, share) == pytest.approx(0, abs=1e-12)
    # Of unequal ones the difference of 4/60 and 4/120 remains.
    assert natural_half_width(60.0, share, 120.0, share) == pytest.approx(1 / 30)


def test_other_natural_runs_add_up() -> None:
    """Natural decays that share no run add in quadrature, shared ones in part."""
    one, two = NaturalShare(3.0, ("n-1",)), NaturalShare(4.0, ("n-2",))
    assert natural_half_width(100.0, one, 100.0, two) == pytest.approx(0.05)
    half = NaturalShare(4.0, ("n-1", "n-2"))
    quarter = NaturalShare(4.0, ("n-2", "n-3"))
    got = natural_half_width(100.0, half, 100.0, quarter)
    assert got == pytest.approx(0.04)  # sqrt(2 - 2/2) times 0.04


@pytest.mark.parametrize("shared", [True, False])
def test_ratio_holds_the_truth_with_an_uncertain_natural_decay(shared: bool) -> None:
    """The ratio's interval covers 95 % whether the natural runs are shared or not."""
    rng = np.random.default_rng(20)
    held, draws = 0, 2000
    u, k_a, k_b, s_r = 0.05, 2.4, 1.2, 0.03
    names = (("n-1",), ("n-1",) if shared else ("n-2",))
    for _ in range(draws):
        error_a = u * rng.standard_normal()
        error_b = error_a if shared else u * rng.standard_normal()
        a = k_a * np.exp(s_r * rng.standard_normal(3)) - error_a
        b = k_b * np.exp(s_r * rng.standard_normal(3)) - error_b
        half = 1.959963984540054 * u
        natural = natural_half_width(
            float(a.mean()),
            NaturalShare(half, names[0]),
            float(b.mean()),
            NaturalShare(half, names[1]),
        )
        got = ratio_by_repeatability(a, b, Repeatability(s_r, 60.0), natural)
        held += got.low <= k_a / k_b <= got.high
    assert 0.93 <= held / draws <= 0.97
