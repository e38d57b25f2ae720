"""What the maker claims against what was measured, grade by grade."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.findings.claims import claim_views, rating_views, ratio_grade
from sitegen.findings.views import ClaimView, Interval, ResultRow
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


def test_directory_is_not_graded() -> None:
    """A directory's figure is shown with its place and never graded."""
    made = device(
        ratings=[
            {"directory": "Register", "outcome": "not_found", "date": "2024-02-01"},
            {
                "directory": "Other register",
                "outcome": "found",
                "date": "2024-02-01",
                "url": "https://example.org/entry",
                "values": [
                    {
                        "quantity": "cadr",
                        "value": 180,
                        "unit": "m3/h",
                        "aerosol": "smoke",
                    }
                ],
            },
        ]
    )
    ((position, seen),) = rating_views(made)
    assert position == 1
    assert (seen.grade, seen.ratio, seen.source, seen.text) == (
        "not-same-quantity",
        None,
        "Other register",
        "180 m3/h",
    )
    assert seen.url == "https://example.org/entry"
