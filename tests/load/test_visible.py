"""What may be published when something is held."""

from __future__ import annotations

from typing import Any

from sitegen.load import Facts, facts_of, held_back, visible
from sitegen.model import adapter

Key = tuple[str, str]

DEVICE = {
    "name": "H",
    "maker": "M",
    "form": "kit",
    "speeds": [{"id": "low", "label": "L"}],
}
RUN = {
    "kind": "sound",
    "device": "h",
    "specimen": "a",
    "filter": "none",
    "speed": "low",
    "method": "s",
    "started": "2026-03-01T10:00Z",
    "readings_dba": [40],
}
METHOD = {
    "kind": "sound",
    "name": "S",
    "version": "1",
    "since": "2026-01-01",
    "instrument": "ear",
    "distance_m": 1,
    "position": "front",
    "text": "T",
}
COMPARISON = {"title": "T", "question": "Q"}
EDITION = {
    "comparison": "one",
    "pinned": "2026-04-01",
    "title": "T",
    "columns": ["device"],
    "rows": [["h"]],
}


def archive(held: tuple[Key, ...]) -> dict[Key, Facts]:
    """Return a small archive in which some records are held."""
    data: dict[Key, dict[str, Any]] = {
        ("instrument", "ear"): {"name": "E", "kind": "sound"},
        ("method", "s"): METHOD,
        ("filter", "f"): {"name": "F", "maker": "M"},
        ("device", "h"): {**DEVICE, "superseded_by": "i"},
        ("device", "i"): {**DEVICE, "filters": [{"id": "f"}]},
        ("run", "x"): RUN,
        ("run", "y"): {**RUN, "device": "i", "superseded_by": "x"},
        ("comparison", "one"): {**COMPARISON, "configurations": ["h.none.low"]},
        ("comparison", "both"): {
            **COMPARISON,
            "configurations": ["h.none.low", "i.f.low"],
        },
        ("comparison", "where"): {
            **COMPARISON,
            "where": [{"field": "device", "is": "h"}],
        },
        ("edition", "e"): EDITION,
        ("video", "v"): {
            "title": "T",
            "url": "https://example.org/v",
            "date": "2026-04-01",
            "devices": ["h"],
            "comparisons": ["one"],
        },
    }
    return {
        key: facts_of(
            key[0],
            adapter(key[0]).validate_python(
                {**item, "id": key[1], "held": key in held}
            ),
        )
        for key, item in data.items()
    }


def test_nothing_held_shows_everything() -> None:
    """Without a held record every id may be published."""
    records = archive(())
    assert held_back(records) == {}
    shown = visible(records)
    assert {(kind, name) for kind, names in shown.items() for name in names} == set(
        records
    )


def test_a_held_device_takes_along_what_rests_on_it() -> None:
    """Its runs, a comparison of it alone and that one's edition wait; videos stay."""
    held = held_back(archive((("device", "h"),)))
    assert held == {
        ("device", "h"): ("device", "h"),
        ("run", "x"): ("device", "h"),
        ("comparison", "one"): ("device", "h"),
        ("edition", "e"): ("comparison", "one"),
    }


def test_a_held_instrument_takes_along_method_and_runs() -> None:
    """What rests on something held rests on whatever holds that back."""
    held = held_back(archive((("instrument", "ear"),)))
    assert held == {
        ("instrument", "ear"): ("instrument", "ear"),
        ("method", "s"): ("instrument", "ear"),
        ("run", "x"): ("method", "s"),
        ("run", "y"): ("method", "s"),
    }


def test_a_held_filter_holds_the_device_and_with_another_the_comparison() -> None:
    """A comparison waits only when every device that it lists is held."""
    held = held_back(archive((("filter", "f"), ("device", "h"))))
    assert ("device", "i") in held
    assert ("run", "y") in held
    assert ("comparison", "both") in held
    assert ("comparison", "where") not in held
    assert ("video", "v") not in held


def test_what_a_held_record_names_loosely_stays() -> None:
    """A successor or a video that is held holds nothing else back."""
    held = held_back(archive((("device", "i"), ("video", "v"))))
    assert set(held) == {("device", "i"), ("run", "y"), ("video", "v")}


def test_visible_ids_are_sorted_by_kind() -> None:
    """Kinds whose every record is held are left out altogether."""
    shown = visible(archive((("edition", "e"), ("run", "x"))))
    assert shown["comparison"] == ("both", "one", "where")
    assert shown["run"] == ("y",)
    assert "edition" not in shown
