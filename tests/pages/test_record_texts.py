"""The texts in records are found and checked where they stand."""

from __future__ import annotations

from typing import Any

from sitegen.load import Problem
from sitegen.model import Device, Record, adapter
from sitegen.model.device import Response
from sitegen.pages.record_texts import RecordText, text_problems, texts_of

DEVICE: dict[str, Any] = {
    "id": "alder-3",
    "name": "[not](a link)",
    "maker": "Nobody",
    "form": "kit",
    "speeds": [{"id": "low", "label": "Low"}],
    "modified": "A fan on a box.",
    "specimens": [
        {"id": "a", "acquired": {"how": "lent", "date": "2026-01-05", "note": "Back."}},
        {"id": "b"},
    ],
    "verdict": {
        "standing": "undecided",
        "as_of": "2026-01-20",
        "text": "See [it](run:r-9).",
        "likes": ["[x](y)"],
    },
    "note": "[x](javascript:1) ![y](comparison:quiet)",
}


def test_texts_are_found_wherever_they_stand() -> None:
    """Texts are found in fields, parts and lists; names and lines are left alone."""
    assert texts_of(Device.model_validate(DEVICE)) == (
        RecordText(("modified",), "A fan on a box."),
        RecordText(("specimens", 0, "acquired", "note"), "Back."),
        RecordText(("verdict", "text"), "See [it](run:r-9)."),
        RecordText(("note",), "[x](javascript:1) ![y](comparison:quiet)"),
    )


def test_a_record_of_several_shapes() -> None:
    """The text of a method, whose shape its kind decides, is found too."""
    method: Record = adapter("method").validate_python(
        {
            "id": "p",
            "kind": "power",
            "name": "P",
            "version": "1",
            "since": "2026-01-05",
            "instrument": "m",
            "duration_min": 10,
            "text": "At the plug.",
        }
    )
    assert texts_of(method) == (RecordText(("text",), "At the plug."),)


def test_what_is_wrong_is_told_with_its_path() -> None:
    """Refused links, figures and links to nothing are told at their field."""
    there = {"run:r-8"}
    found = text_problems(
        "device", Device.model_validate(DEVICE), there.__contains__, there
    )
    assert found == (
        Problem(
            "device",
            "alder-3",
            ("verdict", "text"),
            "link-unknown",
            {"target": "run:r-9", "guess": "run:r-8"},
        ),
        Problem(
            "device",
            "alder-3",
            ("note",),
            "link-refused",
            {"target": "javascript:1"},
        ),
        Problem(
            "device",
            "alder-3",
            ("note",),
            "figure-not-alone",
            {"target": "comparison:quiet"},
        ),
    )


def test_settings_have_no_id() -> None:
    """What is wrong with a text of a part that is no record is told without an id."""
    part = Response.model_validate(
        {"date": "2026-01-05", "by": "Maker", "text": "[x](y)"}
    )
    assert text_problems("archive", part, bool) == (
        Problem("archive", "", ("text",), "link-refused", {"target": "y"}),
    )
