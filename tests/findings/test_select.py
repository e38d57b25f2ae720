"""Choosing and ordering the rows that tables and comparisons show."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from sitegen.findings.select import (
    Fact,
    FactOfRow,
    NoSuchQuantity,
    facts_of,
    matches,
    ordered,
    resolve_columns,
)
from sitegen.findings.views import Labels, ResultRow
from sitegen.model import Condition


def row(device: str, **fields: Any) -> ResultRow:
    named: dict[str, Any] = {
        "filter": "fine",
        "speed": "high",
        "method": "decay-a",
        "fraction": "pm2_5",
        "runs": 2,
        "run_ids": ("r1", "r2"),
        "validity": "rated",
        "flags": (),
        **fields,
    }
    return ResultRow(device=device, **named)


FACTS: dict[str, Fact] = {
    "form": "kit",
    "maker": "Quillmoor",
    "price": 120.0,
    "withdrawn": "no",
}


def asked(**test: Any) -> Condition:
    return Condition.model_validate(test)


@pytest.mark.parametrize(
    ("test", "met"),
    [
        ({"field": "cadr_m3h", "at_least": 200}, True),
        ({"field": "cadr_m3h", "at_least": 200.5}, False),
        ({"field": "cadr_m3h", "at_most": 200}, True),
        ({"field": "cadr_m3h", "at_most": 199}, False),
        ({"field": "device", "is": "alder"}, True),
        ({"field": "device", "is": "birch"}, False),
        ({"field": "form", "is": "kit"}, True),
        ({"field": "form", "one_of": ["wall", "kit"]}, True),
        ({"field": "form", "one_of": ["wall", "portable"]}, False),
        ({"field": "maker", "is": "quillmoor"}, True),
        ({"field": "price", "at_most": 120}, True),
        ({"field": "price", "at_most": 119.99}, False),
        ({"field": "runs", "is": "2"}, True),
        ({"field": "runs", "is": "2.0"}, True),
        ({"field": "runs", "is": "two"}, False),
        ({"field": "withdrawn", "is": "no"}, True),
        ({"field": "withdrawn", "is": "false"}, True),
        ({"field": "withdrawn", "is": "yes"}, False),
        ({"field": "form", "at_most": 3}, False),
    ],
)
def test_one_condition(test: dict[str, Any], met: bool) -> None:
    """A condition holds at its limit and on no side beyond it."""
    assert matches(row("alder", cadr_m3h=200.0), FACTS, [asked(**test)]) is met


@pytest.mark.parametrize("test", ["at_most", "at_least"])
@pytest.mark.parametrize("field", ["sound_dba", "price"])
def test_missing_number_meets_no_limit(test: str, field: str) -> None:
    """What was not measured is neither under nor over a limit."""
    facts: dict[str, Fact] = {**FACTS, "price": None}
    assert not matches(row("alder"), facts, [asked(field=field, **{test: 50})])


def test_zero_is_not_missing() -> None:
    """A measured zero is a number and meets an upper limit."""
    assert matches(row("alder", cadr_m3h=0.0), {}, [asked(field="cadr_m3h", at_most=1)])


def test_any_flag_meets_a_condition_on_flags() -> None:
    """A field that holds several values is met by any one of them."""
    flagged = row("alder", flags=("N_LOW", "CURV"))
    assert matches(flagged, {}, [asked(field="flags", **{"is": "CURV"})])
    assert not matches(flagged, {}, [asked(field="flags", **{"is": "STEP"})])
    assert not matches(row("birch"), {}, [asked(field="flags", **{"is": "CURV"})])


def test_all_conditions_are_needed() -> None:
    """A row that misses one of two conditions is not shown."""
    both = [asked(field="form", **{"is": "kit"}), asked(field="price", at_most=100)]
    assert not matches(row("alder"), FACTS, both)
    assert matches(row("alder"), {**FACTS, "price": 90.0}, both)


def test_no_condition_takes_every_row() -> None:
    """A table without conditions shows everything."""
    assert matches(row("alder"), {}, [])


def test_unknown_field_is_raised() -> None:
    """A field that no row has is never silently false."""
    with pytest.raises(NoSuchQuantity):
        matches(row("alder"), FACTS, [asked(field="loudness", at_most=3)])


def test_facts_of_labels() -> None:
    """A device's names become the facts that conditions ask for."""
    labels = Labels("alder", "Alder", "Quillmoor", "kit", (), (), False, True)
    assert facts_of(labels, 80.0) == {
        "form": "kit",
        "maker": "Quillmoor",
        "price": 80.0,
        "withdrawn": "yes",
    }


@pytest.mark.parametrize(
    ("order", "devices"),
    [
        ("cadr_m3h", ["c", "b", "e", "a", "d"]),
        ("-cadr_m3h", ["a", "b", "e", "c", "d"]),
        ("device", ["a", "b", "c", "d", "e"]),
        ("-device", ["e", "d", "c", "b", "a"]),
    ],
)
def test_order_is_stable_and_missing_comes_last(order: str, devices: list[str]) -> None:
    """Missing is last and ties stand by name, both ways, however rows come in."""
    rows = [
        row("a", cadr_m3h=300.0),
        row("b", cadr_m3h=90.0),
        row("c", cadr_m3h=-2.0),
        row("d"),
        row("e", cadr_m3h=90.0),
    ]
    for shuffled in itertools.permutations(rows):
        assert [found.device for found in ordered(shuffled, order)] == devices


def test_numbers_sort_as_numbers() -> None:
    """Nine comes before ten and minus two before both."""
    rows = [row("a", power_w=10.0), row("b", power_w=9.0), row("c", power_w=-2.0)]
    assert [found.device for found in ordered(rows, "power_w")] == ["c", "b", "a"]


def test_empty_text_is_missing() -> None:
    """A row without a basis comes after those that have one."""
    rows = [row("a"), row("b", clearance_basis="observed")]
    assert [r.device for r in ordered(rows, "clearance_basis")] == ["b", "a"]


@pytest.mark.parametrize(
    ("order", "devices"),
    [("price", ["b", "a", "c"]), ("-price", ["a", "b", "c"])],
)
def test_rows_are_sorted_by_what_is_no_result(order: str, devices: list[str]) -> None:
    """Nine comes before ten, and a device without a price last, both ways."""
    prices = {"a": 10.0, "b": 9.0}
    facts: dict[str, FactOfRow] = {"price": lambda each: prices.get(each.device)}
    rows = [row("c"), row("a"), row("b")]
    assert [found.device for found in ordered(rows, order, facts)] == devices


def test_unknown_order_is_raised() -> None:
    """An order by what no row has is a fault, also without rows."""
    with pytest.raises(NoSuchQuantity):
        ordered([], "-loudness")


def test_columns_keep_their_order_once() -> None:
    """Columns are as asked for, and a column named twice stands once."""
    names = ["sound_dba", "cadr_m3h", "sound_dba"]
    assert [q.label for q in resolve_columns(names)] == ["Sound level", "CADR"]


def test_unknown_column_is_raised() -> None:
    """A column that does not exist is a fault."""
    with pytest.raises(NoSuchQuantity):
        resolve_columns(["cadr_m3h", "loudness"])
