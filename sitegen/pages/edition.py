"""An edition: a comparison's numbers as they were on a day, never changed again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from sitegen.findings.views import Labels
from sitegen.model import QUANTITIES, Edition, Quantity
from sitegen.pages import addresses
from sitegen.pages.addresses import COMPARISONS
from sitegen.pages.configuration_names import configuration_name
from sitegen.pages.formats import (
    Shown,
    date_text,
    estimate_text,
    in_units,
    money,
    number,
    sound_text,
    unit_text,
    whole,
)
from sitegen.pages.frame import Block, Linked, Page, Site
from sitegen.pages.words import Words

_NAMING = ("device", "filter", "speed", "method", "fraction")
_LIMITS = frozenset(
    limit
    for quantity in QUANTITIES.values()
    for limit in (quantity.low, quantity.high)
    if limit
)


@dataclass(frozen=True, slots=True)
class EditionGiven:
    """What the page shows.

    Attributes:
        edition: the edition's record.
        comparison: the comparison that it was pinned from.
        note: its remark, or nothing.
        video: the video that showed it, or nothing.
        qr: QR code of the permanent address, as SVG.
        cite: how to cite the page.
        names: names of the devices that there still are, by id.
    """

    edition: Edition
    comparison: Linked
    note: Block | None = None
    video: Linked | None = None
    qr: str = ""
    cite: str = ""
    names: Mapping[str, Labels] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class EditionContext:
    """What the layout shows.

    Attributes:
        given: links and remark.
        title: its title on that day.
        day: the day, for readers.
        head: label and unit of each column.
        rows: name of the configuration, and its cells.
        assumptions: what costs rested on, label and value.
        address: the permanent address.
    """

    given: EditionGiven
    title: str
    day: str
    head: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, tuple[Shown, ...]], ...]
    assumptions: tuple[tuple[str, str], ...]
    address: str


def edition_page(site: Site, words: Words, given: EditionGiven) -> Page:
    """Return the page of an edition."""
    record = given.edition
    address = addresses.edition(record.comparison, record.pinned.isoformat())
    day = date_text(record.pinned.isoformat(), words)
    shown = [name for name in record.columns if _stands_alone(name)]
    return Page(
        address=address,
        layout="edition.html",
        title=words("{title}, as of {date}", title=record.title, date=day),
        summary=words(
            "The numbers of {title} as {site} published them on {date}.",
            title=record.title,
            site=site.name,
            date=day,
        ),
        context=EditionContext(
            given=given,
            title=record.title,
            day=day,
            head=tuple(_head(site, words, name) for name in shown),
            rows=tuple(_rows(site, words, record, shown, given.names)),
            assumptions=tuple(
                (_assumption(words, name), text)
                for name, text in record.assumptions.items()
            ),
            address=address.canonical(site.base),
        ),
        section=COMPARISONS,
        trail=(
            (words("Comparisons"), COMPARISONS),
            (given.comparison.text, given.comparison.to),
        ),
        held=record.held,
        scripts=("copy.js",),
    )


def _stands_alone(name: str) -> bool:
    """Whether a column is shown for itself, not beside another."""
    return name not in _NAMING and name not in _LIMITS and name != "currency"


def _head(site: Site, words: Words, name: str) -> tuple[str, str]:
    quantity = QUANTITIES.get(name)
    if quantity is None:
        return name, ""
    # An amount says its currency itself.
    money_column = quantity.holds == "money"
    unit = "" if money_column else unit_text(name, site.units, site.currency)
    return words(quantity.label), unit


def _rows(
    site: Site,
    words: Words,
    record: Edition,
    shown: list[str],
    names: Mapping[str, Labels],
) -> Iterator[tuple[str, tuple[Shown, ...]]]:
    for texts in record.rows:
        row = dict(zip(record.columns, texts, strict=False))
        yield (
            _name(words, row, names),
            tuple(_cell(site, words, row, each) for each in shown),
        )


def _name(words: Words, row: Mapping[str, str], names: Mapping[str, Labels]) -> str:
    """Return a configuration's name of today, or as it was written where it is gone."""
    ids = [row.get(part, "") for part in _NAMING[:3]]
    labels = names.get(ids[0])
    if labels is not None and all(ids):
        return configuration_name(words, labels, ".".join(ids))
    return ", ".join(each for each in ids if each) or "–"


def _cell(site: Site, words: Words, row: Mapping[str, str], name: str) -> Shown:
    text = row.get(name, "")
    quantity = QUANTITIES.get(name)
    value = _number(text)
    if quantity is None or value is None or quantity.holds == "text":
        return Shown(text, "")
    if quantity.holds == "money":
        return Shown(money(value, row.get("currency") or site.currency, words), "")
    if quantity.holds == "whole" and value == int(value):
        return Shown(whole(int(value), words), "")
    return _measured(site, words, row, quantity, value)


def _measured(
    site: Site,
    words: Words,
    row: Mapping[str, str],
    quantity: Quantity,
    value: float,
) -> Shown:
    low, high = (_number(row.get(limit, "")) for limit in (quantity.low, quantity.high))
    if quantity.rounding == "sound":
        return sound_text(value, low, high, row.get("sound_limit", ""), words)
    units = site.units
    turned = [
        None if each is None else in_units(each, quantity.unit, units)[0]
        for each in (value, low, high)
    ]
    if quantity.rounding == "interval":
        return estimate_text(turned[0], turned[1], turned[2], words)
    return Shown(number(turned[0] or 0.0, 3, words), "")


def _number(text: str) -> float | None:
    """Return the number that a cell holds, or nothing."""
    try:
        value = float(text)
    except ValueError:
        return None
    return value if abs(value) < float("inf") else None


def _assumption(words: Words, name: str) -> str:
    return {
        "tariff": words("Price of electricity"),
        "tariff_per_kwh": words("Price of electricity, per kWh"),
        "hours_per_day": words("Hours a day"),
        "ceiling_m": words("Ceiling height, m"),
        "quiet_cap_dba": words("Quiet cap, dB(A)"),
        "years": words("Years of ownership"),
        "target_ach_per_h": words("Air changes per hour wanted"),
        "discount_pct": words("Discount rate a year, per cent"),
        "currency": words("Currency"),
    }.get(name, name)
