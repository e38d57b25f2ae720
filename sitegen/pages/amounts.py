"""An amount with its cheap and its dear end, as tables of costs show it."""

from __future__ import annotations

from typing import NamedTuple

from sitegen.pages.formats import fixed, money, span
from sitegen.pages.words import Words


class Amount(NamedTuple):
    """An amount as a table shows it.

    Attributes:
        value: the amount, or ``""`` where it is not known.
        ends: its cheap and its dear end, or ``""``.
    """

    value: str
    ends: str = ""


def amount(
    value: float, ends: tuple[float, float] | None, currency: str, words: Words
) -> Amount:
    """Return an amount, and its ends as ``61 to 95`` in the currency's digits.

    Ends that both read like the amount itself are no range, and are left out.

    Args:
        value: in the currency's main unit.
        ends: its cheap and its dear end, or nothing.
        currency: ISO 4217 code.
        words: the interface's words.
    """
    from babel.numbers import get_currency_precision  # noqa: PLC0415 - for pages alone

    shown = money(value, currency, words)
    if ends is None or all(money(end, currency, words) == shown for end in ends):
        return Amount(shown)
    digits = get_currency_precision(currency)
    low, high = (fixed(end, digits, words) for end in ends)
    return Amount(shown, span(low, high, words))
