"""All records of an archive as the checks between them see them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from sitegen.load.facts import Facts, SettingsFacts
from sitegen.load.locate import Located
from sitegen.load.problems import Key
from sitegen.model import KINDS, Addresses

SERIES = "series"
PROSE = "prose"
MEDIA = "media"


class Lookup(Protocol):
    """Answers what a check asks about other records.

    A check of one record asks only about the records that it names, so that an
    incremental caller can tell what the outcome rests on.
    """

    def exists(self, kind: str, id: str) -> bool:  # noqa: A002
        """Return whether there is a file for it, faulty or not.

        ``series``, ``prose`` and ``media`` (by path) are kinds as well.
        """

    def facts(self, kind: str, id: str) -> Facts | None:  # noqa: A002
        """Return a record's facts; nothing when it is missing or faulty."""

    def ids(self, kind: str) -> Collection[str]:
        """Return all ids of a kind; asked for only when a name is unknown."""

    def left(self, kind: str, id: str) -> bool:  # noqa: A002
        """Return whether an address is listed as moved or gone."""

    def settings(self) -> SettingsFacts | None:
        """Return the archive's settings; nothing when they are faulty."""


@dataclass(frozen=True, slots=True)
class ArchiveIndex:
    """A whole archive, in memory.

    Attributes:
        records: facts by kind and id, of the records without fault.
        present: kind and id of everything that has a file, faulty or not.
        archive: the settings, when they have no fault.
        addresses: addresses moved or gone, when the file has no fault.
    """

    records: Mapping[Key, Facts] = field(default_factory=dict)
    present: Collection[Key] = frozenset()
    archive: SettingsFacts | None = None
    addresses: Addresses = field(default_factory=Addresses)

    def exists(self, kind: str, id: str) -> bool:  # noqa: A002
        """Return whether there is a file for it, faulty or not."""
        return (kind, id) in self.present

    def facts(self, kind: str, id: str) -> Facts | None:  # noqa: A002
        """Return a record's facts; nothing when it is missing or faulty."""
        return self.records.get((kind, id))

    def ids(self, kind: str) -> Collection[str]:
        """Return all ids of a kind."""
        return sorted(name for of, name in self.present if of == kind)

    def left(self, kind: str, id: str) -> bool:  # noqa: A002
        """Return whether an address is listed as moved or gone."""
        return any(
            (entry.kind, entry.id) == (kind, id) for entry in self.addresses.addresses
        )

    def settings(self) -> SettingsFacts | None:
        """Return the archive's settings; nothing when they are faulty."""
        return self.archive


def present_in(located: Located) -> frozenset[Key]:
    """Return kind and id of everything that has a file."""
    return frozenset(
        {
            *located.records,
            *((SERIES, name) for name in located.series),
            *((PROSE, name) for name in located.texts),
            *((MEDIA, path) for path in located.media),
        }
    )


def folder_of(kind: str) -> str:
    """Return where the files of a kind lie, for a sentence."""
    return f"records/{KINDS[kind].folder}" if kind in KINDS else "texts"
