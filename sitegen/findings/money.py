"""Amounts in the archive's currency, through dated rates, with both shown."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from decimal import Decimal

from sitegen.errors import MeasureError
from sitegen.findings.index import days_apart
from sitegen.findings.views import Money
from sitegen.measure.energy import DAYS_A_YEAR
from sitegen.model.archive import Rate
from sitegen.model.device import Price

BASE_KINDS = ("list", "paid")
EXTRA_KINDS = ("carriage", "duty")


def converted(
    amount: Decimal, currency: str, date: dt.date, home: str, rates: Sequence[Rate]
) -> Money:
    """Return an amount in the archive's currency.

    The rate used is the one dated nearest to the price; of two as near, the later.

    Args:
        amount: as recorded, main unit.
        currency: its currency.
        date: day of the price.
        home: the archive's currency.
        rates: the archive's dated rates.

    Raises:
        MeasureError: ``rate_missing``, if there is no rate for the currency.
    """
    value = float(amount)
    if currency == home:
        return Money(value, home, value, currency, date.isoformat(), 1.0, "")
    known = [rate for rate in rates if rate.currency == currency]
    if not known:
        raise MeasureError("rate_missing", currency=currency)
    rate = min(known, key=lambda r: (abs((r.date - date).days), -r.date.toordinal()))
    return Money(
        amount=value * rate.value,
        currency=home,
        original=value,
        original_currency=currency,
        date=date.isoformat(),
        rate=rate.value,
        rate_date=rate.date.isoformat(),
        rate_source=rate.source,
    )


def rate_days(amount: Money) -> int:
    """Return how many days a price and the rate that converts it lie apart; 0 for none.

    Args:
        amount: an amount, converted or not.
    """
    if not amount.rate_date:
        return 0
    return days_apart(amount.date, amount.rate_date)


def years_mixed(days: Iterable[str]) -> tuple[str, str] | None:
    """Return the oldest and the newest of days more than a year apart, else nothing.

    Args:
        days: ISO dates of what is added up.
    """
    known = sorted(days)
    if not known or days_apart(known[0], known[-1]) <= DAYS_A_YEAR:
        return None
    return known[0], known[-1]


def price_parts(
    prices: Sequence[Price], home: str, rates: Sequence[Rate]
) -> tuple[tuple[str, Money], ...]:
    """Return what a device costs, part by part: kind and amount.

    The base is the newest list price, or without one the newest price paid; the
    newest carriage and the newest duty come on top. Nothing without a base.
    """

    def newest(kind: str) -> Price | None:
        of_kind = [price for price in prices if price.kind == kind]
        return max(of_kind, key=lambda price: price.date) if of_kind else None

    base = next((found for kind in BASE_KINDS if (found := newest(kind))), None)
    if base is None:
        return ()
    parts = [base, *(extra for kind in EXTRA_KINDS if (extra := newest(kind)))]
    return tuple(
        (part.kind, converted(part.amount, part.currency, part.date, home, rates))
        for part in parts
    )
