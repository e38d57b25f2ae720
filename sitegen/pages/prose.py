"""Prose pages: text of the archive, with comparisons in their places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.pages.addresses import Address, of_record
from sitegen.pages.frame import Block, DrawnFigure, Page, Site
from sitegen.pages.page_scripts import page_scripts
from sitegen.pages.result_table import ResultTable
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class EmbeddedComparison:
    """A comparison put into a text.

    Attributes:
        title: title of the comparison.
        caption: the caption written in the text.
        sentence: the comparison's generated sentence.
        to: the comparison's page.
        figure: its figure, or nothing.
        table: its table.
    """

    title: str
    caption: str
    sentence: str
    to: Address
    figure: DrawnFigure | None
    table: ResultTable


@dataclass(frozen=True, slots=True)
class ProseGiven:
    """What the page shows.

    Attributes:
        id: id of the text; the page's first segment.
        title: its first heading.
        summary: its first sentence, plain text.
        parts: text and comparisons, in order.
    """

    id: str
    title: str
    summary: str
    parts: tuple[Block | EmbeddedComparison, ...]


@dataclass(frozen=True, slots=True)
class ProsePart:
    """One part of the page; exactly one of the two is there.

    Attributes:
        block: text, or nothing.
        comparison: a comparison, or nothing.
    """

    block: Block | None = None
    comparison: EmbeddedComparison | None = None


@dataclass(frozen=True, slots=True)
class ProseContext:
    """What the layout loops over.

    Attributes:
        title: the page's heading.
        parts: text and comparisons, in order.
    """

    title: str
    parts: tuple[ProsePart, ...]


def prose_page(site: Site, words: Words, given: ProseGiven) -> Page:
    """Return a prose page."""
    return Page(
        address=of_record("prose", given.id),
        layout="prose.html",
        title=given.title,
        summary=given.summary
        or words("{title}: a page of {site}.", title=given.title, site=site.name),
        context=ProseContext(title=given.title, parts=_parts(given.parts)),
        scripts=_scripts(given.parts),
    )


def _parts(
    parts: Sequence[Block | EmbeddedComparison],
) -> tuple[ProsePart, ...]:
    return tuple(
        ProsePart(block=part) if isinstance(part, Block) else ProsePart(comparison=part)
        for part in parts
    )


def _scripts(parts: Sequence[Block | EmbeddedComparison]) -> tuple[str, ...]:
    shown = [part for part in parts if isinstance(part, EmbeddedComparison)]
    return page_scripts(*(part.figure for part in shown)) if shown else ()
