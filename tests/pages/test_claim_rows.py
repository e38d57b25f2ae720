"""Claims and directories as a device's page shows them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from sitegen.findings.claims import claim_views, rating_views
from sitegen.findings.claims_nearby import ClaimContext
from sitegen.pages.claim_rows import ClaimRow, claim_rows, rating_rows
from sitegen.pages.words import ENGLISH
from tests.findings.builders import device, row
from tests.findings.test_claims import CONTEXT, FULL, claim
from tests.pages.builders import SITE
from tests.pages.test_cost_rows import LABELS

AEROSOLS = {"decay-a": "smoke"}


def shown(units: Any = "metric", **fields: Any) -> ClaimRow:
    """Return the row of one claim about a device of which all was measured."""
    views = claim_views(
        device(claims=[claim(**fields)]), [FULL], AEROSOLS, "pm2_5", CONTEXT
    )
    (found,) = claim_rows(ENGLISH, replace(SITE, units=units), LABELS, views)
    return found


def test_judged_claim() -> None:
    """A judged claim has its figure, the measurement, the share and the outcome."""
    found = shown(value=180)
    assert (found.claim, found.measured) == ("180 m³/h", "180.0 m³/h (171.0 to 189.0)")
    assert found.measured_at == "High, Fine filter"
    assert found.ratio == "100.0 % of it (95.0 to 105.0 %)"
    assert found.outcome == "consistent with the claim"
    assert (found.reason, found.nearby) == ("", "")
    assert found.drawing is not None


def test_claim_without_a_unit() -> None:
    """A figure without a unit has its words and both conversions, and no percentage."""
    found = shown(value=200, unit="unstated", as_written="CleanFlow 200")
    assert found.claim == "CleanFlow 200"
    assert "if m³/h: 200 m³/h · if cfm: 340 m³/h" in found.about
    assert (found.ratio, found.measured, found.drawing) == ("", "", None)
    assert found.outcome == "the claim has no unit"


@pytest.mark.parametrize(
    ("fields", "reason", "nearby"),
    [
        (
            {"quantity": "room_area", "value": 40, "unit": "m2", "speed": "not-stated"},
            "a floor without air changes and ceiling is no quantity to measure",
            "by the CADR at High, Fine filter it would have 1.800 (1.710 to 1.890) air "
            "changes an hour under 2.5 m",
        ),
        (
            {"quantity": "sound", "value": 40, "unit": "dB(A)"},
            "not comparable: a level needs its distance and room, and a sound power is "
            "another quantity",
            "measured here: 45.0 dB(A) at 1.5 m, in front",
        ),
        (
            {"quantity": "clearance", "value": 20, "unit": "min"},
            "not comparable: the room and what was left in it differ",
            "in our room of 30 m³: 22.00 min (21.10 to 22.90) to 10 %, observed, at "
            "High, Fine filter",
        ),
        (
            {"quantity": "airflow", "value": 300},
            "air moved is not clean air",
            "airflow measured here at High, Fine filter: 240 m³/h",
        ),
        (
            {"quantity": "filter_life", "value": 12, "unit": "months"},
            "a filter's life is not measured here",
            "costs here are reckoned with 8 months, stated by the maker",
        ),
        ({"aerosol": "pollen"}, "claimed for an aerosol that we do not test with", ""),
        ({"speed": "low"}, "claimed for another speed than the fastest", ""),
    ],
)
def test_claim_that_is_not_judged(
    fields: dict[str, Any], reason: str, nearby: str
) -> None:
    """A claim of another quantity says why, and what was measured near it."""
    found = shown(**fields)
    assert (found.outcome, found.ratio) == ("not what we measure", "")
    assert (found.reason, found.nearby) == (
        reason,
        nearby,
    )


def test_us_units() -> None:
    """Near a claim, ceiling and distance are in the reader's units."""
    found = shown("us", quantity="sound", value=40, unit="dB(A)")
    assert found.nearby == "measured here: 45.0 dB(A) at 4.92 ft, in front"


def test_level_that_is_an_upper_bound() -> None:
    """A level that the background limits is said to be at most that."""
    loud = replace(FULL, sound_limit="at_most")
    made = device(claims=[claim(quantity="sound", value=40, unit="dB(A)")])
    views = claim_views(made, [loud], AEROSOLS, "pm2_5", CONTEXT)
    (found,) = claim_rows(ENGLISH, SITE, LABELS, views)
    assert found.nearby == "measured here: at most 45.0 dB(A) at 1.5 m, in front"


def test_directories() -> None:
    """Each directory has its day; its figures have what measurement says of them."""
    value = {"quantity": "cadr", "value": 150, "unit": "m3/h", "aerosol": "smoke"}
    made = device(
        ratings=[
            {"directory": "Register", "outcome": "not_found", "date": "2024-02-01"},
            {
                "directory": "Other register",
                "outcome": "found",
                "date": "2024-02-02",
                "values": [{**value, "speed": "high"}, value],
            },
        ]
    )
    views = rating_views(made, [FULL], AEROSOLS, "pm2_5", ClaimContext())
    missing, found = rating_rows(ENGLISH, LABELS, made.ratings, views)
    assert missing.outcome == "looked for and not found, 1 February 2024"
    assert missing.figures == ()
    assert "certified" not in missing.outcome
    assert found.figures == (
        "CADR, smoke, High: 150 m³/h; measured 180.0 m³/h (171.0 to 189.0) at High, "
        "Fine filter, 120.0 % of it (114.0 to 126.0 %): above the claim",
        "CADR, smoke: 150 m³/h; not what we measure (it is not said at which speed)",
    )


def test_no_result_at_all() -> None:
    """Without results a claim stands alone."""
    views = claim_views(
        device(claims=[claim()]), [row(cadr_m3h=None)], AEROSOLS, "pm2_5"
    )
    (found,) = claim_rows(ENGLISH, SITE, LABELS, views)
    assert (found.measured, found.nearby) == ("", "")
    assert found.reason == "that setting has no result yet"
