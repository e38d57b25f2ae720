"""A record gets another id: every mention follows, and its old address leads on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path, PurePosixPath
from typing import Any, get_args

from sitegen.desk.archive_files import (
    ArchiveFiles,
    Change,
    archive_files,
    loaded,
    refuse_faults,
)
from sitegen.desk.record_edit import block_list, edited, flow, set_scalar, write_files
from sitegen.errors import usage_fault
from sitegen.load import ADDRESSES_FILE, RESERVED_SEGMENTS, SETTINGS_FILE
from sitegen.load.guesses import guess, listed
from sitegen.load.index import folder_of
from sitegen.model import Comparison, Record, Table, references
from sitegen.model.chronicle import AddressedKind
from sitegen.model.configuration import parse_configuration
from sitegen.model.scalars import ID_PATTERN
from sitegen.pages.addresses import edition_parts

RENAMED = tuple(
    kind for kind in get_args(AddressedKind) if kind not in {"edition", "instrument"}
)
"""Kinds of records that can be renamed; an instrument's id stands in the series."""
Path_ = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Renamed:
    """What a rename did.

    Attributes:
        moved: kind, former id and present id of everything that has another address.
        written: paths of the files that were written, in order.
    """

    moved: tuple[tuple[str, str, str], ...]
    written: tuple[str, ...]


def rename(folder: Path, kind: str, old: str, new: str, since: date) -> Renamed:
    """Give a record another id, with every mention, and list the old one as moved.

    Nothing is written unless all can be. Killed half-way, the same command ends the
    work: a mention that is right already is left, and a record that has been moved by
    hand is taken as it is.

    Args:
        folder: the archive.
        kind: kind of the record, one of ``RENAMED``.
        old: its id.
        new: the id that it gets.
        since: day of the rename.

    Raises:
        UsageFault: if there is no such record, or the new id cannot be taken.
        FaultsFound: if a record that names it has a fault.
    """
    files = archive_files(folder)
    moved = _moves(files, kind, old, new)
    changes: list[Change] = []
    for of_kind, before, after in moved:
        changes = _carried(files, changes, of_kind, before, after)
    for of_kind, before, after in moved:
        path = files.path_of(of_kind, before)
        if path is None:
            continue
        data = next((d for p, d in changes if p == path), None) or files.read(path)
        changes = [change for change in changes if change[0] != path]
        target = PurePosixPath(path)
        changes.append((str(target.with_stem(after)), data))
        changes.append((path, None))
    changes.append(_listed(files, moved, since))
    refuse_faults(changes)
    write_files(folder, changes)
    return Renamed(tuple(moved), tuple(path for path, data in changes if data))


def _moves(
    files: ArchiveFiles, kind: str, old: str, new: str
) -> list[tuple[str, str, str]]:
    if kind not in RENAMED:
        raise usage_fault("rename", "not-renamed", kind=kind, choices=listed(RENAMED))
    if not ID_PATTERN.fullmatch(new):
        raise usage_fault("rename", "not-an-id", value=new)
    if old == new:
        raise usage_fault("rename", "id-same", value=new)
    if kind == "prose" and new in RESERVED_SEGMENTS:
        raise usage_fault("rename", "reserved-id", id=new)
    before, after = files.path_of(kind, old), files.path_of(kind, new)
    if before and after:
        raise usage_fault("rename", "id-taken", kind=kind, value=new)
    if not before and not after:
        raise usage_fault(
            "rename",
            "unknown-reference",
            kind=kind,
            id=old,
            folder=folder_of(kind),
            **guess(old, files.ids(kind)),
        )
    found = [(kind, old, new)]
    if kind == "comparison":
        for one in _editions(files, old):
            pinned = edition_parts(one)[1]
            follower = f"{new}-{pinned}"
            if not ID_PATTERN.fullmatch(follower):
                raise usage_fault("rename", "id-too-long", value=follower)
            found.append(("edition", one, follower))
    return found


def _editions(files: ArchiveFiles, comparison_id: str) -> list[str]:
    return [
        name
        for of_kind, name in files.located.records
        if of_kind == "edition" and _is_edition_of(name, comparison_id)
    ]


def _is_edition_of(edition_id: str, comparison_id: str) -> bool:
    named = re.fullmatch(r"(.+)-\d{4}-\d{2}-\d{2}", edition_id)
    return named is not None and named[1] == comparison_id


def _carried(
    files: ArchiveFiles, changes: list[Change], kind: str, old: str, new: str
) -> list[Change]:
    """Return the changes with every mention of an id carried over to another."""
    held: dict[str, bytes | None] = dict(changes)
    for of_kind, name, path, stored in files.naming(old):
        if of_kind == "release":
            continue  # what was published on a day stays as it was
        data = held.get(path) or stored
        after = _in_record(of_kind, name, path, data, (kind, old, new))
        if after != data:
            held[path] = after
    for path in files.located.texts.values():
        data = held.get(path) or files.read(path)
        after = _in_text(data, kind, old, new)
        if after != data:
            held[path] = after
    settings = files.read(SETTINGS_FILE)
    after = edited(settings, lambda top: _in_settings(top, kind, old, new))
    after = _in_text(after, kind, old, new)
    if old.encode() in settings and after != settings:
        held[SETTINGS_FILE] = after
    return list(held.items())


def _in_record(
    kind: str, record_id: str, path: str, data: bytes, move: tuple[str, str, str]
) -> bytes:
    """Return a record's file in which one id is another."""
    data = _in_text(data, *move)
    record = loaded(kind, record_id, path, data)
    found = dict(_mentions(record, *move))
    if not found:
        return data

    def edit(top: Any) -> None:  # noqa: ANN401 - plain data of the library
        for where, text in found.items():
            set_scalar(top, where, text)

    return edited(data, edit)


def _in_text(data: bytes, kind: str, old: str, new: str) -> bytes:
    """Return a text whose links (``device:ID``) name another id.

    No other YAML or Markdown is spelled so: a colon of YAML has a space behind it.
    """
    word = "page" if kind == "prose" else kind
    named = re.compile(rf"(?<![\w.-]){word}:{re.escape(old)}(?![\w-])")
    return named.sub(f"{word}:{new}", data.decode("utf-8")).encode()


def _in_settings(top: Any, kind: str, old: str, new: str) -> None:  # noqa: ANN401
    if kind != "prose":
        return
    for at, name in enumerate(top.get("navigation") or ()):
        if name == old:
            set_scalar(top, ("navigation", at), new)


def _mentions(
    record: Record, kind: str, old: str, new: str
) -> Iterator[tuple[Path_, str]]:
    """Yield where a record names an id, and what stands there afterwards."""
    for named in references(record):
        if (named.kind, named.id) == (kind, old):
            yield named.path, new
    if isinstance(record, Comparison) and kind in {"device", "filter"}:
        for at, text in enumerate(record.configurations):
            renamed = renamed_configuration(text, kind, old, new)
            if renamed != text:
                yield ("configurations", at), renamed
    if isinstance(record, Comparison | Table):
        yield from conditions_naming(record, kind, old, new)
    if kind == "filter" and getattr(record, "filter", "") == old:
        yield ("filter",), new


def conditions_naming(
    record: Comparison | Table, kind: str, old: str, new: str
) -> Iterator[tuple[Path_, str]]:
    """Yield where conditions name an id, and what would stand there afterwards."""
    fields = {kind, f"sound_{kind}", f"power_{kind}"}
    for at, condition in enumerate(record.where):
        if condition.field not in fields:
            continue
        if condition.is_ == old:
            yield ("where", at, "is"), new
        for place, word in enumerate(condition.one_of or ()):
            if word == old:
                yield ("where", at, "one_of", place), new


def renamed_configuration(text: str, kind: str, old: str, new: str) -> str:
    """Return ``DEVICE.FILTER.SPEED`` with its device or its filter renamed."""
    named = parse_configuration(text)
    if named is None:
        return text
    parts = [named.device, named.filter, named.speed]
    at = 0 if kind == "device" else 1
    if parts[at] == old:
        parts[at] = new
    return ".".join(parts)


def _listed(
    files: ArchiveFiles, moved: list[tuple[str, str, str]], since: date
) -> Change:
    """Return ``addresses.yaml`` with the moves in it."""

    def edit(top: Any) -> None:  # noqa: ANN401 - plain data of the library
        for kind, old, new in moved:
            entry = {"kind": kind, "id": old, "moved_to": new, "date": str(since)}
            enter(top, entry)

    return ADDRESSES_FILE, edited(read_addresses(files), edit)


def read_addresses(files: ArchiveFiles) -> bytes:
    """Return ``addresses.yaml``; nothing where there is none."""
    path = files.folder / ADDRESSES_FILE
    return path.read_bytes() if path.is_file() else b""


def enter(top: Any, entry: dict[str, str]) -> None:  # noqa: ANN401 - plain data
    """Put an address that moved or is gone into the list, in place of any before.

    An entry for the id that it leads to goes: that id has a record now.
    """
    listed = block_list(top, "addresses")
    taken = {entry["id"], entry.get("moved_to", "")}
    for at in range(len(listed) - 1, -1, -1):
        if listed[at]["kind"] == entry["kind"] and listed[at]["id"] in taken:
            del listed[at]
    listed.append(flow(entry))
