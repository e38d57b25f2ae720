"""An edited record is looked at before it is written: is it right, and only that?"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sitegen.desk.opened import OpenArchive
from sitegen.desk.record_edit import edited, write_files
from sitegen.errors import Fault, FaultsFound, Place, is_fault
from sitegen.load import (
    ADDRESSES_FILE,
    SETTINGS_FILE,
    Facts,
    check_record,
    facts_of,
    facts_of_settings,
    faults_of,
    load_addresses,
    load_archive_settings,
    load_record,
)
from sitegen.load.facts import SettingsFacts


def checked(
    kind: str,
    record_id: str,
    file: str,
    versions: tuple[bytes, bytes],
    changed: Mapping[str, Any],
) -> bytes:
    """Return the new bytes of a record if they say what they should and nothing else.

    Args:
        kind: kind of the record.
        record_id: its id.
        file: its path, for the place of a fault.
        versions: the record before and after the edit.
        changed: the fields that are meant to differ, as JSON data.

    Raises:
        FaultsFound: the faults that the record would have, or
            ``record-not-editable`` where something else would change.
    """
    old, new = (load_record(kind, record_id, data, file) for data in versions)
    if new.record is None:
        raise FaultsFound(new.faults)
    if old.record is None:
        raise FaultsFound(old.faults)
    meant = {**old.record.model_dump(mode="json"), **changed}
    if meant != new.record.model_dump(mode="json"):
        raise FaultsFound([not_editable(file, next(iter(changed), ""))])
    return versions[1]


def not_editable(file: str, field: str) -> Fault:
    """Return the fault of a record that is left to its author."""
    return Fault("record-not-editable", Place(file), field)


def refuse_new_faults(
    archive: OpenArchive, kind: str, record_id: str, data: bytes
) -> None:
    """Look whether an edited record would disagree with those that it names.

    Args:
        archive: the archive.
        kind: kind of the record.
        record_id: its id.
        data: the record after the edit, without a fault of its own.

    Raises:
        FaultsFound: if it would have a fault.
    """
    path = archive.path(kind, record_id)
    loaded = load_record(kind, record_id, data, path)
    if loaded.record is None:
        raise FaultsFound(loaded.faults)
    problems = check_record(facts_of(kind, loaded.record), _Others(archive))
    faults = faults_of(problems, lambda *_: loaded.tree)
    if any(map(is_fault, faults)):
        raise FaultsFound(faults)


class _Others:
    """Answers what a check asks about other records, read when they are asked for."""

    def __init__(self, archive: OpenArchive) -> None:
        self._archive = archive

    def exists(self, kind: str, id: str) -> bool:  # noqa: A002 - as the protocol has it
        located = self._archive.located
        if kind == "series":
            return id in located.series
        if kind == "prose":
            return id in located.texts
        if kind == "media":
            return id in located.media
        return (kind, id) in located.records

    def facts(self, kind: str, id: str) -> Facts | None:  # noqa: A002
        if (kind, id) not in self._archive.located.records:
            return None
        path = self._archive.path(kind, id)
        loaded = load_record(kind, id, self._read(path), path)
        return None if loaded.record is None else facts_of(kind, loaded.record)

    def ids(self, kind: str) -> tuple[str, ...]:
        located = self._archive.located
        if kind in {"series", "prose", "media"}:
            known = {"series": located.series, "prose": located.texts}
            return tuple(sorted(known.get(kind, located.media)))
        return tuple(self._archive.ids(kind))

    def left(self, kind: str, id: str) -> bool:  # noqa: A002
        if not (self._archive.folder / ADDRESSES_FILE).is_file():
            return False
        loaded = load_addresses(self._read(ADDRESSES_FILE), ADDRESSES_FILE)
        listed = loaded.record.addresses if loaded.record else ()
        return any((entry.kind, entry.id) == (kind, id) for entry in listed)

    def settings(self) -> SettingsFacts | None:
        loaded = load_archive_settings(self._read(SETTINGS_FILE), SETTINGS_FILE)
        return None if loaded.record is None else facts_of_settings(loaded.record)

    def _read(self, path: str) -> bytes:
        return (self._archive.folder / path).read_bytes()


@dataclass(frozen=True, slots=True)
class Edit:
    """An edit of one record, looked at and not yet written.

    Attributes:
        file: the record, below the archive.
        before: its bytes as they are.
        after: its bytes as they would be.
    """

    file: str
    before: bytes
    after: bytes

    @property
    def diff(self) -> str:
        """What it changes, as a unified diff."""
        return difference(self.file, self.before, self.after)

    def write(self, archive: Path) -> None:
        """Write the record, whole or not at all."""
        write_files(archive, [(self.file, self.after)])


def edit_record(
    archive: OpenArchive,
    kind: str,
    record_id: str,
    edit: Callable[[Any], None],
    fields: Collection[str],
) -> Edit:
    """Return an edit of a record that has been looked at.

    Args:
        archive: the archive.
        kind: kind of the record.
        record_id: its id.
        edit: changes what the file holds, in place.
        fields: the only fields that may differ afterwards.

    Raises:
        FaultsFound: if the record has a fault or would have one, or if the edit would
            change anything else or lose a comment.
    """
    file = archive.path(kind, record_id)
    before = (archive.folder / file).read_bytes()
    read = load_record(kind, record_id, before, file)
    if read.record is None:
        raise FaultsFound(read.faults)
    try:
        after = edited(before, edit)
    except (LookupError, TypeError, AttributeError):
        raise FaultsFound([not_editable(file, next(iter(fields), ""))]) from None
    new = load_record(kind, record_id, after, file)
    if new.record is None:
        raise FaultsFound(new.faults)
    data = new.record.model_dump(mode="json")
    changed = {name: data[name] for name in fields}
    checked(kind, record_id, file, (before, after), changed)
    if not _comments(before) <= _comments(after):
        raise FaultsFound([not_editable(file, next(iter(fields), ""))])
    refuse_new_faults(archive, kind, record_id, after)
    return Edit(file, before, after)


def _comments(data: bytes) -> set[str]:
    """Return the lines that are comments alone."""
    lines = (line.strip() for line in data.decode("utf-8").splitlines())
    return {line for line in lines if line.startswith("#")}


def difference(file: str, before: bytes, after: bytes) -> str:
    """Return what an edit changes, as a unified diff."""
    old, new = (data.decode("utf-8").splitlines() for data in (before, after))
    name = str(Path(file))
    lines = difflib.unified_diff(old, new, name, f"{name} (edited)", lineterm="")
    return "\n".join(lines)
