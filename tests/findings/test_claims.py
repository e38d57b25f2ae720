"""What the maker claims against what was measured, grade by grade."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.findings.claims import claim_views, rating_views, ratio_grade
from sitegen.findings.claims_nearby import ClaimContext
from sitegen.findings.views import ClaimView, Interval, Nearby, ResultRow
from sitegen.model.bench import Lifetime
from tests.findings.builders import device, row

CFM = 1.69901079552
"""Cubic metres an hour in one cubic foot a minute, exact."""

TOP = row(cadr_m3h=180.0, cadr_low=171.0, cadr_high=189.0)


def claim(**fields: Any) -> dict[str, Any]:
    return {
        "quantity": "cadr",
        "value": 200,
        "unit": "m3/h",
        "aerosol": "smoke",
        "speed": "high",
        "seen": "2024-02-01",
        **fields,
    }


def judged(
    *rows: ResultRow, filters: tuple[dict[str, Any], ...] | None = None, **fields: Any
) -> ClaimView:
    more: dict[str, Any] = {} if filters is None else {"filters": filters}
    made = device(claims=[claim(**fields)], **more)
    (view,) = claim_views(
        made, rows or (TOP,), {"decay-a": "smoke", "decay-s": "salt"}, "pm2_5"
    )
    return view


@pytest.mark.parametrize(
    ("low", "high", "grade"),
    [
        (0.50, 0.89, "below"),
        (0.50, 0.90, "cannot-tell"),
        (0.85, 0.95, "cannot-tell"),
        (0.89, 1.11, "cannot-tell"),
        (0.90, 1.10, "consistent"),
        (0.95, 1.05, "consistent"),
        (1.05, 1.15, "cannot-tell"),
        (1.10, 1.30, "cannot-tell"),
        (1.11, 1.30, "above"),
    ],
)
def test_grade_of_a_ratio(low: float, high: float, grade: str) -> None:
    """A grade needs the whole interval on one side of 0.9 and 1.1, or between."""
    assert ratio_grade(Interval((low + high) / 2, low, high)) == grade


@pytest.mark.parametrize(
    ("value", "grade"),
    [(250, "below"), (200, "cannot-tell"), (180, "consistent"), (150, "above")],
)
def test_grades_of_a_rate(value: float, grade: str) -> None:
    """171 to 189 m³/h is below 250, consistent with 180 and above 150."""
    seen = judged(value=value)
    assert seen.grade == grade
    assert seen.measured == Interval(180.0, 171.0, 189.0)
    assert seen.ratio is not None
    assert (seen.ratio.value, seen.ratio.low, seen.ratio.high) == pytest.approx(
        (180 / value, 171 / value, 189 / value)
    )
    assert seen.measured_row == "alder.fine.high decay-a pm2_5"


@pytest.mark.parametrize(("unit", "each"), [("cfm", CFM), ("L/s", 3.6), ("m3/h", 1.0)])
def test_measured_in_the_unit_of_the_claim(unit: str, each: float) -> None:
    """The measurement is turned into the unit of the claim, not rounded before."""
    seen = judged(value=100, unit=unit)
    assert seen.measured is not None
    assert (seen.measured.value, seen.measured.low, seen.measured.high) == (
        pytest.approx((180 / each, 171 / each, 189 / each))
    )
    assert seen.ratio is not None
    assert seen.ratio.value == pytest.approx(1.8 / each)


def test_no_unit() -> None:
    """A figure without a unit has both conversions, no grade and no ratio."""
    seen = judged(value=200, unit="unstated")
    assert seen.grade == "no-unit"
    assert seen.ratio is None
    assert seen.measured is None
    assert [unit for unit, _ in seen.conversions] == ["m3/h", "cfm"]
    # The published pair: 200 cfm are 339.802159 m³/h.
    assert [value for _, value in seen.conversions] == pytest.approx(
        [200.0, 339.802159], rel=1e-8
    )
    assert seen.text == "200"


def test_no_unit_of_another_quantity() -> None:
    """A level without a unit has nothing to be turned into."""
    seen = judged(quantity="sound", value=45, unit="unstated")
    assert (seen.grade, seen.conversions) == ("no-unit", ())


@pytest.mark.parametrize(
    "fields",
    [
        {"speed": "low"},
        {"speed": "not-stated"},
        {"aerosol": "pollen"},
        {"aerosol": "not-stated"},
        {"aerosol": "salt"},
        {"quantity": "airflow"},
        {"quantity": "room_area", "unit": "m2"},
        {"quantity": "sound", "unit": "dB(A)"},
        {"value": 0},
    ],
    ids=str,
)
def test_not_the_same_quantity(fields: dict[str, Any]) -> None:
    """Another quantity, aerosol or speed is not judged, and has no percentage."""
    rows = (TOP, row("alder.fine.low", cadr_m3h=90.0, cadr_low=85.0, cadr_high=95.0))
    seen = judged(*rows, **fields)
    assert seen.grade == "not-same-quantity"
    assert seen.ratio is None


def test_metric_may_be_claimed_instead_of_an_aerosol() -> None:
    """A claim for PM2.5 is held against that fraction, whatever the aerosol."""
    salt = row(method="decay-s", cadr_m3h=180.0, cadr_low=171.0, cadr_high=189.0)
    assert judged(salt, aerosol="pm2_5", value=180).grade == "consistent"
    assert judged(salt, aerosol="smoke", value=180).grade == "not-same-quantity"


def test_aerosol_is_held_against_the_primary_fraction_alone() -> None:
    """A faster fraction of the same aerosol does not stand in for the primary one."""
    coarse = row(fraction="pm10", cadr_m3h=240.0, cadr_low=230.0, cadr_high=250.0)
    seen = judged(coarse, TOP, value=180)
    assert seen.measured == Interval(180.0, 171.0, 189.0)
    assert judged(coarse, value=180).grade == "not-same-quantity"


def test_filter_that_is_not_in_the_box() -> None:
    """A bought filter does not count for or against what the maker claims."""
    filters = (
        {"id": "fine", "pieces": 1, "included": True},
        {"id": "best", "pieces": 1, "included": False},
    )
    better = row("alder.best.high", cadr_m3h=260.0, cadr_low=250.0, cadr_high=270.0)
    seen = judged(better, TOP, filters=filters, value=180)
    assert seen.measured == Interval(180.0, 171.0, 189.0)
    assert judged(better, filters=filters).grade == "not-same-quantity"


def test_not_measured() -> None:
    """A claim of what has no result yet is not judged."""
    seen = judged(row(cadr_m3h=None))
    assert (seen.grade, seen.measured, seen.measured_row) == (
        "not-same-quantity",
        None,
        "",
    )


def test_power() -> None:
    """Power is held against the mean at its speed, 1.96 deviations either way."""
    rows = (
        row("alder.fine.low", power_w=10.0, power_sd=0.1),
        row(power_w=45.0, power_sd=1.0),
    )
    seen = judged(*rows, quantity="power", unit="W", value=60)
    assert seen.grade == "below"
    assert seen.measured is not None
    assert (seen.measured.value, seen.measured.low, seen.measured.high) == (
        pytest.approx((45.0, 45.0 - 1.959964, 45.0 + 1.959964), rel=1e-6)
    )
    assert seen.measured_row == "alder.fine.high"
    low = judged(*rows, quantity="power", unit="W", value=10, speed="low")
    assert (low.grade, low.measured_row) == ("consistent", "alder.fine.low")


def test_power_with_the_filter_in_the_box() -> None:
    """Power with a bought filter is not held against what the maker claims."""
    filters = (
        {"id": "fine", "pieces": 1, "included": True},
        {"id": "best", "pieces": 1, "included": False},
    )
    rows = (row("alder.best.high", power_w=90.0), row(power_w=45.0))
    seen = judged(*rows, filters=filters, quantity="power", unit="W", value=45)
    assert seen.measured_row == "alder.fine.high"
    assert seen.grade == "consistent"


def test_words_of_the_claim() -> None:
    """The maker's own words are shown, else the figure with its unit."""
    assert judged(as_written="up to 200 m³ per hour").text == "up to 200 m³ per hour"
    assert judged(value=200.5).text == "200.5 m3/h"
    assert judged(seen="2024-02-01").seen == "2024-02-01"


def test_no_claims() -> None:
    """A device of which nothing is claimed has nothing to be held against."""
    assert claim_views(device(), [TOP], {}, "pm2_5") == ()


def rated(**fields: Any) -> tuple[tuple[int, ClaimView], ...]:
    """Return the views of two directories, of which the second lists one figure."""
    value = {"quantity": "cadr", "value": 180, "unit": "m3/h", "aerosol": "smoke"}
    made = device(
        ratings=[
            {"directory": "Register", "outcome": "not_found", "date": "2024-02-01"},
            {
                "directory": "Other register",
                "outcome": "found",
                "date": "2024-02-01",
                "url": "https://example.org/entry",
                "values": [{**value, **fields}],
            },
        ]
    )
    return rating_views(made, [TOP], {"decay-a": "smoke"}, "pm2_5")


def test_directory_is_judged_as_a_claim_is() -> None:
    """A directory's figure is graded where quantity, aerosol and speed match."""
    ((position, seen),) = rated(speed="high")
    assert position == 1
    assert (seen.grade, seen.reason) == ("consistent", "")
    assert seen.measured == Interval(180.0, 171.0, 189.0)
    assert (seen.source, seen.text, seen.seen) == ("Other register", "180 m3/h", "")
    assert seen.url == "https://example.org/entry"
    ((_, above),) = rated(speed="high", value=150)
    assert above.grade == "above"


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({}, "no-speed"),
        ({"speed": "low"}, "not-top"),
        ({"speed": "high", "aerosol": "pollen"}, "other-aerosol"),
    ],
)
def test_directory_that_cannot_be_judged(fields: dict[str, Any], reason: str) -> None:
    """A directory that does not say its speed, or another one, gets no grade."""
    ((_, seen),) = rated(**fields)
    assert (seen.grade, seen.ratio, seen.reason) == ("not-same-quantity", None, reason)


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"speed": "low"}, "not-top"),
        ({"speed": "not-stated"}, "no-speed"),
        ({"aerosol": "pollen"}, "other-aerosol"),
        ({"aerosol": "not-stated"}, "no-aerosol"),
        ({"quantity": "airflow"}, "airflow"),
        ({"quantity": "room_area", "unit": "m2"}, "room_area"),
        ({"quantity": "sound", "unit": "dB"}, "sound"),
        ({"quantity": "filter_life", "unit": "months"}, "filter_life"),
        ({"quantity": "clearance", "unit": "min"}, "clearance"),
        ({"quantity": "cadr", "unit": "m2"}, "other-unit"),
        ({"quantity": "power", "unit": "W", "speed": "not-stated"}, "no-speed"),
        ({"quantity": "power", "unit": "W"}, "not-tested"),
        ({"value": 0}, "no-value"),
        ({"unit": "unstated"}, ""),
        ({}, ""),
    ],
    ids=str,
)
def test_reason_for_no_grade(fields: dict[str, Any], reason: str) -> None:
    """What is not judged says why; what is judged, or has no unit, needs no reason."""
    assert judged(**fields).reason == reason


CONTEXT = ClaimContext(
    ceiling_m=2.5,
    meters={"sound-a": (1.5, "in front")},
    rooms={"decay-a": (30.0, 0.1)},
    lifetimes=(Lifetime(months=8, basis="stated", low=6),),
    airflows={"alder.fine.high": 240.0},
)
FULL = row(
    cadr_m3h=180.0,
    cadr_low=171.0,
    cadr_high=189.0,
    clearance_min=22.0,
    clearance_low=21.1,
    clearance_high=22.9,
    clearance_basis="observed",
    sound_dba=45.0,
    sound_low=44.0,
    sound_high=46.0,
    sound_method="sound-a",
)


def beside(*rows: ResultRow, **fields: Any) -> Nearby | None:
    """Return what stands near a claim about the device with all measured."""
    made = device(claims=[claim(**fields)])
    found = rows or (FULL,)
    (view,) = claim_views(made, found, {"decay-a": "smoke"}, "pm2_5", CONTEXT)
    assert view.grade in {"not-same-quantity", "no-unit", "consistent"}
    return view.nearby


def test_floor_beside_air_changes() -> None:
    """40 m² under 2.5 m are 100 m³: 180 m³/h would change its air 1.8 times an hour."""
    seen = beside(quantity="room_area", value=40, unit="m2", speed="not-stated")
    assert seen is not None
    assert seen.value == Interval(1.8, 1.71, 1.89)
    assert (seen.configuration, seen.at) == ("alder.fine.high", 2.5)
    # 400 ft² are 37.161216 m².
    in_feet = beside(quantity="room_area", value=400, unit="ft2", speed="not-stated")
    assert in_feet is not None
    assert in_feet.value.value == pytest.approx(180 / (37.161216 * 2.5))


def test_level_beside_its_distance() -> None:
    """A sound claim for a setting stands beside the level there, never graded."""
    seen = beside(quantity="sound", value=40, unit="dB(A)")
    assert seen == Nearby(
        "sound_dba",
        Interval(45.0, 44.0, 46.0),
        "alder.fine.high",
        at=1.5,
        note="in front",
    )
    # Without a setting there is no level to stand beside.
    assert beside(quantity="sound", value=40, unit="dB", speed="not-stated") is None


def test_clearance_beside_the_test_room() -> None:
    """A clearance claim stands beside the time in the test room, with its share."""
    seen = beside(quantity="clearance", value=20, unit="min", speed="not-stated")
    assert seen == Nearby(
        "clearance_min",
        Interval(22.0, 21.1, 22.9),
        "alder.fine.high",
        at=30.0,
        share=0.1,
        note="observed",
    )


def test_airflow_beside_measured_airflow() -> None:
    """An airflow claim stands beside the airflow, where one was measured."""
    seen = beside(quantity="airflow", value=300, unit="m3/h")
    assert seen == Nearby("airflow_m3h", Interval(240, 240, 240), "alder.fine.high")
    assert beside(quantity="airflow", value=300, unit="m3/h", speed="low") is None


def test_life_beside_what_costs_rest_on() -> None:
    """A claimed life stands beside the life that costs are reckoned with."""
    seen = beside(quantity="filter_life", value=12, unit="months")
    assert seen == Nearby(
        "filter_life", Interval(8, 6, 8), note="stated", unit="months"
    )


def test_nothing_beside_what_is_judged_or_has_no_unit() -> None:
    """A judged claim, one without a unit and one not measured have nothing beside."""
    assert beside(value=180) is None
    assert beside(unit="unstated") is None
    bare = row(cadr_m3h=None)
    for quantity, unit in (
        ("room_area", "m2"),
        ("sound", "dB(A)"),
        ("clearance", "min"),
    ):
        assert beside(bare, quantity=quantity, unit=unit) is None
