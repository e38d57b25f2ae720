"""Rounding for readers: by the uncertainty, never more digits than that supports.

Rule: a value and its limits are rounded together, to two significant digits of the
smaller half-width (the convention of the Guide to the Expression of Uncertainty in
Measurement, clause 7.2.6: an uncertainty is quoted to two significant digits at the
most and the estimate is rounded to be consistent with it).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Context, Decimal

WIDE = Context(prec=700, rounding=ROUND_HALF_EVEN)
"""More digits than any float has, from its first to its last; the default has 28."""


@dataclass(frozen=True, slots=True)
class Rounded:
    """A value with its limits, as numbers already rounded and as their decimals.

    Attributes:
        value: the value.
        low: lower limit, or nothing.
        high: upper limit, or nothing.
        decimals: digits after the point to print; 0 also for tens and hundreds.
    """

    value: Decimal
    low: Decimal | None
    high: Decimal | None
    decimals: int


def round_to(value: float, place: int) -> Decimal:
    """Return ``value`` rounded to ``10**place``, half to even, never minus zero.

    Args:
        value: a finite number.
        place: decimal exponent of the last digit kept; 1 keeps tens.

    Raises:
        ValueError: if the number is not finite.
    """
    rounded = _exact(value).quantize(Decimal(1).scaleb(place), context=WIDE)
    if rounded == 0:
        rounded = abs(rounded)
    return rounded.quantize(Decimal(1).scaleb(min(place, 0)), context=WIDE)


def _exact(value: float) -> Decimal:
    """Return a number as it is written.

    Raises:
        ValueError: if it is not finite.
    """
    if not math.isfinite(value):
        raise ValueError(value)
    return Decimal(repr(value))


def _place(width: Decimal, digits: int) -> int:
    """Return the exponent of the last of ``digits`` significant digits of ``width``."""
    exponent = width.adjusted() - digits + 1
    # 0.0996 to two digits is 0.10: rounding up may carry into a new first digit.
    rounded = width.quantize(Decimal(1).scaleb(exponent), context=WIDE)
    if rounded >= Decimal(1).scaleb(exponent + digits):
        exponent += 1
    return exponent


def _significant_place(value: float, digits: int) -> int:
    exact = _exact(value)
    return _place(exact.copy_abs(), digits) if exact else 0


def round_interval(value: float, low: float | None, high: float | None) -> Rounded:
    """Round a value and its limits by the smaller half-width, to two digits.

    Without limits, three significant digits are kept. Limits that coincide with the
    value give no width to go by; three digits are kept then as well.

    Args:
        value: the value; finite.
        low: lower limit of the 95 % interval; finite, or nothing where it is open.
        high: upper limit of the 95 % interval, likewise.

    Raises:
        ValueError: if a number is not finite.
    """
    # As written, not in binary, where 10 - 9.005 falls short of 0.995.
    widths = [
        WIDE.subtract(_exact(value), _exact(limit)).copy_abs()
        for limit in (low, high)
        if limit is not None
    ]
    width = min((width for width in widths if width), default=None)
    place = _significant_place(value, 3) if width is None else _place(width, 2)
    return Rounded(
        round_to(value, place),
        None if low is None else round_to(low, place),
        None if high is None else round_to(high, place),
        max(0, -place),
    )


def round_significant(value: float, digits: int = 3) -> Rounded:
    """Round a number that has no interval to ``digits`` significant digits.

    Raises:
        ValueError: if the number is not finite.
    """
    place = _significant_place(value, digits)
    return Rounded(round_to(value, place), None, None, max(0, -place))


def round_half_db(level_dba: float) -> Rounded:
    """Round a sound level to 0.5 dB, half to even.

    Raises:
        ValueError: if the level is not finite.
    """
    halves = round_to(level_dba * 2, 0)
    return Rounded(halves / 2, None, None, 1)


def significant_text(value: float, digits: int = 10) -> str:
    """Return a published number: ``digits`` significant digits, shortest form.

    Raises:
        ValueError: if the number is not finite.
    """
    if not math.isfinite(value):
        raise ValueError(value)
    text = f"{value:.{digits}g}"
    return "0" if float(text) == 0 else text
