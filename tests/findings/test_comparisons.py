"""What a comparison can tell apart, and what it says nothing of."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from scipy.stats import t as student
from scipy.stats import ttest_ind

from sitegen.findings.comparisons import (
    Repeats,
    Scatter,
    compare,
    current_scatter,
    with_rank,
)
from sitegen.findings.views import ComparisonFinding, Pair, ResultRow
from sitegen.measure.ranking import NaturalShare
from tests.findings.builders import row

EACH: Mapping[str, tuple[float, ...]] = {
    "a": (182.4, 176.9, 188.3),
    "b": (241.0, 250.2, 246.1),
    "c": (98.4, 95.1, 97.9, 101.2),
    "d": (310.5, 322.8),
}
S_R, NU = 0.0258740949, 8.0
"""Pooled repeatability of these four, as published with the method."""


def repeats(
    each: Mapping[str, tuple[float, ...]], methods: Mapping[str, str] | None = None
) -> dict[str, Repeats]:
    found = {}
    for name, values in each.items():
        method = (methods or {}).get(name, "decay-a")
        configuration = f"{name}.fine.high"
        found[f"{configuration} {method} pm2_5"] = Repeats(
            configuration, method, "pm2_5", values
        )
    return found


def compared(
    each: Mapping[str, tuple[float, ...]],
    scatter: Scatter | None = None,
    methods: Mapping[str, str] | None = None,
    families: Mapping[str, str] | None = None,
    dropped: tuple[str, ...] = (),
) -> ComparisonFinding:
    rows = [
        row(
            f"{name}.fine.high",
            cadr_m3h=sum(values) / len(values) if values else None,
            method=(methods or {}).get(name, "decay-a"),
        )
        for name, values in each.items()
    ]
    return compare(
        rows,
        dropped,
        repeats(each, methods),
        {} if scatter is None else {"decay-a pm2_5": scatter},
        {"decay-a": "decay-a"} if families is None else families,
    )


def by_names(finding: ComparisonFinding) -> dict[str, Pair]:
    return {
        f"{pair.first.split('.')[0]}{pair.second.split('.')[0]}": pair
        for pair in finding.pairs
    }


ADOPTED = Scatter(S_R, NU, adopted=True)


def test_ratios_by_repeatability() -> None:
    """Ratios and their intervals are those published with the method."""
    found = by_names(compared(EACH, ADOPTED))
    b_a, d_b = found["ba"].ratio, found["db"].ratio
    assert (b_a.value, b_a.low, b_a.high) == pytest.approx(
        (1.3467004, 1.2826658, 1.4139318), rel=1e-7
    )
    assert (d_b.value, d_b.low, d_b.high) == pytest.approx(
        (1.2883254, 1.2200308, 1.3604430), rel=1e-7
    )


def test_every_pair_once_the_faster_first() -> None:
    """Four results make six pairs, each named from the faster to the slower."""
    found = compared(EACH, ADOPTED)
    assert set(by_names(found)) == {"db", "da", "dc", "ba", "bc", "ac"}
    assert all(pair.apart for pair in found.pairs)
    assert [one.device for one in found.rows] == ["d", "b", "a", "c"]


def holm_by_hand(p: Mapping[str, float]) -> dict[str, float]:
    """Return adjusted p: the largest of (M - j + 1) p(j) up to one's own place."""
    adjusted, most = {}, 0.0
    for place, name in enumerate(sorted(p, key=lambda name: p[name])):
        most = max(most, (len(p) - place) * p[name])
        adjusted[name] = min(most, 1.0)
    return adjusted


def test_holm_over_all_pairs() -> None:
    """One p that alone would tell a pair apart does not once all pairs are counted."""
    each = {"a": (100.0,), "b": (109.0,), "c": (118.5,)}
    found = by_names(compared(each, Scatter(0.03, 20.0, adopted=True)))
    raw = {
        f"{two}{one}": 2
        * float(student.sf(math.log(each[two][0] / each[one][0]) / (0.03 * 2**0.5), 20))
        for one, two in itertools.combinations("abc", 2)
    }
    assert sorted(value < 0.05 for value in raw.values()) == [False, False, True]
    expected = holm_by_hand(raw)
    for name, pair in found.items():
        assert pair.p_adjusted == pytest.approx(expected[name], rel=1e-6)
        assert pair.apart == (expected[name] < 0.05)


def test_told_apart_alone_but_not_among_many() -> None:
    """The same pair is told apart alone and not among three pairs of its like."""
    scatter = Scatter(0.03, 20.0, adopted=True)
    # ln(1.095)/(0.03 sqrt 2) = 2.14 with 20 degrees of freedom: p = 0.045.
    alone = compared({"a": (100.0,), "b": (109.5,)}, scatter)
    assert [pair.apart for pair in alone.pairs] == [True]
    assert alone.pairs[0].p_adjusted == pytest.approx(0.045, abs=0.001)
    many = compared({"a": (100.0,), "b": (109.5,), "c": (100.5,)}, scatter)
    assert by_names(many)["ba"].apart is False
    assert by_names(many)["ba"].p_adjusted == pytest.approx(0.135, abs=0.003)


def test_own_scatter_where_no_repeatability_is_known() -> None:
    """Without a repeatability the repeats' own scatter decides (Welch, on ln CADR)."""
    x, y = (182.4, 176.9, 188.3), (190.7, 186.0, 195.9)
    (pair,) = compared({"x": x, "y": y}).pairs
    expected = ttest_ind(np.log(y), np.log(x), equal_var=False)
    between = expected.confidence_interval(0.95)
    assert (pair.first, pair.apart) == ("y.fine.high", False)
    assert pair.p_adjusted == pytest.approx(float(expected.pvalue), rel=1e-7)
    # The published figure is that of the rates themselves, which is near by.
    assert pair.p_adjusted == pytest.approx(0.129939352, abs=0.002)
    assert (pair.ratio.low, pair.ratio.high) == pytest.approx(
        (math.exp(between.low), math.exp(between.high)), rel=1e-7
    )


def test_single_runs_without_repeatability() -> None:
    """Of a single run nothing is said where no repeatability is known."""
    assert compared({"a": (100.0,), "b": (300.0, 310.0)}).pairs == ()


@pytest.mark.parametrize("value", [0.0, -5.0])
def test_no_clean_air_makes_no_pair(value: float) -> None:
    """A result of nothing or less has no ratio, and keeps its row."""
    found = compared({"a": (100.0, 101.0), "b": (value, value)}, ADOPTED)
    assert found.pairs == ()
    assert [one.device for one in found.rows] == ["a", "b"]


def test_a_run_below_nothing_makes_no_pair() -> None:
    """A pair is left out when any of its runs has no logarithm."""
    assert compared({"a": (100.0, 101.0), "b": (50.0, -1.0)}, ADOPTED).pairs == ()


def test_missing_comes_last() -> None:
    """A row without a CADR is shown, last, and in no pair."""
    found = compared({"a": (), "b": (90.0, 91.0), "c": (190.0, 195.0)}, ADOPTED)
    assert [one.device for one in found.rows] == ["c", "b", "a"]
    assert set(by_names(found)) == {"cb"}


def test_methods_that_are_not_comparable() -> None:
    """Results under methods of two families make no pair, and that is said."""
    each = {"a": EACH["a"], "b": EACH["b"]}
    found = compared(
        each, None, {"b": "decay-b"}, {"decay-a": "decay-a", "decay-b": "decay-b"}
    )
    assert found.pairs == ()
    assert found.mixed_methods


def test_methods_that_are_not_listed() -> None:
    """Two methods of which nothing is declared are not taken for comparable."""
    each = {"a": EACH["a"], "b": EACH["b"]}
    found = compared(each, None, {"b": "decay-b"}, {})
    assert found.pairs == ()
    assert found.mixed_methods
    assert not compared(each, None, None, {}).mixed_methods


def test_methods_declared_comparable() -> None:
    """Two methods of one family make a pair, each side with its own scatter.

    The first's method has a repeatability, the second's has none and takes that of its
    repeats: se² = s²/m + var/m, degrees of freedom by Welch and Satterthwaite.
    """
    each = {"a": EACH["a"], "b": EACH["b"]}
    family = {"decay-a": "decay-a", "decay-b": "decay-a"}
    known = Scatter(0.05, 20.0, adopted=True)
    found = compared(each, known, {"a": "decay-b"}, family)
    assert not found.mixed_methods
    (pair,) = found.pairs
    assert pair.ratio.value == pytest.approx(1.3467004, rel=1e-7)
    logs = np.log(EACH["a"])
    own = float(logs.var(ddof=1)) / len(EACH["a"])
    other = 0.05**2 / len(EACH["b"])
    nu = (own + other) ** 2 / (own**2 / (len(logs) - 1) + other**2 / 20.0)
    half = float(stats.t.ppf(0.975, nu)) * (own + other) ** 0.5
    assert pair.ratio.high == pytest.approx(1.3467004 * np.exp(half), rel=1e-6)
    assert pair.apart


def test_one_that_varies_more_speaks_for_itself() -> None:
    """A configuration marked VARIABLE is held against another by its own scatter."""
    wild = (40.0, 120.0)
    steady = (100.0, 101.0)
    rows = [
        row("a.fine.high", cadr_m3h=80.0, flags=("VARIABLE",)),
        row("b.fine.high", cadr_m3h=100.5),
    ]
    known = repeats({"a": wild, "b": steady}, None)
    scatter = {"decay-a pm2_5": ADOPTED}
    families = {"decay-a": "decay-a"}
    (pair,) = compare(rows, [], known, scatter, families).pairs
    assert not pair.apart
    calm = [replace(each, flags=()) for each in rows]
    (as_others,) = compare(calm, [], known, scatter, families).pairs
    assert as_others.ratio.high < pair.ratio.high


def test_of_many_the_leader_is_held_against_each() -> None:
    """Of thirty the one with the most clean air is held against all 29 others."""
    each = {f"d{at}": (400.0 - 10 * at,) for at in range(30)}
    found = compared(each, ADOPTED)
    assert found.leader_only
    assert {pair.first for pair in found.pairs} == {"d0.fine.high"}
    assert len(found.pairs) == 29


def test_fractions_are_not_held_against_each_other() -> None:
    """A rate for one size fraction is not compared with that for another."""
    fine = row("a.fine.high", cadr_m3h=180.0)
    coarse = row("b.fine.high", cadr_m3h=240.0, fraction="pm10")
    known = {
        "a.fine.high decay-a pm2_5": Repeats(
            "a.fine.high", "decay-a", "pm2_5", (180.0,)
        ),
        "b.fine.high decay-a pm10": Repeats("b.fine.high", "decay-a", "pm10", (240.0,)),
    }
    scatter = {"decay-a pm2_5": ADOPTED, "decay-a pm10": ADOPTED}
    found = compare([fine, coarse], [], known, scatter, {"decay-a": "decay-a"})
    assert found.pairs == ()
    assert len(found.rows) == 2


def test_dropped_are_named() -> None:
    """What was asked for and has no result is passed on by name, in order."""
    found = compared({}, dropped=("z.fine.high", "y.fine.low"))
    assert found.dropped == ("z.fine.high", "y.fine.low")
    assert (found.rows, found.pairs, found.mixed_methods) == ((), (), False)


def test_current_repeatability() -> None:
    """The repeats of four configurations give the repeatability published for them."""
    found = current_scatter(list(repeats(EACH).values()))
    assert found is not None
    assert found.s_r == pytest.approx(S_R, rel=1e-8)
    assert (found.degrees, found.adopted) == (8.0, False)


def test_too_few_repeats_give_no_repeatability() -> None:
    """Seven degrees of freedom are too few, and single runs add none."""
    fewer = {**EACH, "d": (310.5,)}
    assert current_scatter(list(repeats(fewer).values())) is None
    assert current_scatter([]) is None


def test_repeats_without_scatter_give_no_repeatability() -> None:
    """Runs that all agree would tell everything apart, so that they tell nothing."""
    same = dict.fromkeys("abc", (100.0,) * 5)
    assert current_scatter(list(repeats(same).values())) is None


def test_repeats_below_nothing_do_not_enter() -> None:
    """A configuration with a run below nothing does not spoil the others' figure."""
    found = current_scatter(list(repeats({**EACH, "e": (5.0, -1.0)}).values()))
    assert found is not None
    assert found.s_r == pytest.approx(S_R, rel=1e-8)


def test_rank_is_put_in() -> None:
    """A row takes its rank, and stays as it is without one."""
    bare: ResultRow = row()
    ranked = with_rank(bare, (2, 5, 143))
    assert (ranked.rank_low, ranked.rank_high, ranked.ranked_of) == (2, 5, 143)
    assert with_rank(bare, None) == bare


def test_a_natural_decay_in_common_does_not_blur_a_pair() -> None:
    """The same natural runs cancel between equals; others widen the interval."""
    each = {"a": (100.0, 101.0), "b": (100.0, 101.0)}

    def width(runs: Mapping[str, tuple[str, ...]]) -> float:
        rows = [row(f"{name}.fine.high", cadr_m3h=100.5) for name in each]
        held = {
            key: replace(item, natural=NaturalShare(6.0, runs[key[0]]))
            for key, item in repeats(each).items()
        }
        scatter = {"decay-a pm2_5": ADOPTED}
        [pair] = compare(rows, (), held, scatter, {"decay-a": "decay-a"}).pairs
        return pair.ratio.high

    alone = by_names(compared(each, ADOPTED))["ab"].ratio.high
    assert width({"a": ("n-1",), "b": ("n-1",)}) == pytest.approx(alone, rel=1e-12)
    # Two independent shares of 6/100.5 each join the scatter in quadrature.
    half = math.hypot(math.log(alone), 6.0 / math.exp(math.log(100 * 101) / 2) * 2**0.5)
    apart = width({"a": ("n-1",), "b": ("n-2",)})
    assert apart == pytest.approx(math.exp(half), rel=1e-12)


def test_alike_only_when_the_whole_interval_is_near_one() -> None:
    """Two are alike when even the ends of their ratio's interval lie within 10 %."""
    close = {"a": (100.0,) * 4 + (100.1,), "b": (101.0,) * 4 + (101.1,)}
    [sure] = compared(close, ADOPTED).pairs
    wide = Scatter(0.05, NU, adopted=True)
    [unsure] = compared({"a": (100.0,), "b": (101.0,)}, wide).pairs
    assert (sure.alike, sure.apart) == (True, False)
    assert (unsure.alike, unsure.apart) == (False, False)
