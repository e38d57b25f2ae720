"""An archive's files as the desk's edits see them."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from sitegen.errors import Fault, FaultsFound, usage_fault
from sitegen.load import (
    ADDRESSES_FILE,
    SETTINGS_FILE,
    Located,
    load_addresses,
    load_archive_settings,
    load_record,
    locate,
)
from sitegen.model import KINDS, Record

FOLDERS = ("records", "series", "texts", "photos", "audio")
Change = tuple[str, bytes | None]
"""A path below the archive and its new bytes; nothing where it is deleted."""


@dataclass(frozen=True, slots=True)
class ArchiveFiles:
    """Where everything of an archive stands.

    Attributes:
        folder: the archive.
        located: which file holds what.
    """

    folder: Path
    located: Located

    def path_of(self, kind: str, record_id: str) -> str | None:
        """Return the path of a record's file, or nothing."""
        if kind == "prose":
            return self.located.texts.get(record_id)
        return self.located.records.get((kind, record_id))

    def ids(self, kind: str) -> list[str]:
        """Return the ids of a kind, sorted."""
        if kind == "prose":
            return sorted(self.located.texts)
        return sorted(name for of, name in self.located.records if of == kind)

    def read(self, path: str) -> bytes:
        """Return the bytes of a file."""
        return (self.folder / path).read_bytes()

    def naming(self, word: str) -> Iterator[tuple[str, str, str, bytes]]:
        """Yield kind, id, path and bytes of the records that hold a word."""
        looked_for = word.encode()
        for (kind, name), path in self.located.records.items():
            data = self.read(path)
            if looked_for in data:
                yield kind, name, path, data


def archive_files(folder: Path) -> ArchiveFiles:
    """Return where everything of an archive stands.

    Raises:
        UsageFault: if the folder is no archive.
    """
    if not (folder / SETTINGS_FILE).is_file():
        raise usage_fault(str(folder), "no-settings")
    found = sorted(
        (Path(where) / name).relative_to(folder).as_posix()
        for top in FOLDERS
        for where, _, names in os.walk(folder / top)
        for name in names
    )
    return ArchiveFiles(folder, locate(found))


def loaded(kind: str, record_id: str, path: str, data: bytes) -> Record:
    """Return the record that a file holds.

    Raises:
        FaultsFound: if it has a fault.
    """
    found = load_record(kind, record_id, data, path)
    if found.record is None:
        raise FaultsFound(found.faults)
    return found.record


def refuse_faults(changes: Sequence[Change]) -> None:
    """Look at what would be written, before it is.

    Raises:
        FaultsFound: if a file would have a fault of its own.
    """
    folders = {kind.folder: kind.name for kind in KINDS.values()}
    faults: list[Fault] = []
    for path, data in changes:
        if data is None:
            continue
        if path == ADDRESSES_FILE:
            faults += load_addresses(data, path).faults
        elif path == SETTINGS_FILE:
            faults += load_archive_settings(data, path).faults
        elif path.startswith("records/"):
            kind = folders[path.split("/")[1]]
            stem = path.rpartition("/")[2].removesuffix(".yaml")
            faults += load_record(kind, stem, data, path).faults
    if faults:
        raise FaultsFound(faults)
