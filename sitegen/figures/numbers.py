"""Numbers as text in figures' tables and descriptions."""

from __future__ import annotations

import math
from collections.abc import Callable

from sitegen.model.rounding import round_half_db, round_interval, round_significant

Words = Callable[[str], str]
"""Gives the interface's words for a message id; ids are English with ``{names}``."""


def number(value: float | None, decimal: str = ".", digits: int = 3) -> str:
    """Return a number to ``digits`` significant digits; empty when it is missing."""
    if value is None or not math.isfinite(value):
        return ""
    rounded = round_significant(value, digits)
    return _text(f"{rounded.value:f}", decimal)


def interval(
    value: float | None,
    low: float | None,
    high: float | None,
    words: Words,
    decimal: str = ".",
) -> str:
    """Return "178 to 189", rounded by its width, or the value when it has no limits."""
    if value is None:
        return ""
    rounded = round_interval(value, low, high)
    if rounded.low is None or rounded.high is None:
        return _text(f"{rounded.value:f}", decimal)
    return words("{low} to {high}").format(
        low=_text(f"{rounded.low:f}", decimal), high=_text(f"{rounded.high:f}", decimal)
    )


def centre(
    value: float | None, low: float | None, high: float | None, decimal: str = "."
) -> str:
    """Return a value rounded as its interval is; empty when it is missing."""
    if value is None:
        return ""
    return _text(f"{round_interval(value, low, high).value:f}", decimal)


def half_db(value: float | None, decimal: str = ".") -> str:
    """Return a sound level to half a decibel; empty when it is missing."""
    if value is None:
        return ""
    return _text(f"{round_half_db(value).value:.1f}", decimal)


def listed(items: list[str], words: Words) -> str:
    """Return "a, b and c" in the page's language."""
    if len(items) < 2:
        return "".join(items)
    return words("{items} and {last}").format(
        items=", ".join(items[:-1]), last=items[-1]
    )


def _text(plain: str, decimal: str) -> str:
    return plain.replace("-", "−").replace(".", decimal)
