"""Rules that one field alone cannot decide."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.errors import CODES
from sitegen.model.sense import nonsense

Found = list[tuple[tuple[str | int, ...], str]]


def found(kind: str, data: dict[str, Any]) -> Found:
    """Return path and code of each rule broken."""
    return [(broken.path, broken.code) for broken in nonsense(kind, data)]


@pytest.mark.parametrize(
    ("kind", "data", "expected"),
    [
        ("device", {"speeds": [{"id": "a"}, {"id": "b"}]}, []),
        (
            "device",
            {"speeds": [{"id": "a"}, {"id": "a"}, {"id": "a"}]},
            [(("speeds", 1, "id"), "id-twice"), (("speeds", 2, "id"), "id-twice")],
        ),
        (
            "device",
            {"speeds": [], "filters": [{"id": "none"}]},
            [(("speeds",), "empty-list"), (("filters", 0, "id"), "filter-none")],
        ),
        (
            "device",
            {"filters": [{"id": "f"}, {"id": "f"}], "specimens": [{"id": "a"}]},
            [(("filters", 1, "id"), "id-twice")],
        ),
        (
            "device",
            {
                "ratings": [
                    {"outcome": "found", "date": "2026-01-01"},
                    {"outcome": "not_checked"},
                    {"outcome": "not_found"},
                ]
            },
            [(("ratings", 2), "rating-without-date")],
        ),
        ("filter", {"lifetime": {"months": "6"}}, []),
        ("filter", {"lifetime": {"hours": "900"}}, []),
        ("filter", {"lifetime": {}}, [(("lifetime",), "months-or-hours")]),
        ("filter", {"lifetime": {"months": "6", "low": "6", "high": "6"}}, []),
        ("filter", {"lifetime": {"months": "6", "low": "six"}}, []),
        (
            "filter",
            {"lifetime": {"months": "6", "low": "7"}},
            [(("lifetime",), "lifetime-crossed")],
        ),
        (
            "filter",
            {"lifetime": {"hours": "900", "low": "100", "high": "899"}},
            [(("lifetime",), "lifetime-crossed")],
        ),
        (
            "filter",
            {"lifetime": {"months": "6", "hours": "900"}},
            [(("lifetime",), "months-or-hours")],
        ),
        ("filter", {}, []),
        ("instrument", {"kind": "particle"}, [((), "no-fractions")]),
        (
            "instrument",
            {"kind": "particle", "fractions": {}},
            [(("fractions",), "no-fractions")],
        ),
        ("instrument", {"kind": "sound"}, []),
        (
            "instrument",
            {
                "kind": "sound",
                "calibrations": [{"date": "2026-02-01"}, {"date": "2026-01-31"}],
            },
            [(("calibrations",), "calibrations-out-of-order")],
        ),
        ("run", {"status": "rejected"}, [(("status",), "rejected-without-decision")]),
        ("run", {"status": "rejected", "decision": {}}, []),
        (
            "run",
            {"status": "superseded"},
            [(("status",), "superseded-without-successor")],
        ),
        (
            "run",
            {"status": "accepted", "readings_w": []},
            [(("readings_w",), "empty-list")],
        ),
        ("table", {"where": [{"field": "form", "is": "kit"}]}, []),
        ("table", {"where": [{"field": "form"}]}, [(("where", 0), "not-one-test")]),
        (
            "table",
            {"columns": [], "where": [{"field": "a", "is": "b", "at_most": "3"}]},
            [(("where", 0), "not-one-test"), (("columns",), "empty-list")],
        ),
        ("table", {"columns": ["sound_dba", "price"], "order": "-price"}, []),
        ("table", {"columns": ["sound_dba"], "order": "-loudness"}, []),
        ("table", {"columns": ["sound_dba"]}, []),
        (
            "table",
            {"columns": ["sound_dba", "rank"], "order": "price"},
            [(("order",), "order-not-shown")],
        ),
        (
            "table",
            {"columns": ["price"], "order": "-cadr_m3h"},
            [(("order",), "order-not-shown")],
        ),
        ("comparison", {"where": [{"field": "form", "is": "kit"}]}, []),
        ("comparison", {}, [((), "list-or-where")]),
        (
            "comparison",
            {"configurations": ["a.b.c"], "where": [{"field": "form", "is": "kit"}]},
            [((), "list-or-where")],
        ),
        (
            "comparison",
            {
                "configurations": ["a.b.c", "a.b.d", "a.b.c"],
                "figure": "scatter",
                "x": "q",
            },
            [
                (("figure",), "scatter-needs-axes"),
                (("configurations", 2), "configuration-twice"),
            ],
        ),
        ("comparison", {"configurations": []}, [(("configurations",), "empty-list")]),
        (
            "edition",
            {"columns": ["a", "b"], "rows": [["1", "2"], ["1"]]},
            [(("rows", 1), "row-width")],
        ),
        (
            "video",
            {"chapters": [{"at": "0:00"}, {"at": "4:05"}, {"at": "1:00:00"}]},
            [],
        ),
        (
            "video",
            {"chapters": [{"at": "0:01"}, {"at": "0:01"}]},
            [
                (("chapters", 0, "at"), "chapters-out-of-order"),
                (("chapters", 1, "at"), "chapters-out-of-order"),
            ],
        ),
        ("addresses", {"addresses": [{"moved_to": "a"}, {"gone": "x"}]}, []),
        (
            "addresses",
            {"addresses": [{"moved_to": "a", "gone": "x"}, {}]},
            [(("addresses", 0), "moved-or-gone"), (("addresses", 1), "moved-or-gone")],
        ),
        ("archive", {"name": "x"}, []),
    ],
)
def test_fields_are_held_against_each_other(
    kind: str, data: dict[str, Any], expected: Found
) -> None:
    """Each rule names the place and the code, and nothing when it is met."""
    assert found(kind, data) == expected


KINDS = (
    *("device", "filter", "instrument", "run", "table"),
    *("comparison", "edition", "video", "addresses"),
)
FIELDS = (
    *("speeds", "filters", "specimens", "ratings", "lifetime", "kind", "fractions"),
    *("calibrations", "status", "where", "columns", "configurations", "figure"),
    *("rows", "chapters", "addresses"),
)
INNER = ("id", "outcome", "date", "at", "is", "moved_to", "gone", "months")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    "value",
    [
        "text",
        [["x"]],
        {"a": "b"},
        [{key: ["x"] for key in INNER}],
        [{key: {"x": "y"} for key in INNER}],
    ],
)
def test_data_of_any_shape_raise_nothing(kind: str, value: object) -> None:
    """A list where a text belongs is another fault's business, never a crash."""
    codes = {broken.code for broken in nonsense(kind, dict.fromkeys(FIELDS, value))}
    assert codes <= set(CODES)
