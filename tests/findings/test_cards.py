"""A device in a few words and numbers."""

from __future__ import annotations

from typing import Any

from sitegen.findings.cards import card_of, labels_of
from sitegen.findings.views import Card
from sitegen.model import Device
from tests.findings.builders import device, row


def card(made: Device, *rows: Any, price: float | None = 220.0) -> Card:
    return card_of(
        made, labels_of(made, {}, held=False), rows, 40.0, price, "2024-03-01"
    )


def test_labels() -> None:
    """A device's speeds and filters are named in its own order."""
    found = labels_of(device(), {"fine": "Fine filter", "other": "Other"}, held=True)
    assert found.speeds == (("low", "1"), ("high", "2"))
    assert found.filters == (("fine", "Fine filter"),)
    assert (found.id, found.name, found.maker, found.form) == (
        "alder",
        "Alder",
        "Quillmoor",
        "portable",
    )
    assert (found.held, found.withdrawn) == (True, False)


def test_filter_without_a_name_is_shown_by_its_id() -> None:
    """A filter whose name is not known is still named."""
    assert labels_of(device(), {}, held=False).filters == (("fine", "fine"),)


def test_withdrawn() -> None:
    """A withdrawn device is marked as such."""
    gone = device(withdrawn={"date": "2024-05-01", "reason": "No longer made."})
    assert labels_of(gone, {}, held=False).withdrawn


def test_headline_and_quiet_pick() -> None:
    """A card has the highest CADR and the highest that is quiet enough."""
    fast = row(cadr_m3h=200.0, sound_dba=55.0, sound_high=56.0)
    quiet = row("alder.fine.low", cadr_m3h=80.0, sound_dba=30.0, sound_high=31.0)
    found = card(device(), quiet, fast)
    assert found.headline is fast
    assert found.quiet.row is quiet
    assert found.quiet.cap_dba == 40.0
    assert (found.price, found.tested) == (220.0, "2024-03-01")


def test_not_tested_yet() -> None:
    """A device without results has a card without numbers."""
    found = card(device(), price=None)
    assert (found.headline, found.quiet.row, found.price) == (None, None, None)
    assert (found.standing, found.photo) == ("", None)


def test_ways_of_acquisition_once_each() -> None:
    """Each way in which a unit came to the bench is told once, in order."""
    units = [
        {"id": "a", "acquired": {"how": "lent", "date": "2024-01-01"}},
        {"id": "b", "acquired": {"how": "bought", "date": "2024-01-02"}},
        {"id": "c", "acquired": {"how": "lent", "date": "2024-01-03"}},
        {"id": "d"},
    ]
    assert card(device(specimens=units)).acquired == ("lent", "bought")


def test_standing_and_photo() -> None:
    """A card shows the verdict's standing and the first photograph with its text."""
    made = device(
        verdict={"standing": "for-some", "as_of": "2024-04-01", "text": "Quiet."},
        photos=[
            {"file": "alder.jpg", "alt": "A white box", "credit": "Bench"},
            {"file": "back.jpg", "alt": "Its back", "credit": "Bench"},
        ],
    )
    found = card(made)
    assert found.standing == "for-some"
    assert found.photo == ("alder.jpg", "A white box")
