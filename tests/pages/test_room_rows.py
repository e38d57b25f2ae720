"""Rooms that settings serve."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from sitegen.findings.views import Labels
from sitegen.model.archive import Assumptions
from sitegen.pages.room_rows import rooms
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
    # Five changes an hour under 8 ft: 180 / (5 x 2.4384) = 14.76 m².
    assert [area for _, area, _ in found.rules] == ["15 m²", "15 m²"]
    assert all(source for _, _, source in found.rules)


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
