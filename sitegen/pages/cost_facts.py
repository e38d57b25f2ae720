"""What the costs of a device rest on: prices, tariff, lifetimes, and who says so."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitegen.findings.views import CostView, FilterCost, Labels, Money, Standby
from sitegen.model.archive import Assumptions
from sitegen.pages.code_words import LIFETIME_BASES, PRICE_KINDS, word
from sitegen.pages.configuration_names import capital, filter_label
from sitegen.pages.formats import date_text, money, number
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


def cost_facts(
    words: Words,
    site: Site,
    labels: Labels,
    views: Sequence[CostView],
    assumed: Assumptions,
) -> Iterator[tuple[str, str]]:
    """Return label and value of everything that a device's costs rest on."""
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
    parts = views[0].price_parts if views else ()
    for kind, part in parts:
        yield capital(word(words, PRICE_KINDS, kind)), money_text(words, part)
    if len(parts) > 1:
        total = sum(part.amount for _, part in parts)
        yield words("Price, all parts together"), money(total, site.currency, words)
    seen: set[str] = set()
    for used in (used for view in views for used in view.filters):
        if used.filter not in seen:
            seen.add(used.filter)
            name = filter_label(words, labels, used.filter)
            yield words("Filter: {name}", name=name), _filter(words, used)
    powered = [view for view in views if view.power_w is not None]
    if powered:
        yield words("Power when off"), _standby(words, powered[0].standby)
    yield from _kinds(words, labels, views)


def _standby(words: Words, standby: Standby | None) -> str:
    if standby is None:
        return words("not measured; counts as 0 W")
    if standby.below_w is not None:
        least = number(standby.below_w, 3, words, plain=True)
        return words("below {n} W, the least that the meter shows", n=least)
    return words("{n} W", n=number(standby.power_w, 2, words, plain=True))


def _kinds(
    words: Words, labels: Labels, views: Sequence[CostView]
) -> Iterator[tuple[str, str]]:
    """Return what is measured, what others state, and what is assumed."""
    parts = {part.filter: part for view in views for part in view.filters}
    named = [(filter_label(words, labels, name), part) for name, part in parts.items()]
    known = (
        (words("power"), any(view.power_w is not None for view in views)),
        (words("power when off"), any(view.standby is not None for view in views)),
        (words("clean air"), any(view.per_1000_m3 is not None for view in views)),
    )
    measured = [what for what, there in known if there]
    stated = [words("tariff")]
    if any(view.price_parts for view in views):
        stated.append(words("price of the device"))
    stated += [
        words("price of {filter}", filter=name)
        for name, part in named
        if part.piece is not None
    ]

    def lives(basis: str) -> list[str]:
        return [
            words("life of {filter}", filter=name)
            for name, part in named
            if part.basis == basis
        ]

    if measured or lives("measured"):
        yield words("Measured"), ", ".join([*measured, *lives("measured")])
    yield words("Stated by others"), ", ".join([*stated, *lives("stated")])
    assumed = [words("hours a day"), words("years"), *lives("assumed")]
    yield words("Assumed"), ", ".join(assumed)


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


def money_text(words: Words, amount: Money) -> str:
    """Return an amount with its day, and how it was converted where it was."""
    own = money(amount.original, amount.original_currency, words)
    day = date_text(amount.date, words)
    if not amount.rate_date:
        return words("{amount}, {date}", amount=own, date=day)
    return words(
        "{amount}, which is {own} of {date} at {rate} of {rate_date} ({source})",
        amount=money(amount.amount, amount.currency, words),
        own=own,
        date=day,
        rate=number(amount.rate, 6, words, plain=True),
        rate_date=date_text(amount.rate_date, words),
        source=amount.rate_source,
    )
