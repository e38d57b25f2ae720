"""A year's cost and the cost of ownership, with everything that they rest on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitegen.findings.views import CostView, FilterCost, Labels, Money
from sitegen.model.archive import Assumptions
from sitegen.pages.code_words import COST_GAPS, LIFETIME_BASES, PRICE_KINDS, word
from sitegen.pages.configuration_names import capital, filter_label, speed_label
from sitegen.pages.formats import date_text, money, number
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class CostRow:
    """Costs of one configuration; a text is empty where there is no amount.

    Attributes:
        speed: the fan speed.
        filter: the filter.
        energy_kwh: energy a year.
        energy: its cost.
        filters: filters a year.
        running: both.
        ownership: price and running for the years assumed.
        per_1000: ownership per 1,000 m³ of cleaned air.
    """

    speed: str
    filter: str
    energy_kwh: str
    energy: str
    filters: str
    running: str
    ownership: str
    per_1000: str


@dataclass(frozen=True, slots=True)
class Costs:
    """The costs of a device.

    Attributes:
        rows: one a configuration.
        facts: label and value of what the costs rest on.
        gaps: what is missing, as sentences' ends.
        years: years of ownership, as text.
    """

    rows: tuple[CostRow, ...]
    facts: tuple[tuple[str, str], ...]
    gaps: tuple[str, ...]
    years: str


def costs(
    words: Words,
    site: Site,
    labels: Labels,
    views: Sequence[CostView],
    assumptions: Assumptions,
) -> Costs:
    """Return the costs of a device, ready for its page."""
    gaps = dict.fromkeys(code for view in views for code in view.missing)
    return Costs(
        rows=tuple(
            _row(words, site, labels, view) for view in _in_order(labels, views)
        ),
        facts=tuple(_facts(words, site, labels, views, assumptions)),
        gaps=tuple(word(words, COST_GAPS, code) for code in gaps),
        years=words.plural("{n} year", "{n} years", assumptions.years),
    )


def _in_order(labels: Labels, views: Sequence[CostView]) -> list[CostView]:
    """Return views by speed, the fastest first, then by filter as listed."""
    speeds = {name: at for at, (name, _) in enumerate(labels.speeds)}
    filters = {name: at for at, (name, _) in enumerate(labels.filters)}

    def place(view: CostView) -> tuple[int, int]:
        _, fitted, speed = view.configuration.split(".")
        return -speeds.get(speed, -1), filters.get(fitted, len(filters))

    return sorted(views, key=place)


def money_text(words: Words, amount: Money) -> str:
    """Return an amount with its day, and how it was converted where it was."""
    own = money(amount.original, amount.original_currency, words)
    day = date_text(amount.date, words)
    if not amount.rate_date:
        return words("{amount}, {date}", amount=own, date=day)
    return words(
        "{amount}, which is {own} of {date} at {rate} of {rate_date}",
        amount=money(amount.amount, amount.currency, words),
        own=own,
        date=day,
        rate=number(amount.rate, 6, words, plain=True),
        rate_date=date_text(amount.rate_date, words),
    )


def _row(words: Words, site: Site, labels: Labels, view: CostView) -> CostRow:
    _, fitted, speed = view.configuration.split(".")

    def amount(value: float | None) -> str:
        return "" if value is None else money(value, site.currency, words)

    return CostRow(
        speed=capital(speed_label(words, labels, speed)),
        filter=filter_label(words, labels, fitted),
        energy_kwh=(
            ""
            if view.energy_kwh_year is None
            else number(view.energy_kwh_year, 3, words)
        ),
        energy=amount(view.energy_cost_year),
        filters=amount(view.filter_cost_year),
        running=amount(view.running_cost_year),
        ownership=amount(view.ownership_cost),
        per_1000=amount(view.per_1000_m3),
    )


def _facts(
    words: Words,
    site: Site,
    labels: Labels,
    views: Sequence[CostView],
    assumed: Assumptions,
) -> Iterator[tuple[str, str]]:
    tariff = assumed.tariff
    yield (
        words("Electricity"),
        words(
            "{amount} a kWh, {source}, {date}",
            amount=_tariff(words, site, tariff.per_kwh),
            source=tariff.source,
            date=date_text(tariff.date.isoformat(), words),
        ),
    )
    hours = number(assumed.hours_per_day, 3, words, plain=True)
    yield words("Use"), words("{n} hours a day, every day", n=hours)
    years = words.plural("{n} year", "{n} years", assumed.years)
    if assumed.discount_pct > 0:
        rate = number(assumed.discount_pct, 3, words, plain=True)
        years = words("{years}, discounted at {n} % a year", years=years, n=rate)
    yield words("Ownership"), years
    for kind, part in views[0].price_parts if views else ():
        label = word(words, PRICE_KINDS, kind)
        yield label[:1].upper() + label[1:], money_text(words, part)
    seen: set[str] = set()
    for used in (used for view in views for used in view.filters):
        if used.filter not in seen:
            seen.add(used.filter)
            name = filter_label(words, labels, used.filter)
            yield words("Filter: {name}", name=name), _filter(words, used)


def _tariff(words: Words, site: Site, per_kwh: float) -> str:
    """Return the price of a kWh with all its digits, where they go beyond a cent."""
    if round(per_kwh, 2) == per_kwh:
        return money(per_kwh, site.currency, words)
    return f"{number(per_kwh, 6, words, plain=True)} {site.currency}"


def _filter(words: Words, part: FilterCost) -> str:
    said = []
    if part.piece is None:
        said.append(words("price not known"))
    else:
        price = money_text(words, part.piece)
        if part.pieces > 1:
            price = words("{n} pieces at {price}", n=part.pieces, price=price)
        said.append(price)
    if part.interval_months is None:
        said.append(words("lifetime not known"))
    else:
        months = number(part.interval_months, 2, words, plain=True)
        basis = word(words, LIFETIME_BASES, part.basis)
        said.append(words("every {n} months, {basis}", n=months, basis=basis))
        if part.range_months:
            low, high = (
                number(each, 2, words, plain=True) for each in part.range_months
            )
            said.append(words("{low} to {high} months plausible", low=low, high=high))
    if not part.included:
        said.append(words("the first is bought with the device"))
    return "; ".join(said)
