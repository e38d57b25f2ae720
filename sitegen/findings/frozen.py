"""A result as an edition keeps it: texts, as ``results.csv`` publishes them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sitegen.findings.views import ResultRow, Validity
from sitegen.model import QUANTITIES, RESULT_COLUMNS
from sitegen.model.rounding import significant_text

FROZEN: tuple[str, ...] = tuple(name for name in RESULT_COLUMNS if name != "address")
"""The columns that an edition keeps: all but the page's address."""

_LISTS = frozenset({"run_ids", "flags"})
_VALIDITIES: tuple[Validity, ...] = ("rated", "notes", "not_rated")


def frozen(row: ResultRow, columns: Sequence[str] = FROZEN) -> tuple[str, ...]:
    """Return the texts of a result, an empty one for what was not measured."""
    return tuple(_text(getattr(row, name)) for name in columns)


def thawed(columns: Sequence[str], texts: Sequence[str]) -> ResultRow:
    """Return the result that texts were frozen from.

    What is not among the columns is taken as not measured; so is a text that should
    be a number and is none.

    Args:
        columns: names of the quantities frozen.
        texts: a text for each.
    """
    given = dict(zip(columns, texts, strict=False))
    held: dict[str, Any] = {
        name: _value(name, given.get(name, "")) for name in RESULT_COLUMNS
    }
    held["runs"] = held["runs"] or 0
    if held["validity"] not in _VALIDITIES:
        held["validity"] = "rated"
    return ResultRow(**held)


def _text(value: Any) -> str:  # noqa: ANN401 - any cell
    if value is None:
        return ""
    if isinstance(value, float):
        return significant_text(value)
    return " ".join(value) if isinstance(value, tuple) else str(value)


def _value(name: str, text: str) -> Any:  # noqa: ANN401 - any cell
    if name in _LISTS:
        return tuple(text.split())
    if QUANTITIES[name].holds == "text":
        return text
    try:
        value = float(text)
    except ValueError:
        return None
    if not abs(value) < float("inf"):
        return None
    return int(value) if QUANTITIES[name].holds == "whole" else value
