"""The page of a filter: what it is, what it costs, which devices use it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sitegen.model import Filter
from sitegen.model.bench import Lifetime
from sitegen.model.collation import collation_key
from sitegen.model.device import Size
from sitegen.pages.addresses import DEVICES, FILTERS, of_record
from sitegen.pages.formats import date_text, in_units, money, number
from sitegen.pages.fractions import as_given
from sitegen.pages.frame import Block, Caution, Linked, Page, Site
from sitegen.pages.result_table import SCRIPTS, ResultTable
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class FilterUseEntry:
    """A device that takes the filter.

    Attributes:
        device: the device.
        maker: its maker.
        pieces: how many it holds at once.
        included: whether it comes in the box.
    """

    device: Linked
    maker: str
    pieces: int
    included: bool


@dataclass(frozen=True, slots=True)
class FilterGiven:
    """What the page shows.

    Attributes:
        filter: the filter's record.
        note: its remark, or nothing.
        uses: devices that take it.
        results: results measured with it, or nothing.
        cautions: cautions that stand on the page; used filters at least.
    """

    filter: Filter
    note: Block | None = None
    uses: tuple[FilterUseEntry, ...] = ()
    results: ResultTable | None = None
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class FilterUseShown:
    """A device that takes the filter, ready for the page.

    Attributes:
        device: the device.
        maker: its maker.
        pieces: how many it holds, as a text.
        included: whether it comes in the box, as a text.
    """

    device: Linked
    maker: str
    pieces: str
    included: str


@dataclass(frozen=True, slots=True)
class FilterContext:
    """What the layout shows.

    Attributes:
        name: name of the filter.
        maker: who makes it.
        facts: label and value.
        note: a remark, or nothing.
        uses: devices that take it, by name.
        results: results measured with it, or nothing.
        cautions: cautions.
    """

    name: str
    maker: str
    facts: tuple[tuple[str, str], ...]
    note: Block | None
    uses: tuple[FilterUseShown, ...]
    results: ResultTable | None
    cautions: tuple[Caution, ...]


def filter_page(site: Site, words: Words, given: FilterGiven) -> Page:
    """Return the page of a filter."""
    record = given.filter
    by_name = sorted(given.uses, key=lambda use: collation_key(use.device.text))
    return Page(
        address=of_record("filter", record.id),
        layout="filter.html",
        title=record.name,
        summary=words(
            "{name} by {maker}: class, price, lifetime, and the devices at {site} "
            "that use it.",
            name=record.name,
            maker=record.maker,
            site=site.name,
        ),
        context=FilterContext(
            name=record.name,
            maker=record.maker,
            facts=tuple(_facts(site, words, record)),
            note=given.note,
            uses=tuple(
                FilterUseShown(
                    device=use.device,
                    maker=use.maker,
                    pieces=words.plural("{n} piece", "{n} pieces", use.pieces),
                    included=words("in the box")
                    if use.included
                    else words("bought apart"),
                )
                for use in by_name
            ),
            results=given.results,
            cautions=given.cautions,
        ),
        section=DEVICES,
        trail=((words("Filters"), FILTERS),),
        held=record.held,
        scripts=SCRIPTS if given.results else (),
    )


def lifetime_text(words: Words, lifetime: Lifetime) -> str:
    """Return how long a filter is used, its range if known, and who says so."""
    if lifetime.months is not None:
        span, unit = lifetime.months, words("months")
    else:
        span, unit = lifetime.hours or 0.0, words("running hours")
    basis = {
        "stated": words("stated by the maker"),
        "assumed": words("assumed by this bench"),
        "measured": words("measured"),
    }[lifetime.basis]
    text = f"{as_given(words, span)} {unit}"
    if lifetime.low is not None and lifetime.high is not None:
        low, high = as_given(words, lifetime.low), as_given(words, lifetime.high)
        text = words("{text}, {low} to {high}", text=text, low=low, high=high)
    return words("{text} ({basis})", text=text, basis=basis)


def size_text(site: Site, words: Words, size: Size) -> str:
    """Return width, height and depth in the archive's units."""
    shown = [
        in_units(side, "mm", site.units)
        for side in (size.width_mm, size.height_mm, size.depth_mm)
    ]
    sides = " × ".join(number(side, 3, words, plain=True) for side, _ in shown)
    return f"{sides} {shown[0][1]}"


def _facts(site: Site, words: Words, record: Filter) -> Iterator[tuple[str, str]]:
    unknown = words("not stated")
    yield words("Filter class, as stated"), record.stated_class or unknown
    if record.stated_class:
        yield words("Standard that the class refers to"), record.standard or unknown
    if record.size is not None:
        yield words("Size of one piece"), size_text(site, words, record.size)
    if record.price is None:
        yield words("Price of one piece"), words("not known")
    else:
        price = record.price
        day = date_text(price.date.isoformat(), words)
        amount = money(price.amount, price.currency, words)
        seen = words("{amount}, seen on {date}", amount=amount, date=day)
        yield (
            words("Price of one piece"),
            f"{seen}, {price.source}" if price.source else seen,
        )
    yield (
        words("Lifetime"),
        lifetime_text(words, record.lifetime)
        if record.lifetime
        else words("not known"),
    )
