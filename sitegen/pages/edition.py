"""An edition: a comparison's numbers as they were on a day, never changed again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from sitegen.findings.frozen import thawed
from sitegen.findings.views import Labels, ResultRow
from sitegen.model import QUANTITIES, Edition
from sitegen.pages import addresses
from sitegen.pages.addresses import COMPARISONS, Address, card_of
from sitegen.pages.changes import Correction, correction_link
from sitegen.pages.configuration_names import configuration_name
from sitegen.pages.edition_words import assumption_label
from sitegen.pages.formats import Shown, date_text, quantity_text, unit_text
from sitegen.pages.frame import Block, Caution, DrawnFigure, Linked, Page, Site
from sitegen.pages.page_scripts import page_scripts
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
        figure: its figure as it was, or nothing.
        devices: devices compared that there still are.
        methods: methods that the numbers rest on that have a page.
        qr: QR code of the permanent address, as SVG.
        cite: how to cite the page.
        names: names of the devices that there still are, by their ids in the edition.
        corrections: corrections that came after it and speak of what it rests on.
        cautions: cautions that follow from the devices.
    """

    edition: Edition
    comparison: Linked
    note: Block | None = None
    video: Linked | None = None
    figure: DrawnFigure | None = None
    devices: tuple[Linked, ...] = ()
    methods: tuple[Linked, ...] = ()
    qr: str = ""
    cite: str = ""
    names: Mapping[str, Labels] = field(default_factory=dict)
    corrections: tuple[Correction, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class EditionContext:
    """What the layout shows.

    Attributes:
        given: links, figure and remark.
        title: its title on that day.
        day: the day, for readers.
        head: label and unit of each column.
        rows: name of the configuration, and its cells.
        assumptions: what costs rested on, label and value.
        methods: names of the methods, as they were called, that have no page any more.
        corrections: day and place of each correction that came after it.
        address: the permanent address.
    """

    given: EditionGiven
    title: str
    day: str
    head: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, tuple[Shown, ...]], ...]
    assumptions: tuple[tuple[str, str], ...]
    methods: tuple[str, ...]
    corrections: tuple[tuple[str, Address], ...]
    address: str


def edition_page(site: Site, words: Words, given: EditionGiven) -> Page:
    """Return the page of an edition."""
    record = given.edition
    address = addresses.edition(record.comparison, record.pinned.isoformat())
    day = date_text(record.pinned.isoformat(), words)
    shown = shown_columns(record)
    units = record.units or site.units
    linked = {link.to.path.split("/")[1] for link in given.methods}
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
            head=tuple(_head(site, words, name, units) for name in shown),
            rows=tuple(
                (
                    _name(words, record, row, given.names),
                    tuple(quantity_text(each, row, units, words) for each in shown),
                )
                for row in edition_rows(record, site.currency)
            ),
            assumptions=tuple(
                (assumption_label(words, name), text)
                for name, text in record.assumptions.items()
            ),
            methods=tuple(
                name for key, name in record.methods.items() if key not in linked
            ),
            corrections=tuple(
                correction_link(words, each) for each in given.corrections
            ),
            address=address.canonical(site.base),
        ),
        section=COMPARISONS,
        trail=(
            (words("Comparisons"), COMPARISONS),
            (given.comparison.text, given.comparison.to),
        ),
        held=record.held,
        scripts=tuple(dict.fromkeys((*page_scripts(given.figure), "copy.js"))),
        image=card_of(address) if given.figure else None,
    )


def edition_rows(record: Edition, currency: str) -> tuple[ResultRow, ...]:
    """Return the results that an edition keeps, by the ids of its day.

    Args:
        record: the edition.
        currency: the archive's currency, for editions that do not name theirs.
    """
    rows = (thawed(record.columns, texts) for texts in record.rows)
    return tuple(
        row if row.currency else replace(row, currency=currency) for row in rows
    )


def shown_columns(record: Edition) -> tuple[str, ...]:
    """Return the quantities in an edition's table."""
    given: Sequence[str] = record.shown or record.columns
    return tuple(
        name
        for name in given
        if name in QUANTITIES
        and name not in _NAMING
        and name not in _LIMITS
        and name != "currency"
    )


def _head(site: Site, words: Words, name: str, units: str) -> tuple[str, str]:
    quantity = QUANTITIES[name]
    # An amount says its currency itself.
    money_column = quantity.holds == "money"
    unit = "" if money_column else unit_text(name, units, site.currency, words)
    return words(quantity.label), unit


def _name(
    words: Words, record: Edition, row: ResultRow, names: Mapping[str, Labels]
) -> str:
    """Return a configuration's name of that day, else of today, else its ids."""
    known = record.names.get(row.configuration)
    if known:
        return known
    ids = (row.device, row.filter, row.speed)
    labels = names.get(row.device)
    if labels is not None and all(ids):
        return configuration_name(words, labels, row.configuration)
    return ", ".join(each for each in ids if each) or "–"
