"""What every page has in common, as frozen data that its layout shows."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sitegen.pages.addresses import Address


@dataclass(frozen=True, slots=True)
class Site:
    """What is said on every page of an archive.

    Attributes:
        name: name of the archive.
        tagline: one sentence on what it is, or ``""``.
        base: canonical base address.
        language: language tag of the interface.
        units: ``metric`` or ``us``: which is shown first.
        currency: ISO 4217 code of the archive.
        simulated: whether the data are simulated; every page says so.
        publisher: name of the publisher.
        contact: link for reporting a doubt, or ``""``.
        licence: name of the data's licence.
        licence_url: its text, or ``""``.
        disclosure: sentence that stands before the first sponsored link.
        navigation: label and address, in order.
        prose: label and address of prose pages, for the foot of the page.
    """

    name: str
    tagline: str
    base: str
    language: str
    units: str
    currency: str
    simulated: bool
    publisher: str
    contact: str
    licence: str
    licence_url: str
    disclosure: str
    navigation: tuple[tuple[str, Address], ...]
    prose: tuple[tuple[str, Address], ...] = ()


@dataclass(frozen=True, slots=True)
class Former:
    """A place on a page that something had which moved or is gone.

    Attributes:
        anchor: the id that links from outside name.
        name: what it was called in its address.
        said: what became of it, a sentence.
        to: where it is now, or nothing.
        now: what that is called.
    """

    anchor: str
    name: str
    said: str
    to: Address | None = None
    now: str = ""


@dataclass(frozen=True, slots=True)
class DrawnFigure:
    """A figure as it stands in a page.

    Attributes:
        ident: id of its element; unique on the page.
        title: its title.
        description: the text alternative, whole sentences.
        caption: the line under it, plain text.
        wide: SVG for wide screens.
        narrow: SVG for phones.
        header: column heads of its data table.
        rows: cells of its data table, formatted.
        chart: data of the interactive form as JSON text, or ``""`` when there is none.
    """

    ident: str
    title: str
    description: str
    caption: str
    wide: str
    narrow: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    chart: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """One page, ready to be written by its layout.

    Attributes:
        address: where it stands.
        layout: name of the layout, for example ``device.html``.
        title: what stands in the browser's tab, without the archive's name.
        summary: one sentence for search engines and link previews.
        context: what the layout shows; frozen plain values, already formatted.
        section: the navigation entry that it belongs to, or nothing.
        trail: label and address of the pages above it, outermost first.
        held: whether it rests on a held record (preview only).
        listed: whether it belongs into the sitemap.
        scripts: names of the scripts that it needs, below ``assets``.
        image: address of its social card, or nothing.
        corrections: open corrections that concern it, each with its day.
        former: places that it had for what moved or is gone.
        told: what search engines are told of it: JSON-LD as plain data, or nothing.
    """

    address: Address
    layout: str
    title: str
    summary: str
    context: Any
    section: Address | None = None
    trail: tuple[tuple[str, Address], ...] = ()
    held: bool = False
    listed: bool = True
    scripts: tuple[str, ...] = ()
    image: Address | None = None
    corrections: tuple[tuple[str, Address], ...] = ()
    former: tuple[Former, ...] = ()
    told: dict[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class Linked:
    """A text that leads somewhere.

    Attributes:
        text: what is read.
        to: where it leads.
        note: a word beside it, or ``""``.
    """

    text: str
    to: Address
    note: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution as it stands beside what it concerns.

    Attributes:
        code: its code in the package.
        title: its heading.
        html: its text, safe HTML.
    """

    code: str
    title: str
    html: str


@dataclass(frozen=True, slots=True)
class Block:
    """Prose as it stands in a page.

    Attributes:
        html: safe HTML.
        links: ids of records that it links to, as ``KIND:ID``.
    """

    html: str
    links: tuple[str, ...] = field(default=())
