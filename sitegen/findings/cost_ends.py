"""The cheap and the dear end of a configuration's costs.

Cheap is low power, a long filter life and much clean air, all at once; dear is the
reverse. The ends are no 95 % interval: they are not added in quadrature. Prices, the
tariff and the hours are taken as recorded.
"""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.findings.readings import PowerDraw
from sitegen.findings.views import CostEnds, FilterCost, Interval, Standby
from sitegen.measure.cost import (
    Range,
    added,
    energy_range,
    exactly,
    filters_range,
    ownership_range,
    per_1000_m3_range,
    scaled,
)
from sitegen.model.archive import Assumptions


def cost_ends(
    power: PowerDraw | None,
    standby: Standby | None,
    parts: Sequence[FilterCost],
    price: float | None,
    cadr: Interval | None,
    assumed: Assumptions,
) -> CostEnds:
    """Return the ends of each cost that can be reckoned.

    Args:
        power: power while running, or nothing.
        standby: power while off; not measured counts as 0 W.
        parts: what is replaced, with prices and lifetimes.
        price: of the device with its first filter, or nothing.
        cadr: clean air with its interval, m³/h, told from zero; or nothing.
        assumed: tariff, hours, years, discount.
    """
    energy = None if power is None else _energy(power, standby, assumed)
    energy_cost = None if energy is None else scaled(energy, assumed.tariff.per_kwh)
    changes = _changes(parts)
    filter_cost = None if changes is None else filters_range(changes)
    running = owned = per_1000 = None
    if energy_cost is not None and filter_cost is not None:
        running = added(energy_cost, filter_cost)
    known = price is not None and energy_cost is not None and changes is not None
    if known and assumed.years >= 1:
        owned = ownership_range(
            exactly(price or 0.0),
            changes or (),
            energy_cost or exactly(0.0),
            assumed.years,
            assumed.discount_pct / 100.0,
        )
    if owned is not None and cadr is not None and assumed.hours_per_day > 0:
        clean = Range(cadr.value, cadr.low, cadr.high)
        per_1000 = per_1000_m3_range(owned, clean, assumed.hours_per_day, assumed.years)
    return CostEnds(
        energy_kwh_year=_both(energy),
        energy_cost_year=_both(energy_cost),
        filter_cost_year=_both(filter_cost),
        running_cost_year=_both(running),
        ownership_cost=_both(owned),
        per_1000_m3=_both(per_1000),
    )


def _energy(power: PowerDraw, standby: Standby | None, assumed: Assumptions) -> Range:
    low, high = power.limits_w
    off = exactly(standby.power_w if standby else 0.0)
    if standby is not None and standby.below_w is not None:
        off = Range(standby.power_w, 0.0, standby.below_w)
    return energy_range(Range(power.power_w, low, high), assumed.hours_per_day, off)


def _changes(parts: Sequence[FilterCost]) -> list[tuple[Range, Range]] | None:
    """Return price and interval of each change, or nothing where one is not known."""
    changes = []
    for part in parts:
        if part.piece is None or part.interval_months is None:
            return None
        months = part.interval_months
        shortest, longest = part.range_months or (months, months)
        cost = exactly(part.piece.amount * part.pieces)
        changes.append((cost, Range(months, shortest, longest)))
    return changes


def _both(found: Range | None) -> tuple[float, float] | None:
    """Return the ends, or nothing where there is none or both are the figure."""
    if found is None or found.low == found.high:
        return None
    return found.low, found.high
