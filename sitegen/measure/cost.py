"""What a device costs: filters of a year, ownership over years, clean air.

Amounts are in one currency's major unit and are not rounded here. The formulas are
the method's own definitions: plain sums over what is paid, and when. They hold for one
currency and constant use; a filter's lifetime is as good as the basis that is stated
beside it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.errors import MeasureError
from sitegen.measure.arrays import checked_positive
from sitegen.measure.energy import DAYS_A_YEAR, year_energy_kwh

DAYS_A_MONTH = 30.4167
"""365/12 rounded as in the method's text; stated with it."""


@dataclass(frozen=True, slots=True)
class FilterCost:
    """One filter that is bought again and again.

    Attributes:
        price: of one change (all pieces).
        interval_months: between changes.
    """

    price: float
    interval_months: float

    def __post_init__(self) -> None:
        """Refuse a price or an interval that means nothing.

        Raises:
            MeasureError: ``not_positive``.
        """
        checked_positive("price", self.price, zero=True)
        checked_positive("interval_months", self.interval_months)


@dataclass(frozen=True, slots=True)
class Range:
    """A figure with the ends between which it may lie.

    Attributes:
        value: as published.
        low: least.
        high: greatest.
    """

    value: float
    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse ends that do not enclose the value.

        Raises:
            MeasureError: ``limits_crossed``.
        """
        if not self.low <= self.value <= self.high:
            raise MeasureError(
                "limits_crossed", low=self.low, value=self.value, high=self.high
            )


def months_from_hours(running_hours: float, hours_on_per_day: float) -> float:
    """Return months between changes when a lifetime is stated in running hours.

    ``hours/(h_on 30.4167)``.

    Args:
        running_hours: stated lifetime, h, positive.
        hours_on_per_day: h_on, daily use, h, above 0.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("running_hours", running_hours)
    checked_positive("hours_on_per_day", hours_on_per_day)
    return running_hours / (hours_on_per_day * DAYS_A_MONTH)


def filters_per_year(filters: Sequence[FilterCost]) -> float:
    """Return what filters cost in a steady year, ``sum price 12/interval``.

    A mean over many years: in one year whole filters are bought (``filter_changes``).

    Args:
        filters: price of a change and months between changes, for each filter.

    Returns:
        Currency a year; 0 for no filter.
    """
    return sum(item.price * 12.0 / item.interval_months for item in filters)


def filter_changes(years: float, interval_months: float) -> int:
    """Return how many filters are bought in a number of years.

    ``ceil(12 N/interval) - 1``: the first came with the device, and none is bought on
    the last day.

    Args:
        years: N, positive, whole or not.
        interval_months: between changes, positive.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("years", years)
    checked_positive("interval_months", interval_months)
    # Without the small allowance 12 * 5 / 7.5 could become 8.000000000000001.
    return max(math.ceil(12.0 * years / interval_months - 1e-9) - 1, 0)


def ownership_cost(
    price: float,
    filters: Sequence[FilterCost],
    energy_cost_year: float,
    years: float,
) -> float:
    """Return price, filters bought and electricity over a number of years.

    ``price + sum n_i filter_i + N energy``, n_i by ``filter_changes``; not discounted.

    Args:
        price: of the device, currency.
        filters: price of a change and months between changes, for each filter.
        energy_cost_year: electricity, currency a year.
        years: N, positive.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("price", price, zero=True)
    checked_positive("energy_cost_year", energy_cost_year, zero=True)
    bought = sum(
        filter_changes(years, item.interval_months) * item.price for item in filters
    )
    return price + bought + years * energy_cost_year


def discounted_ownership_cost(
    price: float,
    filters: Sequence[FilterCost],
    energy_cost_year: float,
    years: int,
    rate: float,
) -> float:
    """Return ownership cost in today's money.

    ``sum payment/(1 + r)^t``: each filter is discounted from the month it is bought,
    each year's electricity from the year's middle. Prices are those of today
    throughout.

    Args:
        price: of the device, today, currency.
        filters: as in ``ownership_cost``.
        energy_cost_year: of each year, currency.
        years: whole years.
        rate: yearly, 0.03 for 3 %; above -1.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("price", price, zero=True)
    checked_positive("energy_cost_year", energy_cost_year, zero=True)
    growth = checked_positive("growth", 1.0 + rate)
    total = price
    for item in filters:
        for change in range(1, filter_changes(years, item.interval_months) + 1):
            total += item.price / growth ** (change * item.interval_months / 12.0)
    for year in range(years):
        total += energy_cost_year / growth ** (year + 0.5)
    return total


def cost_per_1000_m3(
    ownership: float, cadr_m3h: float, hours_on_per_day: float, years: float
) -> float:
    """Return what 1000 m3 of clean air cost over the years.

    ``TCO/(CADR h_on 365 N) 1000``; CADR is taken as constant, though a filter that
    loads lowers it. Cost and CADR are those of the same speed.

    Args:
        ownership: TCO, cost over the years, currency.
        cadr_m3h: m3/h, positive.
        hours_on_per_day: h_on, h, positive.
        years: N, positive.

    Returns:
        Currency per 1000 m3.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("cadr_m3h", cadr_m3h)
    checked_positive("hours_on_per_day", hours_on_per_day)
    checked_positive("years", years)
    delivered = cadr_m3h * hours_on_per_day * DAYS_A_YEAR * years
    return ownership / delivered * 1000.0


def ownership_range(
    price: Range,
    filters: Sequence[tuple[Range, Range]],
    energy_cost_year: Range,
    years: int,
    rate: float = 0.0,
) -> Range:
    """Return ownership cost with its cheap and its dear corner.

    The cost rises with every price and falls with every interval, so that the corners
    are exact; the ranges are not standard deviations and are not added in quadrature.
    With a rate the cost still falls with an interval: changes become fewer and later.

    Args:
        price: of the device.
        filters: price of one change and months between changes, for each filter.
        energy_cost_year: electricity of a year.
        years: whole years.
        rate: yearly discount, 0.03 for 3 %; not negative.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("rate", rate, zero=True)

    def corner(end: int) -> float:
        return discounted_ownership_cost(
            _end(price, end),
            [FilterCost(_end(p, end), _end(m, -end)) for p, m in filters],
            _end(energy_cost_year, end),
            years,
            rate,
        )

    return Range(corner(0), corner(-1), corner(1))


def filters_range(filters: Sequence[tuple[Range, Range]]) -> Range:
    """Return what filters cost in a steady year with its two corners.

    Args:
        filters: price of one change and months between changes, for each filter.

    Raises:
        MeasureError: ``not_positive``.
    """

    def corner(end: int) -> float:
        return filters_per_year(
            [FilterCost(_end(p, end), _end(m, -end)) for p, m in filters]
        )

    return Range(corner(0), corner(-1), corner(1))


def energy_range(on_w: Range, hours_on_per_day: float, standby_w: Range) -> Range:
    """Return a year's electricity, kWh, with its two corners.

    Raises:
        MeasureError: as ``year_energy_kwh``.
    """

    def corner(end: int) -> float:
        return year_energy_kwh(_end(on_w, end), hours_on_per_day, _end(standby_w, end))

    return Range(corner(0), corner(-1), corner(1))


def per_1000_m3_range(
    ownership: Range, cadr_m3h: Range, hours_on_per_day: float, years: float
) -> Range:
    """Return what 1000 m3 of clean air cost, with its two corners.

    Cheap is a low cost of ownership and much clean air. The CADR is taken as constant.

    Raises:
        MeasureError: ``not_positive``; also where the CADR's low end is not above 0,
            for then there is no dear end.
    """

    def corner(end: int) -> float:
        return cost_per_1000_m3(
            _end(ownership, end), _end(cadr_m3h, -end), hours_on_per_day, years
        )

    return Range(corner(0), corner(-1), corner(1))


def exactly(value: float) -> Range:
    """Return a figure that has no ends of its own."""
    return Range(value, value, value)


def scaled(item: Range, factor: float) -> Range:
    """Return a range times a factor that is not negative.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("factor", factor, zero=True)
    return Range(item.value * factor, item.low * factor, item.high * factor)


def added(first: Range, second: Range) -> Range:
    """Return the sum of two ranges: cheap with cheap, dear with dear."""
    return Range(
        first.value + second.value, first.low + second.low, first.high + second.high
    )


def cost_with_price(running_year: float, price: float, years: float) -> float:
    """Return a year's running cost with an equal share of the price.

    For a quick order of what could be bought: nothing is discounted, and the first
    filter is part of the price although every change of the years is counted.

    Args:
        running_year: running cost of a year, any currency.
        price: price of all machines, the same currency.
        years: over how many years the price is spread, above 0.

    Raises:
        MeasureError: ``not_positive`` for ``years``.
    """
    if not years > 0:
        raise MeasureError("not_positive", name="years", value=years)
    return running_year + price / years


def _end(item: Range, end: int) -> float:
    """Return low, value or high for -1, 0 or 1."""
    return (item.value, item.high, item.low)[end]
