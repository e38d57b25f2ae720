"""Picking among results: the headline, the quiet pick, what serves a room."""

from __future__ import annotations

import math

import pytest

from sitegen.findings.picks import (
    current_rows,
    finder_answer,
    headline,
    quiet_pick,
    with_ends,
)
from sitegen.findings.views import FinderPick, ResultRow
from tests.findings.builders import row


def level(
    speed: str, sound: float | None, cadr: float | None, half: float = 1.0
) -> ResultRow:
    limits = (None, None) if sound is None else (sound - half, sound + half)
    return row(
        f"alder.fine.{speed}",
        cadr_m3h=cadr,
        sound_dba=sound,
        sound_low=limits[0],
        sound_high=limits[1],
    )


def test_headline() -> None:
    """The headline is the highest CADR, wherever it stands."""
    rows = [level("low", 30.0, 80.0), level("high", 55.0, 200.0), level("mid", 40, 120)]
    assert headline(rows) is rows[1]


def test_headline_of_what_was_not_measured() -> None:
    """Rows without a CADR are no headline, and a negative one is a number."""
    assert headline([level("low", 30.0, None)]) is None
    assert headline([]) is None
    below = level("high", 50.0, -3.0)
    assert headline([level("low", 30.0, None), below]) is below


def test_quiet_pick() -> None:
    """The best CADR among those at or under the cap is picked, not the quietest."""
    rows = [
        level("low", 30.0, 80.0),
        level("mid", 38.0, 120.0),
        level("high", 55.0, 200.0),
    ]
    pick = quiet_pick(rows, 40.0)
    assert pick.row is rows[1]
    assert (pick.cap_dba, pick.near, pick.quietest_dba) == (40.0, False, 30.0)


def test_level_at_the_cap_is_quiet() -> None:
    """A level of exactly the cap meets it, and lies near it."""
    at_cap = level("mid", 40.0, 120.0)
    pick = quiet_pick([at_cap], 40.0)
    assert pick.row is at_cap
    assert pick.near


@pytest.mark.parametrize(("half", "near"), [(1.9, False), (2.0, True), (2.1, True)])
def test_near_the_cap(half: float, near: bool) -> None:
    """A level within its own uncertainty of the cap, limit included, is said to be."""
    assert quiet_pick([level("mid", 38.0, 120.0, half)], 40.0).near is near


def test_no_pick_under_the_cap() -> None:
    """Where none meets the cap the answer is none, with the quietest level tested."""
    rows = [level("high", 55.0, 200.0), level("low", 41.0, 80.0)]
    pick = quiet_pick(rows, 40.0)
    assert (pick.row, pick.near, pick.quietest_dba) == (None, False, 41.0)
    assert pick.reason == "none_quiet_enough"


def test_quiet_setting_without_a_rate() -> None:
    """A quiet setting whose CADR was not tested is no pick, but its level is known."""
    pick = quiet_pick([level("low", 30.0, None), level("high", 50.0, 200.0)], 40.0)
    assert (pick.row, pick.quietest_dba) == (None, 30.0)
    assert pick.reason == "quiet_speed_not_tested"


def test_no_levels() -> None:
    """Without any level there is neither a pick nor a quietest level."""
    pick = quiet_pick([level("high", None, 200.0)], 40.0)
    assert (pick.row, pick.quietest_dba) == (None, None)
    assert pick.reason == "no_levels"


def test_current_rows() -> None:
    """A row under a replaced method goes where a newer one is there, else it stays."""
    old, new = row(method="old"), row(method="new")
    only_old = row("birch.fine.high", method="old")
    coarse = row(method="new", fraction="pm10")
    found = current_rows([old, new, only_old, coarse], "pm2_5", {"old"})
    assert set(found) == {new, only_old}


def choice(
    name: str,
    low: float | None = 150.0,
    sound: float | None = 30.0,
    running: float | None = 40.0,
) -> ResultRow:
    return row(
        f"{name}.fine.high",
        cadr_m3h=999.0,
        cadr_low=low,
        sound_dba=sound,
        running_cost_year=running,
    )


def picks(
    *rows: ResultRow, cap: float = 40.0, prices: dict[str, float] | None = None
) -> tuple[FinderPick, ...]:
    """Return the picks for 30 m² by 2.5 m, 6 air changes: 450 m³/h."""
    known = {one.device: 100.0 for one in rows} if prices is None else prices
    answer = finder_answer(30.0, 2.5, 6.0, cap, rows, known)
    assert answer.volume_m3 == 75.0
    assert answer.needed_m3h == 450.0
    return answer.picks


@pytest.mark.parametrize(
    ("low", "units"),
    [(450.0, 1), (449.9, 2), (180.0, 3), (150.0, 3), (149.9, 4), (112.5, 4)],
)
def test_units_by_the_lower_limit(low: float, units: int) -> None:
    """So many units are needed as the lower limit of the CADR asks for."""
    (pick,) = picks(choice("alder", low))
    assert pick.units == units


@pytest.mark.parametrize("low", [112.4, 0.0, -5.0, None])
def test_too_weak_is_no_pick(low: float | None) -> None:
    """More than four units, or no lower limit above zero, is no answer."""
    assert picks(choice("alder", low)) == ()


def test_sound_of_several_units_is_added() -> None:
    """Three units sound 4.77 dB louder than one, and cost three times as much."""
    (pick,) = picks(choice("alder", 150.0, 30.0, 40.0))
    assert pick.sound_dba == pytest.approx(34.77121255)
    assert (pick.first_cost, pick.running_cost_year) == (300.0, 120.0)


def test_cap_holds_for_all_units_together() -> None:
    """One unit under the cap is no pick when the three needed are over it."""
    most = 40.0 - 10 * math.log10(3)
    assert len(picks(choice("alder", 150.0, most - 0.001))) == 1
    assert picks(choice("alder", 150.0, most + 0.001)) == ()


def test_unknown_sound_is_no_pick() -> None:
    """What was never heard is not said to be quiet."""
    assert picks(choice("alder", sound=None)) == ()


def test_one_pick_a_device() -> None:
    """Of several settings of a device the cheapest that serves is shown."""
    dear = row(
        "alder.fine.high", cadr_low=450.0, sound_dba=30.0, running_cost_year=200.0
    )
    cheap = row(
        "alder.fine.low", cadr_low=225.0, sound_dba=30.0, running_cost_year=20.0
    )
    # One unit: 200 + 100/5 a year; two: 40 + 200/5.
    for rows in ((dear, cheap), (cheap, dear)):
        assert [pick.row for pick in picks(*rows)] == [cheap]


def test_cheapest_first_and_unknown_last() -> None:
    """Picks come by a year's cost with a fifth of the price, unknown costs last."""
    rows = [
        choice("alder", 450.0, running=60.0),
        choice("birch", 450.0, running=10.0),
        choice("cedar", 450.0, running=None),
        choice("elder", 450.0, running=30.0),
        choice("fir", 450.0, running=1.0),
    ]
    # A year: alder 60 + 20, birch 10 + 100, elder 30 + 0; cedar and fir not known.
    prices = {"alder": 100.0, "birch": 500.0, "cedar": 1.0, "elder": 0.0}
    found = [pick.row.device for pick in picks(*rows, prices=prices)]
    assert found[:3] == ["elder", "alder", "birch"]
    assert set(found[3:]) == {"cedar", "fir"}


def test_five_picks_at_the_most() -> None:
    """Of seven devices that serve, the five cheapest are shown."""
    rows = [choice(f"d{at}", 450.0, running=float(at)) for at in range(7)]
    found = [pick.row.device for pick in picks(*rows[::-1])]
    assert found == ["d0", "d1", "d2", "d3", "d4"]


def test_ends_are_those_of_all_units_and_their_price() -> None:
    """Three units cost three times either end of one; the price is added to both."""
    rows = [choice("alder", 150.0, running=40.0)]
    answer = finder_answer(30.0, 2.5, 6.0, 40.0, rows, {"alder": 100.0}, years=4)
    (pick,) = with_ends(answer, {"alder.fine.high": (30.0, 70.0)}, 4).picks
    # 300 for three, 75 a year over four years.
    assert (pick.units, pick.running_cost_year) == (3, 120.0)
    assert pick.running_ends == (90.0, 210.0)
    assert (pick.owning_cost_year, pick.owning_ends) == (195.0, (165.0, 285.0))


def test_no_ends_without_a_range_a_cost_or_a_price() -> None:
    """What is exact has no ends, and a price that is not known gives none of owning."""
    ends = {"alder.fine.high": (30.0, 70.0)}
    rows = [choice("alder", 450.0, running=40.0)]

    def ends_of(found: list[ResultRow], known: dict[str, float]) -> FinderPick:
        answer = finder_answer(30.0, 2.5, 6.0, 40.0, found, known)
        (pick,) = with_ends(answer, ends, 5).picks
        return pick

    other = ends_of([choice("birch", 450.0, running=40.0)], {"birch": 100.0})
    assert (other.running_ends, other.owning_ends) == (None, None)
    unknown = ends_of([choice("alder", 450.0, running=None)], {"alder": 100.0})
    assert (unknown.running_ends, unknown.owning_ends) == (None, None)
    unpriced = ends_of(rows, {})
    assert (unpriced.running_ends, unpriced.owning_ends) == ((30.0, 70.0), None)
