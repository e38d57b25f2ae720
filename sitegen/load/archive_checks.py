"""Checks of the archive as a whole."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.load.guesses import guess, listed
from sitegen.load.index import PROSE, SERIES, ArchiveIndex, folder_of
from sitegen.load.problems import ADDRESSES, SETTINGS, Key, Problem
from sitegen.load.references import check_record
from sitegen.load.release_checks import release_problems
from sitegen.model.chronicle import AddressChange

# Pages of the site that a navigation can lead to.
NAVIGABLE = (
    "bench",
    "c",
    "changes",
    "compare",
    "data",
    "devices",
    "filters",
    "funding",
    "methods",
    "runs",
    "tables",
    "videos",
)


def check_references(index: ArchiveIndex) -> tuple[Problem, ...]:
    """Return everything that is wrong between the records of an archive.

    Args:
        index: the archive; what stands in no file or in a faulty one is not held
            against those that name it.
    """
    found = [
        problem
        for key in sorted(index.records)
        for problem in check_record(index.records[key], index)
    ]
    return (*found, *check_archive(index))


def check_archive(index: ArchiveIndex) -> tuple[Problem, ...]:
    """Return what no record alone can show: series, editions, addresses, navigation."""
    return (
        *_series(index),
        *_editions(index),
        *_addresses(index),
        *release_problems(index),
        *_navigation(index),
    )


def _series(index: ArchiveIndex) -> Iterator[Problem]:
    first: dict[str, str] = {}
    runs = sorted(name for kind, name in index.records if kind == "run")
    for name in runs:
        facts = index.records["run", name]
        series = facts.run.series if facts.run else ""
        if series and series in first:
            values = {"other": first[series]}
            yield Problem("run", name, ("series",), "series-shared", values)
        elif series:
            first[series] = name
    if len(runs) == len(index.ids("run")):  # a faulty run may be the one that uses it
        for series in index.ids(SERIES):
            if series not in first:
                yield Problem(SERIES, series, (), "series-unused")


def _editions(index: ArchiveIndex) -> Iterator[Problem]:
    first: dict[str, str] = {}
    for kind, name in sorted(index.records):
        dated = index.records[kind, name].dated
        if dated and dated in first:
            values = {"other": first[dated]}
            yield Problem(kind, name, ("pinned",), "edition-twice", values)
        elif dated:
            first[dated] = name
        wanted = dated.replace("/", "-")
        if name != wanted and dated:
            values = {"id": name, "wanted": wanted}
            yield Problem(kind, name, (), "edition-name", values)


def _addresses(index: ArchiveIndex) -> Iterator[Problem]:
    moved: dict[Key, AddressChange] = {}
    for at, entry in enumerate(index.addresses.addresses):
        key = (entry.kind, entry.id)
        named = {"kind": entry.kind, "id": entry.id}
        path = ("addresses", at, "id")
        if key in moved:
            yield Problem(*ADDRESSES, path, "address-twice", named)
            continue
        moved[key] = entry
        if index.exists(*key):
            yield Problem(*ADDRESSES, path, "address-present", named)
    for at, entry in enumerate(index.addresses.addresses):
        if moved[entry.kind, entry.id] is entry and entry.moved_to is not None:
            yield from _move(index, moved, at, entry)


def _move(
    index: ArchiveIndex, moved: dict[Key, AddressChange], at: int, entry: AddressChange
) -> Iterator[Problem]:
    path = ("addresses", at, "moved_to")
    chain = [entry.id]
    here: AddressChange | None = entry
    while here is not None and here.moved_to is not None:
        following = here.moved_to
        if following in chain:
            if entry.id == following == min(chain):
                named = {"kind": entry.kind, "id": entry.id}
                yield Problem(*ADDRESSES, path, "address-circle", named)
            return
        if index.exists(entry.kind, following):
            return
        chain.append(following)
        before, here = here, moved.get((entry.kind, following))
        if here is None and before is entry:
            named = {"kind": entry.kind, "id": following}
            named |= {"folder": folder_of(entry.kind)}
            named |= guess(following, index.ids(entry.kind))
            yield Problem(*ADDRESSES, path, "address-lost", named)


def _navigation(index: ArchiveIndex) -> Iterator[Problem]:
    if index.archive is None:
        return
    for at, name in enumerate(index.archive.navigation):
        if name in NAVIGABLE or index.exists(PROSE, name):
            continue
        values = {"value": name, "choices": listed(NAVIGABLE)}
        values |= guess(name, [*NAVIGABLE, *index.ids(PROSE)])
        path = ("navigation", at)
        yield Problem(*SETTINGS, path, "unknown-navigation", values)
