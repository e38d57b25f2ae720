"""Checks against the last release: nothing that was published may be dropped."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.load.facts import ReleaseFacts
from sitegen.load.index import ArchiveIndex
from sitegen.load.problems import Problem
from sitegen.load.visible import held_back


def last_release(index: ArchiveIndex) -> tuple[str, ReleaseFacts] | None:
    """Return id and facts of the newest release; nothing where there is none."""
    found = [
        (facts.release.date, facts.id, facts.release)
        for facts in index.records.values()
        if facts.release is not None
    ]
    if not found:
        return None
    _, name, release = max(found, key=lambda each: each[:2])
    return name, release


def release_problems(index: ArchiveIndex) -> tuple[Problem, ...]:
    """Return what the last release published and the archive would drop.

    Releases before it need no look: what they published stands in the last one too,
    as published, moved or gone.
    """
    last = last_release(index)
    if last is None:
        return ()
    name, release = last
    return tuple(_lost(index, name, release))


def _lost(index: ArchiveIndex, name: str, release: ReleaseFacts) -> Iterator[Problem]:
    held = held_back(index.records)
    left = {(entry.kind, entry.id) for entry in index.addresses.addresses}
    for kind, ids in release.ids:
        for at, one in enumerate(ids):
            key = (kind, one)
            values = {"kind": kind, "id": one}
            path = ("ids", kind, at)
            if not index.exists(*key) and key not in left:
                yield Problem("release", name, path, "released-lost", values)
            elif key in held:
                values["cause"] = " ".join(held[key])
                yield Problem("release", name, path, "released-held", values)
    for kind, ids in release.left:
        for one in ids:
            if not index.exists(kind, one) and (kind, one) not in left:
                values = {"kind": kind, "id": one}
                yield Problem("release", name, (), "released-forgotten", values)
