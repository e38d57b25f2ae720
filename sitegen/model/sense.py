"""Rules that one field alone cannot decide, on a record as it was read.

They look at the plain data (texts, lists, mappings), not at the finished record, so
that a fault in one field never hides a fault of this sort.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from pydantic_core import PydanticCustomError

from sitegen.model.quantities import TABLE_FACTS, table_columns
from sitegen.model.scalars import parse_clock, parse_number

Path = tuple[str | int, ...]


class Nonsense(NamedTuple):
    """One rule broken.

    Attributes:
        path: where, as keys and positions.
        code: code of ``sitegen.errors``.
        values: what the code's sentences name.
    """

    path: Path
    code: str
    values: Mapping[str, str] = {}


def nonsense(kind: str, data: Mapping[str, Any]) -> list[Nonsense]:
    """Return every rule that the data of one record break.

    Args:
        kind: kind of the record, as in ``KINDS``; ``addresses`` and ``archive`` are
            taken as well.
        data: the record as read: mappings, lists and texts.
    """
    rules = {
        "device": _device,
        "filter": _filter,
        "instrument": _instrument,
        "run": _run,
        "table": _table,
        "comparison": _comparison,
        "edition": _edition,
        "video": _video,
        "addresses": _addresses,
    }
    rule = rules.get(kind)
    return list(rule(data)) if rule else []


def _items(data: Mapping[str, Any], key: str) -> list[tuple[int, Mapping[str, Any]]]:
    found = data.get(key)
    if not isinstance(found, list):
        return []
    return [(at, item) for at, item in enumerate(found) if isinstance(item, Mapping)]


def _twice(data: Mapping[str, Any], key: str) -> Iterator[Nonsense]:
    seen: set[str] = set()
    for at, item in _items(data, key):
        name = item.get("id")
        if isinstance(name, str):
            if name in seen:
                yield Nonsense((key, at, "id"), "id-twice", {"value": name})
            seen.add(name)


def _empty(data: Mapping[str, Any], *keys: str) -> Iterator[Nonsense]:
    for key in keys:
        if data.get(key) == []:
            yield Nonsense((key,), "empty-list")


def _device(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    for key in ("speeds", "filters", "specimens"):
        yield from _twice(data, key)
    yield from _empty(data, "speeds")
    for at, rating in _items(data, "ratings"):
        # A tuple, not a set: the outcome may be a list, which has no hash.
        if rating.get("outcome") in ("found", "not_found") and "date" not in rating:
            yield Nonsense(("ratings", at), "rating-without-date")
    for at, item in _items(data, "filters"):
        if item.get("id") == "none":
            yield Nonsense(("filters", at, "id"), "filter-none")


def _filter(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    lifetime = data.get("lifetime")
    if isinstance(lifetime, Mapping) and ("months" in lifetime) == (
        "hours" in lifetime
    ):
        yield Nonsense(("lifetime",), "months-or-hours")
        return
    if isinstance(lifetime, Mapping):
        yield from _within_its_range(lifetime)


def _within_its_range(lifetime: Mapping[str, Any]) -> Iterator[Nonsense]:
    try:
        value = parse_number(lifetime.get("months", lifetime.get("hours")))
        low = parse_number(lifetime.get("low", value))
        high = parse_number(lifetime.get("high", value))
    except PydanticCustomError:
        return
    if not low <= value <= high:
        values = {"value": f"{value:g}", "low": f"{low:g}", "high": f"{high:g}"}
        yield Nonsense(("lifetime",), "lifetime-crossed", values)


def _instrument(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    if data.get("kind") == "particle":
        if "fractions" not in data:
            yield Nonsense((), "no-fractions")
        elif data["fractions"] == {}:
            yield Nonsense(("fractions",), "no-fractions")
    dates = [
        item["date"]
        for _, item in _items(data, "calibrations")
        if isinstance(item.get("date"), str)
    ]
    if dates != sorted(dates):
        yield Nonsense(("calibrations",), "calibrations-out-of-order")


def _run(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    status = data.get("status")
    if status == "rejected" and "decision" not in data:
        yield Nonsense(("status",), "rejected-without-decision")
    if status == "superseded" and "superseded_by" not in data:
        yield Nonsense(("status",), "superseded-without-successor")
    yield from _empty(data, "readings_dba", "readings_w", "natural")


def _conditions(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    tests = ("is", "one_of", "at_most", "at_least")
    for at, item in _items(data, "where"):
        if sum(test in item for test in tests) != 1:
            yield Nonsense(("where", at), "not-one-test")
    yield from _empty(data, "columns")


def _comparison(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    yield from _conditions(data)
    if ("configurations" in data) == ("where" in data):
        yield Nonsense((), "list-or-where")
    yield from _empty(data, "configurations", "where")
    if data.get("figure") == "scatter" and not ("x" in data and "y" in data):
        yield Nonsense(("figure",), "scatter-needs-axes")
    chosen = data.get("configurations")
    if isinstance(chosen, list):
        for at, item in enumerate(chosen):
            if item in chosen[:at]:
                yield Nonsense(
                    ("configurations", at), "configuration-twice", {"value": str(item)}
                )


def _table(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    yield from _conditions(data)
    order, columns = data.get("order"), data.get("columns")
    if isinstance(order, str) and isinstance(columns, list) and columns:
        name = order.strip().removeprefix("-")
        known = name in table_columns() or name in TABLE_FACTS
        # What no table has is told elsewhere.
        if known and name not in columns:
            values = {
                "value": name,
                "choices": ", ".join(str(column) for column in columns),
            }
            yield Nonsense(("order",), "order-not-shown", values)


def _edition(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    columns, rows = data.get("columns"), data.get("rows")
    if not isinstance(columns, list) or not isinstance(rows, list):
        return
    for at, row in enumerate(rows):
        if isinstance(row, list) and len(row) != len(columns):
            values = {"found": str(len(row)), "wanted": str(len(columns))}
            yield Nonsense(("rows", at), "row-width", values)


def _video(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    last = -1
    for at, item in _items(data, "chapters"):
        try:
            start = parse_clock(item.get("at"))
        except PydanticCustomError:
            continue
        if (at == 0 and start != 0) or start <= last:
            yield Nonsense(("chapters", at, "at"), "chapters-out-of-order")
        last = start


def _addresses(data: Mapping[str, Any]) -> Iterator[Nonsense]:
    for at, item in _items(data, "addresses"):
        if ("moved_to" in item) == ("gone" in item):
            yield Nonsense(("addresses", at), "moved-or-gone")
