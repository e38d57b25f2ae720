"""What is asked about records, as far as the cases of whole archives do not show it."""

from __future__ import annotations

import datetime as dt

import pytest

from sitegen.findings.second_look import of_device, of_instrument, says_nothing
from sitegen.model import Device, Instrument
from tests.findings.builders import device, entry

TODAY = dt.date(2026, 11, 20)


@pytest.mark.parametrize(
    ("alt", "nothing"),
    [
        ("photo", True),
        ("Photo", True),
        ("A picture.", True),
        ("Image 3", True),
        ("Photo of the Alder 3 by Alder Works", True),
        ("front-view.jpg", True),
        ("IMG_0042", True),
        ("Drawing of a low round unit in a woven sleeve", False),
        ("Front grille, slots clogged with lint", False),
        ("Blue filter", False),
        ("写真", False),
    ],
)
def test_texts_that_say_nothing(alt: str, *, nothing: bool) -> None:
    """A text says something once a word is left beside names and words for pictures."""
    found = says_nothing(alt, "alder/front-view.jpg", "Alder 3", "Alder Works")
    assert found is nothing


def priced(**fields: object) -> Device:
    price = {"amount": "100", "currency": "EUR", "date": "2025-01-01"}
    data = device().model_dump(mode="json")
    return Device.model_validate({**data, "prices": [price], **fields})


def codes(record: Device) -> list[str]:
    return [problem.code for problem in of_device(record, TODAY)]


def test_only_prices_of_current_devices_that_can_be_renewed_are_asked_about() -> None:
    """Not of a device that is withdrawn or superseded, nor carriage and duty."""
    assert codes(priced()) == ["price-old"]
    gone = {"date": "2025-02-01", "reason": "Sold."}
    assert codes(priced(withdrawn=gone)) == []
    assert codes(priced(superseded_by="alder-4")) == []
    duty = {"amount": "5", "currency": "EUR", "date": "2025-01-01", "kind": "duty"}
    assert codes(priced(prices=[duty])) == []


@pytest.mark.parametrize(("day", "old"), [("2025-11-20", False), ("2025-11-19", True)])
def test_a_year_is_365_days(day: str, *, old: bool) -> None:
    """On the same date of the next year a price is not yet old; a day later it is."""
    price = {"amount": "100", "currency": "EUR", "date": day}
    assert bool(codes(priced(prices=[price]))) is old


@pytest.mark.parametrize(
    ("until", "runs"), [("2026-11-20", None), ("2026-11-10", "2"), (None, None)]
)
def test_calibrations(until: str | None, runs: str | None) -> None:
    """The last day itself is valid; later, the accepted runs since then are counted."""
    calibration = {"date": "2026-01-01", "by": "A", "valid_until": until}
    record = Instrument.model_validate(
        {"id": "c", "name": "C", "kind": "particle", "calibrations": [calibration]}
    )
    entries = [
        entry("a", day="2026-11-10"),
        entry("b", day="2026-11-11"),
        entry("c", day="2026-11-20"),
        entry("d", day="2026-11-21"),
        entry("e", day="2026-11-15", status="rejected"),
    ]
    found = list(of_instrument(record, entries, TODAY))
    assert [problem.values["runs"] for problem in found] == ([runs] if runs else [])
