"""Rooms that settings serve."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Literal

import pytest

from sitegen.findings.views import Labels
from sitegen.measure.sizing import EQUIVALENT_AIR_LS
from sitegen.model.archive import Assumptions
from sitegen.pages.room_people import USES
from sitegen.pages.room_rows import Rooms, rooms
from sitegen.pages.room_rules import rules
from sitegen.pages.words import ENGLISH
from tests.findings.builders import row
from tests.pages.builders import SITE

LABELS = Labels(
    id="a",
    name="Alder",
    maker="Fen",
    form="portable",
    speeds=(("low", "Low"), ("high", "High")),
    filters=(("fine", "Fine filter"),),
    held=False,
    withdrawn=False,
)


@pytest.fixture
def assumed() -> Assumptions:
    """Five air changes an hour under 2.5 m."""
    return Assumptions.model_validate(
        {
            "tariff": {
                "per_kwh": 0.3,
                "date": dt.date(2026, 1, 1).isoformat(),
                "source": "A bill",
            },
            "target_ach_per_h": 5,
            "ceiling_m": 2.5,
        }
    )


def test_a_room_is_what_the_lower_limit_serves(assumed: Assumptions) -> None:
    """180 m³/h at the least, 5 changes an hour, 2.5 m: 14.4 m², shown as 14 m²."""
    found = rooms(
        ENGLISH,
        SITE,
        LABELS,
        [
            row("a.fine.high", cadr_m3h=190.0, cadr_low=180.0, cadr_high=200.0),
            row("a.fine.low", cadr_m3h=5.0, cadr_low=-1.0, cadr_high=11.0),
        ],
        assumed,
    )
    assert found is not None
    assert [each.area for each in found.rows] == ["14 m²"]
    assert found.first == "High, Fine filter"
    assert found.least == "180 m³/h"


def at_180(assumed: Assumptions, units: Literal["metric", "us"] = "metric") -> Rooms:
    """Return the rooms of a setting with 180 m³/h at the least, 190 by itself."""
    setting = row(
        "a.fine.high",
        cadr_m3h=190.0,
        cadr_low=180.0,
        cadr_high=200.0,
        sound_dba=40.0,
    )
    found = rooms(ENGLISH, replace(SITE, units=units), LABELS, [setting], assumed)
    assert found is not None
    return found


def test_rules_of_thumb(assumed: Assumptions) -> None:
    """Each rule has its name, its floor, its source, and what the CADR is not."""
    found = at_180(assumed).rules
    # 180 m³/h are 105.9 cfm: 180 / (5 x 2.4384) = 14.76 m², and under the 130 cfm that
    # the home guide wants for 200 ft², which are 18.58 m².
    assert [(rule.name, rule.area) for rule in found] == [
        ("Two-thirds rule", "15 m²"),
        ("CDC aim of 5 air changes or more", "15 m²"),
        ("EPA guide for homes", "less than 19 m²"),
    ]
    caveat = (
        "The CADR here is of PM2.5 by optical sensors, neither a smoke CADR nor a "
        "regulated one."
    )
    assert all(rule.source.endswith(caveat) for rule in found)
    assert "130 cfm for 200 ft²" in found[-1].source


def test_home_guide_takes_the_row_that_is_met() -> None:
    """600 m³/h are 353 cfm: above the 325 for 500 ft², below the 390 for 600."""
    *_, guide = rules(ENGLISH, replace(SITE, units="us"), 600.0, "PM2.5")
    assert guide.area == "500 ft²"
    assert "325 cfm for 500 ft²" in guide.source


def test_machines_for_rooms(assumed: Assumptions) -> None:
    """40 m² under 2.5 m want 500 m³/h, so three; 60 m² five at 180, four at 190."""
    found = at_180(assumed).counts
    assert found.cap == "40"
    assert [tuple(each)[:-1] for each in found.rows] == [
        ("10 m², 25 m³", "1", "1", "40.0", "40"),
        ("16 m², 40 m³", "2", "2", "43.0", "37"),
        ("25 m², 62.5 m³", "2", "2", "43.0", "37"),
        # 40 + 10 log10 3 = 44.77, and 40 less that much.
        ("40 m², 100 m³", "3", "3", "45.0", "35"),
        ("60 m², 150 m³", "5", "4", "47.0", "33"),
    ]
    assert [each.area for each in found.rows] == ["10", "16", "25", "40", "60"]


def test_people_by_use(assumed: Assumptions) -> None:
    """180 m³/h are 50 L/s: enough for two at 20 L/s each, for one at 45."""
    found = at_180(assumed).people
    assert found.clean == "50.0 L/s"
    assert [(each.each, each.people) for each in found.rows] == [
        ("10", "5"),
        ("15", "3"),
        ("20", "2"),
        ("25", "2"),
        ("30", "1"),
        ("35", "1"),
        ("40", "1"),
        ("45", "1"),
    ]
    assert found.rows[2].uses == ("classroom, day room, examination room, shop")
    assert found.note == ""
    in_us = at_180(assumed, "us").people
    assert in_us.clean == "50.0 L/s"
    assert "no conversion" in in_us.note


def test_every_use_has_a_word() -> None:
    """Every use of the table is named, and no use that the table lacks."""
    assert set(USES) == set(EQUIVALENT_AIR_LS)


def test_customary_units(assumed: Assumptions) -> None:
    """14.4 m² are 155 ft²."""
    found = rooms(
        ENGLISH,
        replace(SITE, units="us"),
        LABELS,
        [row("a.fine.high", cadr_m3h=190.0, cadr_low=180.0, cadr_high=200.0)],
        assumed,
    )
    assert found is not None
    assert found.rows[0].area == "160 ft²"
    assert found.rows[0].clean == "106 cfm"


def test_nothing_clean_serves_no_room(assumed: Assumptions) -> None:
    """A device that cannot be told from none has no room."""
    zero = row("a.fine.low", cadr_m3h=1.0, cadr_low=-2.0, cadr_high=4.0)
    assert rooms(ENGLISH, SITE, LABELS, [zero], assumed) is None
