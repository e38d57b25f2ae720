"""The change log: what changed, when, why, and what it affects."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from sitegen.pages.addresses import CHANGES, FEED, Address, of_record
from sitegen.pages.formats import date_text
from sitegen.pages.frame import Block, Linked, Page, Site
from sitegen.pages.words import Words

ChangeKind = Literal[
    "correction", "retest", "price", "method", "addition", "withdrawal"
]


@dataclass(frozen=True, slots=True)
class ChangeEntry:
    """One change, as its record describes it.

    Attributes:
        id: id of the record; the entry's anchor.
        date: day of the change, ISO.
        kind: what sort of change it is.
        text: what changed and why.
        affects: what it affects; what has no page any more is left to ``gone``.
        gone: names of what it affects that has no page.
        closed: for a correction: the day on which all was put right, or ``""``.
        held: whether it is held (preview only).
        to: its place in the change log.
    """

    id: str
    date: str
    kind: ChangeKind
    text: Block
    affects: tuple[Linked, ...] = ()
    gone: tuple[str, ...] = ()
    closed: str = ""
    held: bool = False
    to: Address = CHANGES


class Correction(NamedTuple):
    """A correction that concerns a page.

    Attributes:
        id: id of its record.
        date: its day, ISO.
        closed: the day on which all was put right, or ``""``.
    """

    id: str
    date: str
    closed: str


@dataclass(frozen=True, slots=True)
class ChangesGiven:
    """What the page shows.

    Attributes:
        changes: every change, in any order.
    """

    changes: tuple[ChangeEntry, ...]


@dataclass(frozen=True, slots=True)
class ChangeShown:
    """An entry of the page.

    Attributes:
        entry: the change.
        day: its day, for readers.
        kind: its kind, for readers.
        state: for a correction whether it is open or closed, else ``""``.
        open: whether it is a correction that is not yet closed.
    """

    entry: ChangeEntry
    day: str
    kind: str
    state: str
    open: bool


@dataclass(frozen=True, slots=True)
class ChangesContext:
    """What the layout loops over.

    Attributes:
        open: corrections not yet closed, newest first.
        years: year and its changes, newest first.
        feed: the feed of changes.
        none: whether there is no change at all.
    """

    open: tuple[ChangeShown, ...]
    years: tuple[tuple[str, tuple[ChangeShown, ...]], ...]
    feed: Address
    none: bool


def kind_text(words: Words, kind: ChangeKind) -> str:
    """Return a kind of change, for readers."""
    return {
        "correction": words("Correction"),
        "retest": words("Tested again"),
        "price": words("Price"),
        "method": words("Method"),
        "addition": words("Added"),
        "withdrawal": words("Withdrawn"),
    }[kind]


def changes_page(site: Site, words: Words, given: ChangesGiven) -> Page:
    """Return the change log, the newest change first."""
    shown = changes_shown(words, given.changes)
    years: dict[str, list[ChangeShown]] = {}
    for change in shown:
        years.setdefault(change.entry.date[:4], []).append(change)
    return Page(
        address=CHANGES,
        layout="changes.html",
        title=words("Changes"),
        summary=words(
            "Everything that changed in {site} after it was published: corrections, "
            "repeated tests, prices, methods.",
            site=site.name,
        ),
        context=ChangesContext(
            open=tuple(change for change in shown if change.open),
            years=tuple((year, tuple(found)) for year, found in years.items()),
            feed=FEED,
            none=not shown,
        ),
        section=CHANGES,
    )


def changes_shown(
    words: Words, changes: Sequence[ChangeEntry]
) -> tuple[ChangeShown, ...]:
    """Return changes as pages show them, the newest first."""
    by_id = sorted(changes, key=lambda change: change.id)
    newest_first = sorted(by_id, key=lambda change: change.date, reverse=True)
    return tuple(_shown(words, change) for change in newest_first)


def correction_link(words: Words, correction: Correction) -> tuple[str, Address]:
    """Return the day of a correction, for readers, and where it is explained."""
    return date_text(correction.date, words), of_record("change", correction.id)


def _shown(words: Words, change: ChangeEntry) -> ChangeShown:
    unfinished = change.kind == "correction" and not change.closed
    state = ""
    if unfinished:
        state = words("Not yet put right everywhere")
    elif change.kind == "correction":
        state = words("Put right on {date}", date=date_text(change.closed, words))
    return ChangeShown(
        entry=change,
        day=date_text(change.date, words),
        kind=kind_text(words, change.kind),
        state=state,
        open=unfinished,
    )
