"""The list of methods, each with its versions."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.model.collation import collation_key
from sitegen.pages.addresses import METHODS, Address, of_record
from sitegen.pages.formats import date_text
from sitegen.pages.frame import Linked, Page, Site
from sitegen.pages.method import kind_text
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class MethodEntry:
    """One method version, for the list.

    Attributes:
        id: id of the record.
        kind: ``decay``, ``sound`` or ``power``.
        name: name of the method.
        version: its version.
        since: first day, ISO.
        replaced_by: the version that replaces it, or nothing.
        comparable: methods whose results may stand beside its own.
        runs: how many published runs were made under it.
        held: whether it is held (preview only).
    """

    id: str
    kind: str
    name: str
    version: str
    since: str
    replaced_by: Linked | None = None
    comparable: tuple[Linked, ...] = ()
    runs: int = 0
    held: bool = False


@dataclass(frozen=True, slots=True)
class MethodsGiven:
    """What the page shows.

    Attributes:
        methods: every version of every method, in any order.
    """

    methods: tuple[MethodEntry, ...]


@dataclass(frozen=True, slots=True)
class MethodShown:
    """One line of the list.

    Attributes:
        entry: the version.
        to: its page.
        since: first day, for readers.
        runs: number of runs, as a text.
    """

    entry: MethodEntry
    to: Address
    since: str
    runs: str


@dataclass(frozen=True, slots=True)
class MethodsContext:
    """What the layout loops over.

    Attributes:
        kinds: heading and the versions below it, newest first within a name.
    """

    kinds: tuple[tuple[str, tuple[MethodShown, ...]], ...]


def methods_page(site: Site, words: Words, given: MethodsGiven) -> Page:
    """Return the list of methods by what they measure."""
    newest = sorted(given.methods, key=lambda found: found.id)
    newest.sort(key=lambda found: found.since, reverse=True)
    newest.sort(key=lambda found: collation_key(found.name))
    kinds = []
    for kind in ("decay", "sound", "power"):
        shown = tuple(
            MethodShown(
                entry=entry,
                to=of_record("method", entry.id),
                since=date_text(entry.since, words),
                runs=words.plural("{n} run", "{n} runs", entry.runs),
            )
            for entry in newest
            if entry.kind == kind
        )
        if shown:
            kinds.append((kind_text(words, kind), shown))
    return Page(
        address=METHODS,
        layout="methods.html",
        title=words("Methods"),
        summary=words(
            "How {site} measures, version by version, and which versions may be "
            "compared.",
            site=site.name,
        ),
        context=MethodsContext(tuple(kinds)),
        section=METHODS,
    )
