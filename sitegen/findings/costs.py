"""A year's cost and the cost of ownership, configuration by configuration."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitegen.findings.cost_ends import cost_ends
from sitegen.findings.money import converted, price_parts, rate_days, years_mixed
from sitegen.findings.readings import PowerDraw
from sitegen.findings.views import CostView, FilterCost, Interval, Money, Standby
from sitegen.measure import cost as reckoned
from sitegen.measure.energy import year_energy_kwh
from sitegen.model import NO_FILTER, Configuration, Device, Filter
from sitegen.model.archive import Assumptions, Rate
from sitegen.model.bench import Lifetime


@dataclass(frozen=True, slots=True)
class CostBasis:
    """What costs rest on for the whole archive.

    Attributes:
        currency: the archive's currency.
        assumptions: tariff, hours, years, discount.
        rates: dated exchange rates.
        rates_valid_days: how many days a rate may lie from a price.
    """

    currency: str
    assumptions: Assumptions
    rates: tuple[Rate, ...]
    rates_valid_days: int = 180


def device_price(
    device: Device, basis: CostBasis
) -> tuple[float | None, tuple[tuple[str, Money], ...]]:
    """Return what a device costs, all parts together, and the parts."""
    parts = price_parts(device.prices, basis.currency, basis.rates)
    return (sum(part.amount for _, part in parts) if parts else None), parts


def cost_view(
    device: Device,
    configuration: Configuration,
    filters: Mapping[str, Filter],
    power: PowerDraw | None,
    standby: Standby | None,
    cadr: Interval | None,
    basis: CostBasis,
) -> CostView:
    """Return the costs of one configuration, as far as its records allow.

    What is missing is named, and no total is given that would lack a part. Power when
    off counts as 0 W where it was never measured, and that is named too. Clean air
    whose interval reaches zero has no cost for each 1,000 m³.

    Args:
        device: the device.
        configuration: which filter and speed.
        filters: records of the device's filters, by id.
        power: power while running, or nothing.
        standby: power while off, or nothing.
        cadr: clean air with its interval, for the cost of 1,000 m³; or nothing.
        basis: tariff, hours, years, rates.
    """
    assumed = basis.assumptions
    missing: list[str] = []
    energy = _energy(power, standby, assumed, missing)
    energy_cost = None if energy is None else energy * assumed.tariff.per_kwh
    parts = _filters(device, configuration, filters, basis, missing)
    filter_year = _sum([part.year for part in parts])
    price, price_list = device_price(device, basis)
    if price is None:
        missing.append("price")
    else:
        # A filter that does not come with the device is bought with it.
        first = [_first(part) for part in parts if not part.included]
        price = None if None in first else price + sum(each or 0.0 for each in first)
    running = _sum([energy_cost, filter_year])
    owned = _ownership(price, parts, energy_cost, assumed)
    per_1000 = None
    if cadr is not None and cadr.low <= 0:
        missing.append("clean_air")
        cadr = None
    if owned is not None and cadr is not None and assumed.hours_per_day > 0:
        per_1000 = reckoned.cost_per_1000_m3(
            owned, cadr.value, assumed.hours_per_day, assumed.years
        )
    amounts = [part for _, part in price_list]
    amounts += [part.piece for part in parts if part.piece is not None]
    apart = max((rate_days(each) for each in amounts), default=0)
    days = [*(each.date for each in amounts), assumed.tariff.date.isoformat()]
    return CostView(
        configuration=str(configuration),
        power_w=power.power_w if power else None,
        standby=standby,
        energy_kwh_year=energy,
        energy_cost_year=energy_cost,
        filters=parts,
        filter_cost_year=filter_year,
        running_cost_year=running,
        price=price,
        price_parts=price_list,
        ownership_cost=owned,
        per_1000_m3=per_1000,
        years=assumed.years,
        missing=tuple(missing),
        ends=cost_ends(power, standby, parts, price, cadr, assumed),
        days=years_mixed(days) if amounts else None,
        rate_apart=apart if apart > basis.rates_valid_days else None,
        power_sd_w=power.sd_w if power else None,
        clean=cadr,
    )


def _first(part: FilterCost) -> float | None:
    return None if part.piece is None else part.piece.amount * part.pieces


def _sum(amounts: Sequence[float | None]) -> float | None:
    """Return the sum, or nothing when a part is missing."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known) if len(known) == len(amounts) else None


def _energy(
    power: PowerDraw | None,
    standby: Standby | None,
    assumed: Assumptions,
    missing: list[str],
) -> float | None:
    if power is None:
        missing.append("power")
        return None
    if standby is None:
        missing.append("standby")
    off_w = standby.power_w if standby else 0.0
    return year_energy_kwh(power.power_w, assumed.hours_per_day, off_w)


def _filters(
    device: Device,
    configuration: Configuration,
    filters: Mapping[str, Filter],
    basis: CostBasis,
    missing: list[str],
) -> tuple[FilterCost, ...]:
    if configuration.filter == NO_FILTER:
        return ()
    record = filters.get(configuration.filter)
    use = next((use for use in device.filters if use.id == configuration.filter), None)
    pieces = use.pieces if use else 1
    piece = None
    months = None
    life = record.lifetime if record else None
    if record and record.price:
        price = record.price
        piece = converted(
            price.amount, price.currency, price.date, basis.currency, basis.rates
        )
    else:
        missing.append("filter_price")
    if life and life.months:
        months = life.months
    elif life and life.hours and basis.assumptions.hours_per_day > 0:
        months = reckoned.months_from_hours(life.hours, basis.assumptions.hours_per_day)
    else:
        missing.append("filter_lifetime")
    year = None
    if piece is not None and months is not None:
        change = reckoned.FilterCost(piece.amount * pieces, months)
        year = reckoned.filters_per_year([change])
    return (
        FilterCost(
            filter=configuration.filter,
            pieces=pieces,
            piece=piece,
            interval_months=months,
            basis=life.basis if life else "",
            year=year,
            included=use.included if use else False,
            range_months=_range_months(life, basis.assumptions.hours_per_day),
            life_h=life.hours if life and life.months is None else None,
            life_range=_life_range(life),
        ),
    )


def _life_range(life: Lifetime | None) -> tuple[float, float] | None:
    """Return the shortest and longest plausible lifetime, where one is recorded.

    In months or running hours, as the lifetime is. The end that is not recorded is the
    lifetime itself.
    """
    if life is None or (life.low is None and life.high is None):
        return None
    value = life.months or life.hours or 0.0
    return life.low or value, life.high or value


def _range_months(
    life: Lifetime | None, hours_per_day: float
) -> tuple[float, float] | None:
    """Return the shortest and longest plausible lifetime, months, where one stands."""
    found = _life_range(life)
    if life is None or found is None:
        return None
    low, high = found
    if life.months is not None:
        return low, high
    if hours_per_day <= 0:
        return None
    return (
        reckoned.months_from_hours(low, hours_per_day),
        reckoned.months_from_hours(high, hours_per_day),
    )


def _ownership(
    price: float | None,
    parts: Sequence[FilterCost],
    energy_cost: float | None,
    assumed: Assumptions,
) -> float | None:
    if price is None or energy_cost is None or assumed.years < 1:
        return None
    changes = []
    for part in parts:
        if part.piece is None or part.interval_months is None:
            return None
        changes.append(
            reckoned.FilterCost(part.piece.amount * part.pieces, part.interval_months)
        )
    if assumed.discount_pct > 0:
        return reckoned.discounted_ownership_cost(
            price, changes, energy_cost, assumed.years, assumed.discount_pct / 100.0
        )
    return reckoned.ownership_cost(price, changes, energy_cost, assumed.years)
