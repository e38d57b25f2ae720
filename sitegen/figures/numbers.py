"""Numbers as text in figures' tables and descriptions."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from sitegen.model.rounding import round_half_db, round_interval, round_significant

_CAPITAL_NOUNS = frozenset({"de", "lb"})
_PLACEHOLDER = re.compile(r"\{([a-z_]+)\}")


class Words(Protocol):
    """Gives the interface's words for a message id, which is the English text."""

    def __call__(self, text: str, /, **values: object) -> str:
        """Return the text, each ``{name}`` in it filled with its value."""
        ...

    def plural(self, one: str, many: str, n: int, /, **values: object) -> str:
        """Return the form of a text that goes with a number, ``{n}`` filled."""
        ...


@dataclass(frozen=True, slots=True)
class _Plain:
    """A message as its id says it: the words of English."""

    def __call__(self, text: str, /, **values: object) -> str:
        return _PLACEHOLDER.sub(lambda found: str(values.get(found[1], found[0])), text)

    def plural(self, one: str, many: str, n: int, /, **values: object) -> str:
        return self(one if n == 1 else many, n=n, **values)


plain = _Plain()
"""The words of message ids themselves."""


def message(text: str, /) -> str:
    """Return ``text``; marks a message id that is looked up later."""
    return text


def decimal_sign(words: Words) -> str:
    """Return the decimal sign of the language that ``words`` speak."""
    locale = getattr(words, "locale", "")
    if not locale:
        return "."
    from babel.numbers import get_decimal_symbol

    return get_decimal_symbol(locale)


def within_sentence(label: str, words: Words) -> str:
    """Return a quantity's name as it stands in the middle of a sentence.

    Small at its beginning, unless that is an abbreviation, or the language writes
    nouns with a capital everywhere.
    """
    if getattr(words, "language", "en") in _CAPITAL_NOUNS:
        return label
    return label if label.partition(" ")[0].isupper() else label[:1].lower() + label[1:]


def with_unit(label: str, unit: str) -> str:
    """Return a quantity's name with its unit, as axes and column heads have it."""
    return f"{label}, {unit}" if unit else label


def number(value: float | None, decimal: str = ".", digits: int = 3) -> str:
    """Return a number to ``digits`` significant digits; empty when it is missing."""
    if value is None or not math.isfinite(value):
        return ""
    rounded = round_significant(value, digits)
    return _text(f"{rounded.value:f}", decimal)


def tick(value: float, decimal: str = ".") -> str:
    """Return a value of an axis as it stands there, without noughts at its end."""
    # Adding nought takes the sign off minus zero.
    return _text(f"{value + 0.0:.6g}", decimal)


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
    return words(
        "{low} to {high}",
        low=_text(f"{rounded.low:f}", decimal),
        high=_text(f"{rounded.high:f}", decimal),
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


def middle(
    value: float | None,
    low: float | None,
    high: float | None,
    decimal: str = ".",
    *,
    decibels: bool = False,
) -> str:
    """Return a value as its quantity is read: by its interval, or to half a decibel."""
    if decibels:
        return half_db(value, decimal)
    return centre(value, low, high, decimal)


def limits(
    value: float | None,
    low: float | None,
    high: float | None,
    words: Words,
    decimal: str = ".",
    *,
    decibels: bool = False,
) -> str:
    """Return "178 to 189" as the quantity is read, or the value without limits."""
    if not decibels:
        return interval(value, low, high, words, decimal)
    if low is None or high is None:
        return half_db(value, decimal)
    return words(
        "{low} to {high}", low=half_db(low, decimal), high=half_db(high, decimal)
    )


def listed(items: Sequence[str], words: Words) -> str:
    """Return "a, b and c" in the page's language."""
    if len(items) < 2:
        return "".join(items)
    return words("{items} and {last}", items=", ".join(items[:-1]), last=items[-1])


def _text(plain: str, decimal: str) -> str:
    return plain.replace("-", "−").replace(".", decimal)
