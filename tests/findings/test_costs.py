"""A year's cost, the cost of ownership, and what is said to be missing."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.findings.costs import CostBasis, cost_view, device_price
from sitegen.findings.readings import PowerDraw
from sitegen.findings.views import CostEnds, CostView, Interval, Standby
from sitegen.model import Configuration, Device, Filter
from tests.findings.builders import basis, device, filter_record, rate

AT = Configuration("alder", "fine", "high")
CLEAN = Interval(180.0, 180.0, 180.0)


def costs(
    *,
    of: Device | None = None,
    at: Configuration = AT,
    filters: dict[str, Filter] | None = None,
    watts: float | None = 45.0,
    standby_w: float | None = 1.2,
    cadr: Interval | None = CLEAN,
    below_w: float | None = None,
    watts_sd: float | None = None,
    assumed: CostBasis | None = None,
) -> CostView:
    """Return the costs of the worked example, with what a test changes in it."""
    return cost_view(
        of or device(),
        at,
        {"fine": filter_record()} if filters is None else filters,
        None if watts is None else PowerDraw("power-a", ("p1",), watts, watts_sd),
        None if standby_w is None else Standby(standby_w, below_w),
        cadr,
        assumed or basis(),
    )


def test_worked_example() -> None:
    """The worked example of the method comes out, line by line."""
    seen = costs()
    assert seen.energy_kwh_year == pytest.approx(202.356, rel=1e-12)
    assert seen.energy_cost_year == pytest.approx(60.7068, rel=1e-12)
    assert seen.filter_cost_year == pytest.approx(90.0, rel=1e-12)
    assert seen.running_cost_year == pytest.approx(150.7068, rel=1e-12)
    assert seen.price == 220.0
    assert seen.ownership_cost == pytest.approx(943.534, rel=1e-12)
    assert seen.per_1000_m3 == pytest.approx(0.239354135, rel=1e-8)
    assert seen.years == 5
    assert seen.missing == ()


def test_discounted() -> None:
    """At 3 % a year ownership costs what the worked example says."""
    seen = costs(assumed=basis(discount_pct=3))
    assert seen.ownership_cost == pytest.approx(890.625660, rel=1e-8)


def test_pieces_are_bought_together() -> None:
    """Two pieces of half the price cost a year what one piece of the whole does."""
    twin = device(filters=[{"id": "fine", "pieces": 2, "included": True}])
    half = filter_record(
        price={"amount": "30", "currency": "EUR", "date": "2024-01-01"}
    )
    seen = costs(of=twin, filters={"fine": half})
    assert seen.filters[0].pieces == 2
    assert seen.filter_cost_year == pytest.approx(90.0, rel=1e-12)
    assert seen.ownership_cost == pytest.approx(943.534, rel=1e-12)


@pytest.mark.parametrize(
    ("months", "bought"),
    [(8, 7), (7.5, 7), (12, 4), (60, 0), (59, 1), (100, 0), (6, 9)],
)
def test_filters_are_bought_whole(months: float, bought: int) -> None:
    """The first filter is in the box, and none is bought on the last day."""
    worn = filter_record(lifetime={"months": months, "basis": "assumed"})
    seen = costs(filters={"fine": worn})
    assert seen.ownership_cost == pytest.approx(220 + 60 * bought + 5 * 60.7068)


def test_lifetime_in_running_hours() -> None:
    """4,380 hours at 12 hours a day are 12 months of 30.4167 days."""
    worn = filter_record(lifetime={"hours": 4380, "basis": "measured"})
    part = costs(filters={"fine": worn}).filters[0]
    assert part.interval_months == pytest.approx(4380 / (12 * 30.4167), rel=1e-12)
    assert part.interval_months == pytest.approx(12.0, rel=1e-5)
    assert part.year == pytest.approx(60.0, rel=1e-5)
    assert part.basis == "measured"


def test_more_hours_a_day_wear_a_filter_sooner() -> None:
    """Twice the hours a day halve an interval in hours and leave one in months."""
    worn = {"fine": filter_record(lifetime={"hours": 4380, "basis": "stated"})}
    sooner = costs(filters=worn, assumed=basis(hours_per_day=24)).filters[0]
    assert sooner.interval_months == pytest.approx(6.0, rel=1e-5)
    assert costs(assumed=basis(hours_per_day=24)).filters[0].interval_months == 8.0


PRICELESS = {"fine": filter_record(price=None)}
AGELESS = {"fine": filter_record(lifetime=None)}


@pytest.mark.parametrize(
    ("changed", "missing", "absent", "kept"),
    [
        (
            {"watts": None},
            ("power",),
            {"energy_kwh_year", "energy_cost_year", "running_cost_year"},
            {"filter_cost_year", "price"},
        ),
        (
            {"of": device(prices=[])},
            ("price",),
            {"price"},
            {"energy_cost_year", "filter_cost_year", "running_cost_year"},
        ),
        (
            {"filters": PRICELESS},
            ("filter_price",),
            {"filter_cost_year", "running_cost_year"},
            {"energy_cost_year", "price"},
        ),
        (
            {"filters": AGELESS},
            ("filter_lifetime",),
            {"filter_cost_year", "running_cost_year"},
            {"energy_cost_year", "price"},
        ),
        (
            {"filters": {}},
            ("filter_price", "filter_lifetime"),
            {"filter_cost_year", "running_cost_year"},
            {"energy_cost_year", "price"},
        ),
    ],
    ids=["power", "price", "filter price", "filter lifetime", "filter record"],
)
def test_missing_part(
    changed: dict[str, Any], missing: tuple[str, ...], absent: set[str], kept: set[str]
) -> None:
    """What is missing is named, and no total is given that would lack it."""
    seen = costs(**changed)
    assert seen.missing == missing
    lost = absent | {"ownership_cost", "per_1000_m3"}
    assert {name for name in lost if getattr(seen, name) is not None} == set()
    assert {name for name in kept if getattr(seen, name) is None} == set()


def test_standby_not_measured() -> None:
    """Power when off counts as nothing where it was not measured, and is named."""
    seen = costs(standby_w=None)
    assert seen.missing == ("standby",)
    # 45 W for 12 h a day and 365 days.
    assert seen.energy_kwh_year == pytest.approx(197.1, rel=1e-12)
    assert seen.standby is None
    assert seen.ownership_cost is not None


def test_standby_measured_as_nothing() -> None:
    """A measured 0 W when off is no missing value."""
    seen = costs(standby_w=0.0)
    assert seen.missing == ()
    assert seen.energy_kwh_year == pytest.approx(197.1, rel=1e-12)


def test_standby_is_counted_for_the_rest_of_the_day() -> None:
    """A device that never runs still draws its standby for 24 hours."""
    seen = costs(assumed=basis(hours_per_day=0))
    assert seen.energy_kwh_year == pytest.approx(1.2 * 24 * 365 / 1000)
    assert seen.per_1000_m3 is None


def test_hours_of_a_filter_that_never_runs() -> None:
    """With no hours a day a lifetime in hours gives no interval, and is missing."""
    worn = {"fine": filter_record(lifetime={"hours": 4380, "basis": "stated"})}
    seen = costs(filters=worn, assumed=basis(hours_per_day=0))
    assert seen.missing == ("filter_lifetime",)
    assert seen.filters[0].interval_months is None


def test_without_a_filter_nothing_is_replaced() -> None:
    """A configuration without a filter has no filter cost and lacks none."""
    bare = costs(at=Configuration("alder", "none", "high"), filters={})
    assert bare.filters == ()
    assert bare.filter_cost_year == 0
    assert bare.missing == ()
    assert bare.ownership_cost == pytest.approx(220 + 5 * 60.7068)


@pytest.mark.parametrize(
    ("cadr", "missing"),
    [
        (None, ()),
        (Interval(5.0, 0.0, 10.0), ("clean_air",)),
        (Interval(-3.0, -5.0, -1.0), ("clean_air",)),
    ],
)
def test_no_clean_air_no_cost_of_it(
    cadr: Interval | None, missing: tuple[str, ...]
) -> None:
    """Clean air that is missing, or not told from none, has no cost."""
    seen = costs(cadr=cadr)
    assert (seen.per_1000_m3, seen.ends.per_1000_m3) == (None, None)
    assert seen.missing == missing
    assert seen.ownership_cost == pytest.approx(943.534)


def test_no_years_no_ownership() -> None:
    """Over no years nothing is owned; a year's cost stands all the same."""
    seen = costs(assumed=basis(years=0))
    assert seen.ownership_cost is None
    assert seen.running_cost_year == pytest.approx(150.7068)


def test_foreign_prices_are_converted_each_by_its_own_day() -> None:
    """Device and filter in another currency are added at the rates of their days."""
    rates = (rate("USD", 0.90, "2024-01-01"), rate("USD", 0.80, "2025-01-01"))
    abroad = device(prices=[{"amount": "100", "currency": "USD", "date": "2024-01-02"}])
    price = {"amount": "50", "currency": "USD", "date": "2025-01-02"}
    seen = costs(
        of=abroad,
        filters={"fine": filter_record(price=price)},
        assumed=basis(*rates),
    )
    assert seen.price == pytest.approx(90.0)
    assert seen.filters[0].piece is not None
    assert seen.filters[0].piece.amount == pytest.approx(40.0)
    assert seen.filter_cost_year == pytest.approx(60.0)


def test_price_parts_are_added() -> None:
    """Carriage and duty come on top of the price."""
    day = {"currency": "EUR", "date": "2024-01-01"}
    dear = device(
        prices=[
            {"amount": "200", **day},
            {"amount": "15.5", "kind": "carriage", **day},
            {"amount": "4.5", "kind": "duty", **day},
        ]
    )
    total, parts = device_price(dear, basis())
    assert total == pytest.approx(220.0)
    assert [kind for kind, _ in parts] == ["list", "carriage", "duty"]


def test_no_price() -> None:
    """A device without a price has none, which is not nought."""
    assert device_price(device(prices=[]), basis()) == (None, ())


def test_a_filter_that_does_not_come_with_it_is_bought_with_it() -> None:
    """The first filter is part of the price where it is sold apart, and said to be."""
    with_it = costs(of=device(filters=[{"id": "fine", "included": True}]))
    apart = costs(of=device(filters=[{"id": "fine"}]))
    assert with_it.price is not None
    assert with_it.ownership_cost is not None
    piece = with_it.filters[0].piece
    assert piece is not None
    assert apart.price == pytest.approx(with_it.price + piece.amount)
    assert apart.ownership_cost == pytest.approx(with_it.ownership_cost + piece.amount)
    assert apart.running_cost_year == with_it.running_cost_year
    assert (with_it.filters[0].included, apart.filters[0].included) == (True, False)


def test_exact_inputs_have_no_ends() -> None:
    """Where every input is one figure there is no cheap and no dear end."""
    assert costs().ends == CostEnds()


def test_cheap_and_dear_end() -> None:
    """Cheap is low power, a long filter life and much clean air; dear the reverse."""
    worn = {"months": 8, "basis": "assumed", "low": 6, "high": 12}
    seen = costs(
        filters={"fine": filter_record(lifetime=worn)},
        watts_sd=1.0,
        cadr=Interval(180.0, 171.0, 189.0),
    )
    # 1.96 W either way for 12 h of 365 days at 0.30; 1.2 W for the other 12 hours.
    off = 1.2 * 12 * 0.365
    least = ((45 - 1.959964) * 12 * 0.365 + off) * 0.30
    most = ((45 + 1.959964) * 12 * 0.365 + off) * 0.30
    ends = seen.ends
    assert ends.energy_cost_year == pytest.approx((least, most), rel=1e-6)
    assert ends.energy_kwh_year == pytest.approx((least / 0.3, most / 0.3), rel=1e-6)
    # 60 a change: 12 months apart 60 a year, 6 months apart 120.
    assert ends.filter_cost_year == pytest.approx((60.0, 120.0))
    assert ends.running_cost_year == pytest.approx((least + 60, most + 120), rel=1e-6)
    # Five years: 4 changes at 12 months, 9 at 6.
    owned = (220 + 4 * 60 + 5 * least, 220 + 9 * 60 + 5 * most)
    assert ends.ownership_cost == pytest.approx(owned, rel=1e-6)
    air = 12 * 365 * 5 / 1000
    assert ends.per_1000_m3 == pytest.approx(
        (owned[0] / (189 * air), owned[1] / (171 * air)), rel=1e-6
    )
    assert seen.ownership_cost == pytest.approx(943.534)


def test_ends_of_discounted_ownership() -> None:
    """With a discount the ends are those of the same records with the lives apart."""
    worn = {"months": 8, "basis": "stated", "low": 6, "high": 12}
    rate = basis(discount_pct=3)
    seen = costs(filters={"fine": filter_record(lifetime=worn)}, assumed=rate)
    cheap, dear = (
        costs(
            filters={"fine": filter_record(lifetime={"months": m, "basis": "stated"})},
            assumed=rate,
        ).ownership_cost
        for m in (12, 6)
    )
    assert seen.ends.ownership_cost == pytest.approx((cheap, dear), rel=1e-12)
    assert seen.ownership_cost == pytest.approx(890.625660, rel=1e-8)


@pytest.mark.parametrize(
    ("worn", "months"),
    [
        ({"months": 8, "low": 6}, (6.0, 8.0)),
        ({"months": 8, "high": 12}, (8.0, 12.0)),
        ({"hours": 4380, "low": 2190, "high": 8760}, (6.0, 24.0)),
        ({"months": 8}, None),
    ],
)
def test_range_of_a_lifetime(
    worn: dict[str, Any], months: tuple[float, float] | None
) -> None:
    """An end that is not recorded is the lifetime; hours are turned into months."""
    record = filter_record(lifetime={"basis": "assumed", **worn})
    found = costs(filters={"fine": record}).filters[0].range_months
    assert found == (None if months is None else pytest.approx(months, rel=1e-5))


def test_standby_below_the_meter_counts_from_nought_to_its_step() -> None:
    """Power when off that the meter cannot show lies between 0 W and its least step."""
    seen = costs(standby_w=0.0, below_w=0.5)
    assert seen.missing == ()
    assert seen.energy_kwh_year == pytest.approx(197.1)
    assert seen.ends.energy_kwh_year == pytest.approx((197.1, 197.1 + 0.5 * 12 * 0.365))


def test_amounts_of_different_years_are_told() -> None:
    """The oldest and the newest day are named where more than a year lies between."""
    late = {"amount": "220", "currency": "EUR", "date": "2025-01-01"}
    # 2024 has 366 days: 2025-01-01 is 366 days after 2024-01-01, and 365 after the 2nd.
    assert costs(of=device(prices=[late])).days == ("2024-01-01", "2025-01-01")
    assert costs(of=device(prices=[{**late, "date": "2024-12-31"}])).days is None
    assert costs().days is None


def test_stale_rate_is_told() -> None:
    """A rate farther from its price than the archive allows is told with its days."""
    abroad = device(prices=[{"amount": "9", "currency": "USD", "date": "2024-01-01"}])
    for day, apart in (("2024-06-29", None), ("2024-06-30", 181)):
        seen = costs(of=abroad, assumed=basis(rate("USD", 0.9, day)))
        assert seen.rate_apart == apart
