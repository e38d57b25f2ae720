"""The compare page's state written as a query string, in one way."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import quote

from sitegen.pages.compare_state import CompareState, Filter
from sitegen.pages.query_fields import VERSION


def write_query(state: CompareState) -> str:
    """Return the query string of a state, without a question mark.

    What is not said is not written; an empty state is ``""``. Numbers are written to
    nine decimals.

    Args:
        state: a state as ``parse_query`` returns them.
    """
    pairs = [(key, value) for key, value in _written(state) if value]
    if not pairs:
        return ""
    return "&".join(
        f"{quote(key, safe='')}={quote(value, safe=',:')}"
        for key, value in [("v", VERSION), *pairs]
    )


def _written(state: CompareState) -> Iterator[tuple[str, str]]:
    yield "c", ",".join(state.configurations)
    yield "figure", state.figure
    yield "x", state.x
    yield "y", state.y
    yield "scale", state.scale
    yield "sort", state.sort
    yield "cols", ",".join(state.columns)
    yield "q", state.search
    for each in state.filters:
        yield from _filter_pairs(each)
    yield "u", state.units
    yield "tariff", _decimal(state.tariff)
    yield "hours", _decimal(state.hours)
    yield "years", _decimal(state.years)
    yield "discount", _decimal(state.discount)
    yield "life", _decimal(state.life)
    if state.rate is not None:
        yield "rate", f"{state.rate.currency}:{_decimal(state.rate.value)}"
    yield "room", _decimal(state.room_m2)
    yield "ceiling", _decimal(state.ceiling_m)
    yield "ach", _decimal(state.ach_per_h)
    yield "cap", _decimal(state.cap_dba)


def _filter_pairs(each: Filter) -> Iterator[tuple[str, str]]:
    key = f"f.{each.field}"
    for value in each.values:
        yield key, value
    low, high = _decimal(each.at_least), _decimal(each.at_most)
    if low and low == high:
        yield key, low
    elif low or high:
        yield key, f"{low}..{high}"


def _decimal(value: float | None) -> str:
    if value is None:
        return ""
    text = f"{value:.9f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
