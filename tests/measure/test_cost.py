"""Filters of a year, ownership over years, and the price of clean air."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sitegen.errors import MeasureError
from sitegen.measure.cost import (
    FilterCost,
    Range,
    cost_per_1000_m3,
    discounted_ownership_cost,
    filter_changes,
    filters_per_year,
    months_from_hours,
    ownership_cost,
    ownership_range,
)

FILTER = FilterCost(60.0, 8.0)
ENERGY = 60.7068


def test_filters_of_a_steady_year() -> None:
    """60 every 8 months are 90 a year, and a second filter's 24 every 12 add up."""
    assert filters_per_year([FILTER]) == pytest.approx(90.0, rel=1e-12)
    both = filters_per_year([FILTER, FilterCost(24.0, 12.0)])
    assert both == pytest.approx(114.0, rel=1e-12)
    assert filters_per_year([]) == 0.0


@pytest.mark.parametrize(
    ("years", "months", "changes"),
    [
        (5.0, 8.0, 7),
        (5.0, 7.5, 7),
        (5.0, 12.0, 4),
        (5.0, 59.9, 1),
        (5.0, 60.0, 0),
        (5.0, 61.0, 0),
        (5.0, 1200.0, 0),
        (1.0, 12.0 / 7.0, 6),
        (0.1, 1.0, 1),
    ],
)
def test_filters_come_whole(years: float, months: float, changes: int) -> None:
    """The first filter is in the box and none is bought on the last day."""
    assert filter_changes(years, months) == changes


def test_ownership_over_five_years() -> None:
    """220, seven filters of 60 and five years of electricity make 943.534."""
    got = ownership_cost(220.0, [FILTER], ENERGY, 5.0)
    assert got == pytest.approx(943.534, rel=1e-12)


def test_ownership_in_todays_money() -> None:
    """The same costs discounted at 3 % a year are 890.625660."""
    got = discounted_ownership_cost(220.0, [FILTER], ENERGY, 5, 0.03)
    assert got == pytest.approx(890.625660, abs=5e-7)


def test_no_discount_changes_nothing() -> None:
    """At 0 % the discounted costs are the plain ones."""
    got = discounted_ownership_cost(220.0, [FILTER], ENERGY, 5, 0.0)
    assert got == pytest.approx(943.534, rel=1e-12)


def test_clean_air_by_the_1000_m3() -> None:
    """943.534 for 3 942 000 m3 are 0.239354135 for each 1000 m3."""
    got = cost_per_1000_m3(943.534, 180.0, 12.0, 5.0)
    assert got == pytest.approx(0.239354135, abs=5e-10)


def test_lifetime_in_running_hours() -> None:
    """2920 hours at 12 a day are 2920/(12 x 30.4167) months."""
    assert months_from_hours(2920.0, 12.0) == pytest.approx(7.9999912, abs=5e-8)


def test_range_has_its_corners() -> None:
    """Cheap is low prices, low power and a long interval; dear is the reverse."""
    got = ownership_range(
        Range(220.0, 200.0, 250.0),
        [(Range(60.0, 50.0, 70.0), Range(8.0, 6.0, 12.0))],
        Range(ENERGY, 55.0, 65.0),
        5,
    )
    # 12 months: 4 changes; 8 months: 7; 6 months: 9.
    assert got.low == pytest.approx(200.0 + 4 * 50.0 + 5 * 55.0)
    assert got.value == pytest.approx(943.534)
    assert got.high == pytest.approx(250.0 + 9 * 70.0 + 5 * 65.0)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: FilterCost(-1.0, 8.0), "not_positive"),
        (lambda: FilterCost(60.0, 0.0), "not_positive"),
        (lambda: Range(1.0, 2.0, 3.0), "limits_crossed"),
        (lambda: Range(4.0, 2.0, 3.0), "limits_crossed"),
        (lambda: months_from_hours(0.0, 12.0), "not_positive"),
        (lambda: months_from_hours(4000.0, 0.0), "not_positive"),
        (lambda: filter_changes(0.0, 8.0), "not_positive"),
        (lambda: filter_changes(5.0, 0.0), "not_positive"),
        (lambda: ownership_cost(-1.0, [], ENERGY, 5.0), "not_positive"),
        (lambda: ownership_cost(220.0, [], -1.0, 5.0), "not_positive"),
        (lambda: ownership_cost(220.0, [FILTER], ENERGY, 0.0), "not_positive"),
        (
            lambda: discounted_ownership_cost(220.0, [], ENERGY, 5, -1.0),
            "not_positive",
        ),
        (
            lambda: discounted_ownership_cost(-1.0, [], ENERGY, 5, 0.0),
            "not_positive",
        ),
        (
            lambda: discounted_ownership_cost(1.0, [], -1.0, 5, 0.0),
            "not_positive",
        ),
        (lambda: cost_per_1000_m3(900.0, 0.0, 12.0, 5.0), "not_positive"),
        (lambda: cost_per_1000_m3(900.0, 180.0, 0.0, 5.0), "not_positive"),
        (lambda: cost_per_1000_m3(900.0, 180.0, 12.0, 0.0), "not_positive"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """Input without a meaning raises a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code
