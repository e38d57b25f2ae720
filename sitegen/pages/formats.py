"""How numbers, amounts, dates and intervals read on a page.

Every figure that a page shows passes through here: rounded by ``model.rounding``,
written as the language does, in metric or US units. Nothing is ever written as
plus-minus, as minus zero or as "nan"; an interval reads "178 to 189". Where there is
no number the text is empty and the page says in its own words that it is missing.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Mapping
from decimal import Decimal, localcontext
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

from sitegen.findings.views import Interval, ResultRow
from sitegen.measure.units import (
    CFM_M3H,
    FOOT2_M2,
    FOOT3_M3,
    FOOT_M,
    INCH_MM,
    POUND_KG,
)
from sitegen.model import QUANTITIES, Quantity
from sitegen.model.rounding import (
    WIDE,
    Rounded,
    round_half_db,
    round_interval,
    round_significant,
    round_to,
)
from sitegen.pages.words import ENGLISH, Words

MINUS = "−"
_SOME_DIGIT = re.compile(r"[1-9]")
# Where a currency has no sign its code stands, as in "KWD 1.250".
_LETTER_DIGIT = re.compile(r"(?<=[A-Za-z])(?=[0-9])|(?<=[0-9])(?=[A-Za-z])")
# Unit as stored: the US unit, and how much of the stored unit one of it is (exact).
US_UNITS: Mapping[str, tuple[str, float]] = MappingProxyType(
    {
        "m³/h": ("cfm", CFM_M3H),
        "m³/h per W": ("cfm per W", CFM_M3H),
        "m³": ("ft³", FOOT3_M3),
        "m²": ("ft²", FOOT2_M2),
        "m": ("ft", FOOT_M),
        "mm": ("in", INCH_MM),
        "kg": ("lb", POUND_KG),
    }
)


class Shown(NamedTuple):
    """A quantity as it stands in a page.

    Attributes:
        value: the value, or ``""`` where there is none.
        interval: its 95 % interval, or ``""``.
    """

    value: str
    interval: str


# --- numbers -------------------------------------------------------------------


def decimal_text(value: Decimal, decimals: int, words: Words = ENGLISH) -> str:
    """Return a rounded number with its digits, grouped as the language does.

    Args:
        value: the number, already rounded.
        decimals: digits after the mark.
        words: the interface's words.
    """
    text = _digits(value.copy_abs(), decimals, words.locale)
    return _signed(text, below=value < 0)


@lru_cache(maxsize=4096)
def _digits(value: Decimal, decimals: int, locale: str) -> str:
    """Return digits, kept: the same few thousand numbers stand on many pages."""
    from babel.numbers import format_decimal  # noqa: PLC0415 - for pages alone

    pattern = "#,##0" + (f".{'0' * decimals}" if decimals else "")
    with localcontext(WIDE):
        return format_decimal(value, pattern, locale=locale)


def _signed(text: str, *, below: bool) -> str:
    """Return digits with a minus sign where they are not all noughts."""
    return f"{MINUS}{text}" if below and _SOME_DIGIT.search(text) else text


def number(
    value: float, digits: int = 3, words: Words = ENGLISH, *, plain: bool = False
) -> str:
    """Return a number that has no interval, rounded to significant digits.

    Args:
        value: a finite number.
        digits: significant digits kept.
        words: the interface's words.
        plain: drop noughts that end the digits after the mark (``2.5``, not
            ``2.50``): for settings and figures quoted, which are exact as given.
    """
    rounded = round_significant(value, digits)
    decimals = rounded.decimals
    if plain:
        decimals = max(0, -_exponent(rounded.value.normalize()))
    return decimal_text(rounded.value, decimals, words)


def fixed(value: float, decimals: int, words: Words = ENGLISH) -> str:
    """Return a number with a given count of digits after the mark."""
    return decimal_text(round_to(value, -decimals), decimals, words)


def whole(value: int, words: Words = ENGLISH) -> str:
    """Return a count, grouped as the language does."""
    return decimal_text(Decimal(value), 0, words)


def percent(share: float, digits: int = 2, words: Words = ENGLISH) -> str:
    """Return a share (0.1) as a percentage (``10 %``)."""
    return words("{n} %", n=number(share * 100, digits, words, plain=True))


def _exponent(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0


# --- intervals -----------------------------------------------------------------


def span(low: str, high: str, words: Words = ENGLISH) -> str:
    """Return ``low to high``, or one of them where both read the same."""
    if low == high:
        return low
    return words("{low} to {high}", low=low, high=high)


def rounded_text(rounded: Rounded, words: Words = ENGLISH) -> Shown:
    """Return a rounded value and its interval as texts."""
    decimals = rounded.decimals
    interval = ""
    if rounded.low is not None and rounded.high is not None:
        low = decimal_text(rounded.low, decimals, words)
        interval = span(low, decimal_text(rounded.high, decimals, words), words)
    return Shown(decimal_text(rounded.value, decimals, words), interval)


def interval_text(interval: Interval, words: Words = ENGLISH) -> Shown:
    """Return a value and its interval, rounded together by the interval's width."""
    return rounded_text(
        round_interval(interval.value, interval.low, interval.high), words
    )


def estimate_text(
    value: float | None,
    low: float | None,
    high: float | None,
    words: Words = ENGLISH,
) -> Shown:
    """Return a value with limits that may be missing, as texts.

    Args:
        value: the value, or nothing.
        low: lower 95 % limit, or nothing.
        high: upper 95 % limit, or nothing.
        words: the interface's words.
    """
    if value is None:
        return Shown("", "")
    rounded = round_interval(value, low, high)
    shown = rounded_text(rounded, words)
    if rounded.low is not None and rounded.high is None:
        least = decimal_text(rounded.low, rounded.decimals, words)
        return Shown(shown.value, words("{low} or more", low=least))
    return shown


def rank_text(
    low: int | None, high: int | None, of: int | None, words: Words = ENGLISH
) -> str:
    """Return ``2 to 5 of 143 tested``; empty where nothing is ranked."""
    if low is None or high is None or of is None:
        return ""
    place = span(whole(low, words), whole(high, words), words)
    return words("{place} of {n} tested", place=place, n=whole(of, words))


# --- units ---------------------------------------------------------------------


def in_units(value: float, unit: str, units: str) -> tuple[float, str]:
    """Return a value and its unit as the reader wants them; never rounded.

    Args:
        value: in ``unit``.
        unit: unit as stored, for example ``m³/h``.
        units: ``metric`` or ``us``.
    """
    if units == "us" and unit in US_UNITS:
        name, factor = US_UNITS[unit]
        return value / factor, name
    return value, unit


def with_unit(
    value: float,
    unit: str,
    units: str = "metric",
    words: Words = ENGLISH,
    digits: int = 3,
) -> str:
    """Return a number with its unit in the reader's system, such as ``17.5 m²``."""
    shown, name = in_units(value, unit, units)
    return f"{number(shown, digits, words, plain=True)} {name}".rstrip()


def temperature(value_c: float, units: str = "metric", words: Words = ENGLISH) -> str:
    """Return an air temperature, ``21.5 °C`` or ``70.7 °F``."""
    if units == "us":
        return f"{fixed(value_c * 9 / 5 + 32, 1, words)} °F"
    return f"{fixed(value_c, 1, words)} °C"


def us_units(words: Words) -> dict[str, list[str | float]]:
    """Return for scripts the US unit of each unit, and how much of it one is."""
    return {
        words(unit): [words(name), factor] for unit, (name, factor) in US_UNITS.items()
    }


def unit_text(name: str, units: str, currency: str, words: Words = ENGLISH) -> str:
    """Return the unit of a quantity as a reader of ``units`` sees it.

    Args:
        name: name of the quantity.
        units: ``metric`` or ``us``.
        currency: ISO 4217 code that stands for an amount's unit.
        words: the interface's words, for units that hold one.
    """
    quantity = QUANTITIES[name]
    if quantity.unit == "currency":
        return currency
    us = units == "us" and quantity.us_unit
    return words(quantity.us_unit if us else quantity.unit)


# --- results -------------------------------------------------------------------


def not_reached_text(row: ResultRow, words: Words = ENGLISH) -> str:
    """Return that the room did not clear, and in how many whole minutes."""
    if row.clearance_low is None:
        return words("not reached")
    watched = number(math.floor(row.clearance_low), 6, words, plain=True)
    return words("not reached in {n} min", n=watched)


def quantity_text(
    name: str, row: ResultRow, units: str, words: Words = ENGLISH
) -> Shown:
    """Return a quantity of a result as it stands in a table, without its unit.

    Args:
        name: name of the quantity, as in ``results.csv``.
        row: the result.
        units: ``metric`` or ``us``.
        words: the interface's words.

    Returns:
        Value and interval; the value is empty where nothing was measured.
    """
    quantity = QUANTITIES[name]
    value = getattr(row, name)
    if value is None or value in ("", ()):
        return Shown("", "")
    if quantity.holds == "text":
        text = " ".join(value) if isinstance(value, tuple) else str(value)
        return Shown(text, "")
    if quantity.holds == "money":
        return Shown(money(value, row.currency, words), "")
    if quantity.holds == "whole":
        return Shown(whole(value, words), "")
    return _number_text(quantity, row, units, words)


def _number_text(quantity: Quantity, row: ResultRow, units: str, words: Words) -> Shown:
    stored = (
        getattr(row, name) if name else None
        for name in (quantity.name, quantity.low, quantity.high)
    )
    value, low, high = (
        None if each is None else in_units(each, quantity.unit, units)[0]
        for each in stored
    )
    if value is not None and quantity.rounding == "sound":
        return sound_text(value, low, high, row.sound_limit, words)
    if quantity.rounding == "interval":
        return estimate_text(value, low, high, words)
    return Shown("" if value is None else number(value, 3, words), "")


def sound_text(
    level_dba: float,
    low_dba: float | None,
    high_dba: float | None,
    limit: str = "",
    words: Words = ENGLISH,
) -> Shown:
    """Return a sound level to 0.5 dB, with its interval.

    Args:
        level_dba: the level, dB(A).
        low_dba: lower 95 % limit, or nothing.
        high_dba: upper 95 % limit, or nothing.
        limit: ``at_most`` where the room was too loud for more than an upper bound.
        words: the interface's words.
    """
    text = decimal_text(round_half_db(level_dba).value, 1, words)
    if limit == "at_most":
        return Shown(words("at most {level}", level=text), "")
    if low_dba is None or high_dba is None:
        return Shown(text, "")
    low = decimal_text(round_half_db(low_dba).value, 1, words)
    high = decimal_text(round_half_db(high_dba).value, 1, words)
    return Shown(text, span(low, high, words))


def decibels(level_dba: float, words: Words = ENGLISH) -> str:
    """Return a level without an interval, to half a decibel, ``40`` or ``38.5``."""
    return number(float(round_half_db(level_dba).value), 6, words, plain=True)


def money(amount: float | Decimal, currency: str, words: Words = ENGLISH) -> str:
    """Return an amount of money with its currency, digits as the currency has them.

    Args:
        amount: in the currency's main unit.
        currency: ISO 4217 code.
        words: the interface's words.

    Raises:
        ValueError: if the amount is not finite.
    """
    from babel.numbers import format_currency  # noqa: PLC0415 - for pages alone

    exact = amount if isinstance(amount, Decimal) else Decimal(repr(amount))
    if not exact.is_finite():
        raise ValueError(amount)
    with localcontext(WIDE):
        text = format_currency(exact.copy_abs(), currency, locale=words.locale)
    return _signed(_LETTER_DIGIT.sub("\N{NO-BREAK SPACE}", text), below=exact < 0)


# --- time ----------------------------------------------------------------------


def date_text(iso: str, words: Words = ENGLISH) -> str:
    """Return a day, ``12 March 2026``.

    Args:
        iso: ISO date, or a date with time, of which the day is shown.
        words: the interface's words.
    """
    from babel.dates import format_date  # noqa: PLC0415 - for pages alone

    day = dt.date.fromisoformat(iso[:10])
    return format_date(day, format="long", locale=words.locale)


def month_text(month: str, words: Words = ENGLISH) -> str:
    """Return a month, ``March 2026``.

    Args:
        month: year and month, ``2026-03``.
        words: the interface's words.
    """
    from babel.dates import format_skeleton  # noqa: PLC0415 - for pages alone

    day = dt.date.fromisoformat(f"{month}-01")
    return str(format_skeleton("yMMMM", day, locale=words.locale))


def moment_text(iso: str, words: Words = ENGLISH) -> str:
    """Return a day and clock time with its offset, as recorded.

    Args:
        iso: ISO date and time with offset.
        words: the interface's words.
    """
    moment = dt.datetime.fromisoformat(iso)
    zone = moment.strftime("%z")
    offset = f"UTC{zone[:1]}{zone[1:3]}:{zone[3:5]}" if zone else ""
    if zone[1:5] == "0000":
        offset = "UTC"
    return words(
        "{date}, {time} {offset}",
        date=date_text(iso, words),
        time=moment.strftime("%H:%M"),
        offset=offset.replace("-", MINUS),
    ).rstrip()


def minutes(value_min: float, words: Words = ENGLISH, digits: int = 2) -> str:
    """Return a time in minutes, ``21 min``."""
    return words("{n} min", n=number(value_min, digits, words, plain=True))


def clock_text(seconds: int) -> str:
    """Return a place in a video, ``m:ss`` or ``h:mm:ss``."""
    hours, rest = divmod(seconds, 3600)
    if hours:
        return f"{hours}:{rest // 60:02d}:{rest % 60:02d}"
    return f"{rest // 60}:{rest % 60:02d}"
