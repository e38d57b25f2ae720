"""The list of filters: class, price, lifetime, and the devices that take each."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.model import Filter
from sitegen.model.collation import collation_key
from sitegen.pages.addresses import DEVICES, FILTERS, of_record
from sitegen.pages.filter import lifetime_text
from sitegen.pages.formats import date_text, money
from sitegen.pages.frame import Caution, Linked, Page, Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class FilterEntry:
    """A filter, for the list.

    Attributes:
        filter: its record.
        devices: published devices that take it.
        held: whether it is held (preview only).
    """

    filter: Filter
    devices: tuple[Linked, ...] = ()
    held: bool = False


@dataclass(frozen=True, slots=True)
class FiltersGiven:
    """What the page shows.

    Attributes:
        filters: every filter, in any order.
        cautions: cautions that stand on the page.
    """

    filters: tuple[FilterEntry, ...]
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class FilterLine:
    """One line of the list.

    Attributes:
        filter: its name and page.
        maker: who makes it.
        stated_class: its class as the maker states it, or ``""``.
        standard: the standard that the class refers to, or ``""``.
        price: of one piece, or ``""``.
        seen: the day on which the price was seen, or ``""``.
        lifetime: how long it is used and who says so, or ``""``.
        devices: devices that take it, by name.
        held: whether it is held.
    """

    filter: Linked
    maker: str
    stated_class: str
    standard: str
    price: str
    seen: str
    lifetime: str
    devices: tuple[Linked, ...]
    held: bool


@dataclass(frozen=True, slots=True)
class FiltersContext:
    """What the layout shows.

    Attributes:
        lines: the filters, by name.
        cautions: cautions.
    """

    lines: tuple[FilterLine, ...]
    cautions: tuple[Caution, ...]


def filters_page(site: Site, words: Words, given: FiltersGiven) -> Page:
    """Return the list of filters by name."""
    lines = [_line(words, entry) for entry in given.filters]
    lines.sort(
        key=lambda line: (collation_key(line.filter.text), collation_key(line.maker))
    )
    return Page(
        address=FILTERS,
        layout="filters.html",
        title=words("Filters"),
        summary=words(
            "Every filter that {site} has a record of: class, price, lifetime, and "
            "the devices that take it.",
            site=site.name,
        ),
        context=FiltersContext(tuple(lines), given.cautions),
        section=DEVICES,
        trail=((words("Devices"), DEVICES),),
    )


def _line(words: Words, entry: FilterEntry) -> FilterLine:
    record, price = entry.filter, entry.filter.price
    return FilterLine(
        filter=Linked(record.name, of_record("filter", record.id)),
        maker=record.maker,
        stated_class=record.stated_class or "",
        standard=(record.standard or "") if record.stated_class else "",
        price=money(price.amount, price.currency, words) if price else "",
        seen=date_text(price.date.isoformat(), words) if price else "",
        lifetime=lifetime_text(words, record.lifetime) if record.lifetime else "",
        devices=tuple(sorted(entry.devices, key=lambda one: collation_key(one.text))),
        held=entry.held,
    )
