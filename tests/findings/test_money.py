"""Dated rates: which one is taken, and what is kept beside the amount."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from sitegen.errors import MeasureError
from sitegen.findings.money import converted, price_parts
from sitegen.findings.views import Money
from sitegen.model.archive import Rate
from sitegen.model.device import Price
from tests.findings.builders import rate

NEW_YEAR = rate("USD", 0.90, "2024-01-01")
SUMMER = rate("USD", 0.80, "2024-07-01")
OTHER = rate("GBP", 1.15, "2024-03-01")


def in_home(day: str, *rates: Rate) -> Money:
    return converted(Decimal("100.50"), "USD", dt.date.fromisoformat(day), "EUR", rates)


def price(amount: str, date: str, kind: str = "list", currency: str = "EUR") -> Price:
    fields: dict[str, Any] = {
        "amount": amount,
        "currency": currency,
        "date": date,
        "kind": kind,
    }
    return Price.model_validate(fields)


@pytest.mark.parametrize(
    ("day", "value", "rate_day"),
    [
        ("2023-06-01", 0.90, "2024-01-01"),
        ("2024-01-01", 0.90, "2024-01-01"),
        # 91 days after the first, 91 before the second: as near, so the later.
        ("2024-04-01", 0.80, "2024-07-01"),
        ("2024-03-31", 0.90, "2024-01-01"),
        ("2024-04-02", 0.80, "2024-07-01"),
        ("2026-01-01", 0.80, "2024-07-01"),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_nearest_rate(day: str, value: float, rate_day: str, turned: bool) -> None:
    """The rate dated nearest is taken, of two as near the later, in any order."""
    rates = (NEW_YEAR, OTHER, SUMMER)
    found = in_home(day, *(rates[::-1] if turned else rates))
    assert (found.rate, found.rate_date) == (value, rate_day)
    assert found.amount == pytest.approx(100.50 * value)


def test_original_is_kept() -> None:
    """A converted amount keeps what was paid, in which currency, and when."""
    found = in_home("2024-01-20", NEW_YEAR)
    assert (found.original, found.original_currency) == (100.50, "USD")
    assert (found.currency, found.date) == ("EUR", "2024-01-20")


def test_own_currency_needs_no_rate() -> None:
    """An amount in the archive's currency stays, also where rates are known."""
    day = dt.date(2024, 1, 1)
    found = converted(Decimal("9.95"), "EUR", day, "EUR", [NEW_YEAR])
    assert found == Money(9.95, "EUR", 9.95, "EUR", "2024-01-01", 1.0, "")


@pytest.mark.parametrize("rates", [(), (OTHER,)])
def test_no_rate_is_raised(rates: tuple[Rate, ...]) -> None:
    """Without a rate for its currency an amount is refused, never taken as it is."""
    with pytest.raises(MeasureError) as caught:
        in_home("2024-01-01", *rates)
    assert caught.value.code == "rate_missing"
    assert caught.value.detail == {"currency": "USD"}


def amounts(*prices: Price) -> list[tuple[str, float]]:
    return [(kind, one.amount) for kind, one in price_parts(prices, "EUR", [NEW_YEAR])]


def test_newest_list_price_before_any_price_paid() -> None:
    """The newest list price is the base, also where a price paid is newer."""
    assert amounts(
        price("100", "2023-01-01"),
        price("120", "2024-01-01"),
        price("110", "2022-01-01"),
        price("80", "2025-01-01", "paid"),
    ) == [("list", 120.0)]


def test_newest_price_paid_without_a_list_price() -> None:
    """Without a list price the newest price paid is the base."""
    assert amounts(
        price("80", "2024-01-01", "paid"), price("70", "2023-01-01", "paid")
    ) == [("paid", 80.0)]


def test_extras_come_once_each() -> None:
    """The newest carriage and the newest duty come on top, each once."""
    assert amounts(
        price("5", "2023-01-01", "duty"),
        price("9", "2023-01-01", "carriage"),
        price("100", "2024-01-01"),
        price("12", "2024-01-01", "carriage"),
    ) == [("list", 100.0), ("carriage", 12.0), ("duty", 5.0)]


def test_extras_alone_are_no_price() -> None:
    """Carriage without a device costs nothing that could be compared."""
    assert amounts(price("12", "2024-01-01", "carriage")) == []


def test_parts_in_several_currencies() -> None:
    """Each part is converted for itself."""
    found = amounts(
        price("100", "2024-01-01"), price("10", "2024-01-01", "duty", "USD")
    )
    assert found == [("list", 100.0), ("duty", pytest.approx(9.0))]
