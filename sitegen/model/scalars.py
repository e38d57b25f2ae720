"""Field types for the scalars of a record.

Every scalar arrives as the text that stands in the file; the type of the field
decides what it means (so ``NO`` can be a name and ``2.30`` a version). The same
types take back the plain values of a stored record.

A refusal is a ``PydanticCustomError`` whose type is a code of ``sitegen.errors``
and whose context holds the values that the code's sentences name.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any, Literal
from urllib.parse import urlsplit

from pydantic import BeforeValidator, Field
from pydantic_core import PydanticCustomError

ID_PATTERN = re.compile(r"[a-z0-9][a-z0-9-]{0,63}")
NUMBER_PATTERN = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_YES_NO = {"yes": True, "true": True, "on": True, "no": False, "false": False}
_YES_NO["off"] = False
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_CLOCK = re.compile(r"(?:(\d{1,3}):)?(\d{1,2}):(\d{2})", re.ASCII)
# Direction marks and joiners can make a text read otherwise than it is stored.
_HIDDEN = frozenset("\u200b\u200e\u200f\u2028\u2029\u2060\ufeff") | {
    chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))
}
MOST_CHARACTERS = 50_000
LINK_SCHEMES = ("https", "http", "mailto")


def refuse(code: str, **values: str) -> PydanticCustomError:
    """Return the error to raise for a value that a field does not take."""
    return PydanticCustomError(code, code, values)


def _shown(value: object) -> str:
    text = str(value)
    return text if len(text) <= 60 else text[:57] + "…"


def parse_text(value: object) -> str:
    """Return a text as written; refuse anything that is not one text."""
    if not isinstance(value, str):
        raise refuse("not-a-text", value=_shown(value))
    if not value.strip():
        raise refuse("empty-text")
    if len(value) > MOST_CHARACTERS:
        values = {"found": str(len(value)), "most": str(MOST_CHARACTERS)}
        raise refuse("text-too-long", **values)
    for char in value:
        if (ord(char) < 32 and char not in "\n\t") or 0x7F <= ord(char) < 0xA0:
            raise refuse("control-character", char=f"U+{ord(char):04X}")
        if char in _HIDDEN or 0xD800 <= ord(char) < 0xE000:
            raise refuse("control-character", char=f"U+{ord(char):04X}")
    return value.strip()


def parse_line(value: object) -> str:
    """Return a text that stands on one line."""
    text = parse_text(value)
    if "\n" in text or "\t" in text:
        raise refuse("not-one-line")
    return text


def parse_id(value: object) -> str:
    """Return an id: lower-case letters, digits and hyphens, 64 at the most."""
    text = parse_line(value)
    if not ID_PATTERN.fullmatch(text):
        raise refuse("not-an-id", value=_shown(text))
    return text


def parse_number(value: object) -> float:
    """Return a finite number; refuse booleans, underscores, NaN and infinities."""
    if isinstance(value, bool):
        raise refuse("not-a-number", value=_shown(value))
    if isinstance(value, int | float) or (
        isinstance(value, str) and NUMBER_PATTERN.fullmatch(value.strip())
    ):
        number = float(value)
    else:
        raise refuse("not-a-number", value=_shown(value))
    if not math.isfinite(number):
        raise refuse("not-a-number", value=_shown(value))
    return number


def parse_whole(value: object) -> int:
    """Return a whole number (``20000`` and ``2e4`` are both one)."""
    number = parse_number(value)
    if number != int(number) or abs(number) > 2**53:
        raise refuse("not-a-whole-number", value=_shown(value))
    return int(number)


def parse_yes_no(value: object) -> bool:
    """Return yes or no from yes, no, true, false, on, off in any case."""
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.strip().lower() in _YES_NO:
        return _YES_NO[value.strip().lower()]
    raise refuse("not-yes-or-no", value=_shown(value))


def parse_date(value: object) -> dt.date:
    """Return a calendar date from ``YYYY-MM-DD``."""
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value
    if isinstance(value, str) and _DATE.fullmatch(value.strip()):
        try:
            return dt.date.fromisoformat(value.strip())
        except ValueError:
            raise refuse("impossible-date", value=_shown(value)) from None
    raise refuse("not-a-date", value=_shown(value))


def parse_moment(value: object) -> dt.datetime:
    """Return a date and time that says its offset from UTC."""
    if isinstance(value, dt.datetime):
        moment = value
    elif isinstance(value, str) and _DATE.match(value.strip()):
        try:
            moment = dt.datetime.fromisoformat(value.strip())
        except ValueError:
            raise refuse("not-a-moment", value=_shown(value)) from None
    else:
        raise refuse("not-a-moment", value=_shown(value))
    if moment.tzinfo is None:
        raise refuse("no-offset", value=_shown(value))
    return moment


def parse_link(value: object) -> str:
    """Return a web or mail address; every other scheme is refused."""
    text = parse_line(value)
    try:
        parts = urlsplit(text)
    except ValueError:
        raise refuse("not-a-link", value=_shown(text)) from None
    aim = parts.path if parts.scheme == "mailto" else parts.hostname
    if parts.scheme not in LINK_SCHEMES or not aim or re.search(r"[\s<>\"\\]", text):
        raise refuse("not-a-link", value=_shown(text))
    return text


def parse_web_link(value: object) -> str:
    """Return a web address (``https`` or ``http``)."""
    text = parse_link(value)
    if text.startswith("mailto:"):
        raise refuse("not-a-link", value=_shown(text))
    return text


def parse_money(value: object) -> Decimal:
    """Return an amount of money: not negative, three decimals at the most."""
    text = str(value).strip() if isinstance(value, str | int | Decimal) else ""
    if isinstance(value, float):
        text = repr(value)
    if isinstance(value, bool) or not re.fullmatch(r"\d{1,12}(\.\d{1,3})?", text):
        raise refuse("not-an-amount", value=_shown(value))
    return Decimal(text)


def parse_currency(value: object) -> str:
    """Return a currency code of three capital letters (ISO 4217)."""
    text = parse_line(value)
    if not re.fullmatch(r"[A-Z]{3}", text):
        raise refuse("not-a-currency", value=_shown(text))
    return text


def parse_clock(value: object) -> int:
    """Return whole seconds from ``m:ss`` or ``h:mm:ss``."""
    if isinstance(value, int) and not isinstance(value, bool) and value >= 0:
        return value
    found = _CLOCK.fullmatch(value.strip()) if isinstance(value, str) else None
    if not found or int(found[3]) > 59 or (found[1] and int(found[2]) > 59):
        raise refuse("not-a-clock", value=_shown(value))
    return int(found[1] or 0) * 3600 + int(found[2]) * 60 + int(found[3])


def parse_file_name(value: object) -> str:
    """Return a relative path with forward slashes that stays in its folder."""
    text = parse_line(value)
    parts = text.split("/")
    if any(part in {"", ".", ".."} for part in parts) or re.search(
        r"[\\:*?\"<>|]", text
    ):
        raise refuse("not-a-file-name", value=_shown(text))
    return text


def bounded(
    low: float | None = None, high: float | None = None, *, above: float | None = None
) -> Callable[[Any], Any]:
    """Return a check that a number is within bounds.

    Args:
        low: smallest number taken, or none.
        high: largest number taken, or none.
        above: number that must be exceeded, or none.
    """

    def check(value: object) -> float:
        number = parse_number(value)
        if (
            (low is not None and number < low)
            or (high is not None and number > high)
            or (above is not None and number <= above)
        ):
            parts = []
            if above is not None:
                parts.append(f"above {above:g}")
            if low is not None:
                parts.append(f"at least {low:g}")
            if high is not None:
                parts.append(f"at most {high:g}")
            raise refuse(
                "out-of-bounds", value=_shown(value), bounds=" and ".join(parts)
            )
        return number

    return check


Text = Annotated[str, BeforeValidator(parse_text)]
Line = Annotated[str, BeforeValidator(parse_line)]
Id = Annotated[str, BeforeValidator(parse_id), Field(pattern=ID_PATTERN.pattern)]
Number = Annotated[float, BeforeValidator(parse_number)]
Positive = Annotated[float, BeforeValidator(bounded(above=0))]
NotNegative = Annotated[float, BeforeValidator(bounded(low=0))]
Share = Annotated[float, BeforeValidator(bounded(above=0, high=1))]
Percent = Annotated[float, BeforeValidator(bounded(low=0, high=100))]
DayHours = Annotated[float, BeforeValidator(bounded(low=0, high=24))]
Whole = Annotated[int, BeforeValidator(parse_whole)]
YesNo = Annotated[bool, BeforeValidator(parse_yes_no)]
Date = Annotated[dt.date, BeforeValidator(parse_date)]
Moment = Annotated[dt.datetime, BeforeValidator(parse_moment)]
Link = Annotated[str, BeforeValidator(parse_link)]
WebLink = Annotated[str, BeforeValidator(parse_web_link)]
Money = Annotated[Decimal, BeforeValidator(parse_money)]
Currency = Annotated[str, BeforeValidator(parse_currency)]
Clock = Annotated[int, BeforeValidator(parse_clock)]
FileName = Annotated[str, BeforeValidator(parse_file_name)]

Fraction = Literal["pm1", "pm2_5", "pm4", "pm10", "count"]
