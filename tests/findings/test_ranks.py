"""Ranks as intervals within one comparable set, and places of single numbers."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from sitegen.findings.ranks import (
    Placed,
    RankCase,
    members_of,
    place_by_interval,
    place_in,
    placed_of,
    placed_set,
    rank_case,
    ranks_of,
)
from sitegen.findings.results import Pooled
from tests.findings.builders import row

Z = 1.959963984540054
"""97.5 % point of the normal distribution."""


def pooled(
    cadr: float | None, low: float | None, high: float | None, **more: str
) -> Pooled:
    result = row(cadr_m3h=cadr, **more)
    return Pooled(result, ("a",), (), low, high, 0.1)


def test_case_from_an_interval_above_zero() -> None:
    """A standard error is the half-width of ln CADR over 1.96."""
    case = rank_case(pooled(182.474001, 176.295164, 188.869397), "decay-a")
    assert case is not None
    assert case.ln_cadr == pytest.approx(math.log(182.474001))
    assert case.se == pytest.approx(math.log(188.869397 / 176.295164) / (2 * Z))
    assert case.set == "decay-a pm2_5"
    assert case.key == "alder.fine.high decay-a pm2_5"


def test_case_from_an_interval_about_zero() -> None:
    """Where the lower limit has no logarithm the relative half-width stands for it."""
    case = rank_case(pooled(10.0, -2.0, 22.0), "decay-a")
    assert case is not None
    assert case.se == pytest.approx(1.2 / Z)


@pytest.mark.parametrize("cadr", [None, 0.0, -4.0])
def test_no_case_without_clean_air(cadr: float | None) -> None:
    """A result without a positive CADR has no rank."""
    assert rank_case(pooled(cadr, -10.0, 10.0), "decay-a") is None


def test_no_case_without_limits() -> None:
    """A result whose interval is not known has no rank."""
    assert rank_case(pooled(100.0, None, None), "decay-a") is None


def case(key: str, ln_cadr: float, se: float, group: str = "one") -> RankCase:
    return RankCase(key, group, ln_cadr, se)


def test_ranks_by_hand() -> None:
    """Two that cannot be told apart share ranks 1 to 2, one far below is third."""
    # Apart when more than 1.96 * sqrt(0.02) = 0.277 lies between.
    cases = [case("a", 5.2, 0.1), case("b", 5.0, 0.1), case("c", 4.0, 0.1)]
    expected = {"a": (1, 2, 3), "b": (1, 2, 3), "c": (3, 3, 3)}
    for turned in itertools.permutations(cases):
        assert ranks_of(turned) == expected


def test_ranks_do_not_chain() -> None:
    """The middle one is like both, yet first and last are told apart."""
    found = ranks_of([case("a", 5.4, 0.1), case("b", 5.2, 0.1), case("c", 5.0, 0.1)])
    assert found == {"a": (1, 2, 3), "b": (1, 3, 3), "c": (2, 3, 3)}


def test_sets_are_ranked_apart() -> None:
    """A result is ranked among its own set alone."""
    found = ranks_of([case("a", 5.0, 0.1), case("b", 9.0, 0.1, "two")])
    assert found == {"a": (1, 1, 1), "b": (1, 1, 1)}


def test_ranks_against_every_pair() -> None:
    """The ranks of 60 results are those that comparing all pairs gives."""
    rng = np.random.default_rng(7)
    cases = [
        case(f"d{at:02}", float(rng.uniform(4, 6)), float(rng.uniform(0.01, 0.4)))
        for at in range(60)
    ]
    found = ranks_of(cases)
    for one in cases:
        further = [
            (other.ln_cadr - one.ln_cadr) / math.hypot(one.se, other.se)
            for other in cases
            if other is not one
        ]
        better = sum(z > Z for z in further)
        worse = sum(z < -Z for z in further)
        assert found[one.key] == (1 + better, 60 - worse, 60)


def test_no_results_no_ranks() -> None:
    """Nothing is ranked where nothing was measured."""
    assert ranks_of([]) == {}


def test_key_of_a_row() -> None:
    """A row is found by configuration, method and fraction."""
    key = row("birch.none.low", method="m", fraction="pm10").key
    assert key == "birch.none.low m pm10"


@pytest.mark.parametrize(
    ("better", "ranks"),
    [
        ("up", [(4, 4), (2, 3), (2, 3), (1, 1)]),
        ("down", [(1, 1), (2, 3), (2, 3), (4, 4)]),
    ],
)
def test_place_of_a_number(better: str, ranks: list[tuple[int, int]]) -> None:
    """Equal numbers share an interval of ranks, counted from the better end."""
    values = [50.0, 80.0, 80.0, 200.0]
    found = [place_in("power_w", value, values, better) for value in values]
    assert [(place.low, place.high) for place in found] == ranks
    assert {place.of for place in found} == {4}
    assert (found[0].least, found[0].most) == (50.0, 200.0)
    assert found[0].better == better


@pytest.mark.parametrize(
    ("value", "low", "high"),
    [(38.0, 1, 2), (38.75, 1, 3), (39.5, 2, 3), (40.5, 4, 4), (42.0, 5, 5)],
)
def test_sound_levels_closer_than_a_decibel_tie(
    value: float, low: int, high: int
) -> None:
    """Levels less than 1 dB apart tie; levels a whole decibel apart do not."""
    values = [38.0, 38.75, 39.5, 40.5, 42.0]
    place = place_in("sound_dba", value, values, "down")
    assert (place.low, place.high) == (low, high)


def test_the_only_one() -> None:
    """A number alone is first of one."""
    place = place_in("cadr_m3h", 180.0, [180.0], "up")
    assert (place.low, place.high, place.of) == (1, 1, 1)


def test_a_wide_interval_has_a_wide_place() -> None:
    """Better are those that end before it begins, worse those that begin after it."""
    members = [
        Placed(10.0, 9.0, 11.0),
        Placed(15.0, 14.0, 16.0),
        Placed(16.6, 12.8, 22.2),
        Placed(20.0, 19.0, 21.0),
        Placed(30.0, 28.0, 32.0),
    ]
    wide = place_by_interval("clearance_min", members[2], members_of(members))
    assert (wide.low, wide.high, wide.of) == (2, 4, 5)
    first = place_by_interval("clearance_min", members[0], members_of(members))
    assert (first.low, first.high) == (1, 1)
    open_end = Placed(40.0, 8.0, math.inf)
    place = place_by_interval(
        "clearance_min", open_end, members_of([*members, open_end])
    )
    assert (place.low, place.high) == (1, 6)


def test_places_are_within_what_may_be_compared() -> None:
    """CADR and clearance stand within a method's family, sound within its method."""
    one = row("a.fine.high", method="decay-b", sound_method="sound-1")
    families = {"decay-b": "decay-a"}
    assert placed_set(one, "cadr_m3h", families) == "decay-a"
    assert placed_set(one, "clearance_min", families) == "decay-a"
    assert placed_set(one, "sound_dba", families) == "sound-1"
    no_end = row("a.fine.high", clearance_min=40.0, clearance_low=8.0)
    assert placed_of(no_end, "clearance_min") == Placed(40.0, 8.0, math.inf)
