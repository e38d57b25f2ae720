"""A year's cost and the cost of ownership, with everything that they rest on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sitegen.findings.views import (
    CostEnds,
    CostView,
    Labels,
)
from sitegen.model.archive import Assumptions
from sitegen.pages.amounts import Amount, amount
from sitegen.pages.code_words import COST_GAPS, word
from sitegen.pages.configuration_names import capital, filter_label, speed_label
from sitegen.pages.cost_facts import cost_facts
from sitegen.pages.cost_parts import assumed_texts, own_costs
from sitegen.pages.formats import date_text, number, whole
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class CostRow:
    """Costs of one configuration.

    Attributes:
        speed: the fan speed.
        filter: the filter.
        energy: cost of the energy of a year, the energy itself below it.
        filters: filters a year.
        running: both.
        ownership: price and running for the years assumed.
        per_1000: ownership per 1,000 m³ of cleaned air.
    """

    speed: str
    filter: str
    energy: Amount
    filters: Amount
    running: Amount
    ownership: Amount
    per_1000: Amount


@dataclass(frozen=True, slots=True)
class Costs:
    """The costs of a device.

    Attributes:
        rows: one a configuration.
        facts: label and value of what the costs rest on.
        gaps: what is missing, as sentences' ends.
        remarks: what else has to be known to read the costs, sentences.
        years: years of ownership, as text.
        assumed: the archive's assumptions as a form takes them, by name.
        own: what the script reckons with.
    """

    rows: tuple[CostRow, ...]
    facts: tuple[tuple[str, str], ...]
    gaps: tuple[str, ...]
    remarks: tuple[str, ...]
    years: str
    assumed: Mapping[str, str]
    own: Mapping[str, Any]


def costs(
    words: Words,
    site: Site,
    labels: Labels,
    views: Sequence[CostView],
    assumptions: Assumptions,
) -> Costs:
    """Return the costs of a device, ready for its page."""
    gaps = dict.fromkeys(code for view in views for code in view.missing)
    ordered = _in_order(labels, views)
    return Costs(
        rows=tuple(_row(words, site, labels, view) for view in ordered),
        facts=tuple(cost_facts(words, site, labels, views, assumptions)),
        gaps=tuple(word(words, COST_GAPS, code) for code in gaps),
        remarks=tuple(_remarks(words, labels, views)),
        years=words.plural("{n} year", "{n} years", assumptions.years),
        assumed=assumed_texts(assumptions),
        own=own_costs(words, site.currency, ordered, assumptions),
    )


def _in_order(labels: Labels, views: Sequence[CostView]) -> list[CostView]:
    """Return views by speed, the fastest first, then by filter as listed."""
    speeds = {name: at for at, (name, _) in enumerate(labels.speeds)}
    filters = {name: at for at, (name, _) in enumerate(labels.filters)}

    def place(view: CostView) -> tuple[int, int]:
        _, fitted, speed = view.configuration.split(".")
        return -speeds.get(speed, -1), filters.get(fitted, len(filters))

    return sorted(views, key=place)


def _row(words: Words, site: Site, labels: Labels, view: CostView) -> CostRow:
    _, fitted, speed = view.configuration.split(".")

    def shown(name: str) -> Amount:
        value = getattr(view, name)
        if value is None:
            return Amount("")
        return amount(value, getattr(view.ends, name), site.currency, words)

    energy = view.energy_kwh_year
    used = "" if energy is None else words("{n} kWh", n=number(energy, 3, words))
    return CostRow(
        speed=capital(speed_label(words, labels, speed)),
        filter=filter_label(words, labels, fitted),
        energy=Amount(shown("energy_cost_year").value, used),
        filters=shown("filter_cost_year"),
        running=shown("running_cost_year"),
        ownership=shown("ownership_cost"),
        per_1000=shown("per_1000_m3"),
    )


def _remarks(words: Words, labels: Labels, views: Sequence[CostView]) -> Iterator[str]:
    if any(view.per_1000_m3 is not None for view in views):
        yield words(
            "The cost of cleaned air takes the CADR as constant over the years; a "
            "filter that loads gives less, so that the true cost is higher."
        )
    if any(view.ends != CostEnds() for view in views):
        yield words(
            "The ranges below amounts are the cheap and the dear end: power by the "
            "scatter of its readings, a filter's life by its plausible range, clean "
            "air by its 95 % interval, all at the cheap or all at the dear end at "
            "once. Prices, tariff, hours and years stay as they are."
        )
    rangeless = dict.fromkeys(
        filter_label(words, labels, part.filter)
        for view in views
        for part in view.filters
        if part.basis == "assumed" and part.range_months is None
    )
    for name in rangeless:
        yield words(
            "The life of {filter} is assumed, and no range is recorded for it: the "
            "true cost may lie outside the figures.",
            filter=name,
        )
    days = [view.days for view in views if view.days is not None]
    if days:
        yield words(
            "Amounts of different years are added up as they stand, from {first} to "
            "{last}.",
            first=date_text(min(first for first, _ in days), words),
            last=date_text(max(last for _, last in days), words),
        )
    apart = max((view.rate_apart or 0 for view in views), default=0)
    if apart:
        yield words(
            "An exchange rate lies {n} days from the price that it converts; both "
            "days stand below.",
            n=whole(apart, words),
        )
