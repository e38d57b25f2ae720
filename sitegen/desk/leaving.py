"""A record is taken away for good: its address says why, and nothing is destroyed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from sitegen.desk.archive_files import (
    ArchiveFiles,
    Change,
    archive_files,
    loaded,
    refuse_faults,
)
from sitegen.desk.record_edit import edited, write_files
from sitegen.desk.renaming import (
    RENAMED,
    conditions_naming,
    enter,
    read_addresses,
)
from sitegen.errors import usage_fault
from sitegen.load import ADDRESSES_FILE
from sitegen.load.guesses import listed
from sitegen.model import Comparison, Table, references
from sitegen.model.configuration import parse_configuration

LEAVING = (*RENAMED, "instrument", "edition")
ASIDE = "removed"
"""Folder of the archive into which records that are gone are put; nobody reads it."""


@dataclass(frozen=True, slots=True)
class Left:
    """What was taken away.

    Attributes:
        gone: kind and id of everything that is gone.
        aside: former path and present path of the records put aside.
    """

    gone: tuple[tuple[str, str], ...]
    aside: tuple[tuple[str, str], ...]


def take_away(
    folder: Path,
    named: tuple[str, str],
    reason: str,
    since: date,
    *,
    with_runs: bool = False,
) -> Left:
    """List a record as gone, and put its file aside where there still is one.

    The editions of a comparison go with it.

    Args:
        folder: the archive.
        named: kind and id of the record.
        reason: why it is gone, one line that readers will see.
        since: since when.
        with_runs: whether the runs of a device go with it.

    Raises:
        UsageFault: if other records still name it, or the reason is empty.
    """
    kind, record_id = named
    if kind not in LEAVING:
        raise usage_fault("gone", "without-address", kind=kind, choices=listed(LEAVING))
    if not reason.strip() or "\n" in reason.strip():
        raise usage_fault("gone", "reason-missing")
    files = archive_files(folder)
    going = list(dict.fromkeys([named, *_followers(files, named, with_runs)]))
    still = sorted(set(_naming(files, going)))
    if still:
        raise usage_fault(
            "gone", "still-named", kind=kind, id=record_id, files=listed(still)
        )
    aside = [
        (path, f"{ASIDE}/{path}") for each in going if (path := _path(files, each))
    ]
    changes: list[Change] = [(there, files.read(path)) for path, there in aside]
    changes.append((ADDRESSES_FILE, _listed(files, going, reason.strip(), since)))
    refuse_faults([change for change in changes if change[0] == ADDRESSES_FILE])
    changes += [(path, None) for path, _ in aside]
    write_files(folder, changes)
    return Left(tuple(going), tuple(aside))


def _path(files: ArchiveFiles, named: tuple[str, str]) -> str | None:
    return files.path_of(*named)


def _followers(
    files: ArchiveFiles, named: tuple[str, str], with_runs: bool
) -> Iterator[tuple[str, str]]:
    """Yield what goes with a record: editions of a comparison, runs of a device."""
    kind, record_id = named
    for of_kind, name, path, data in files.naming(record_id):
        if of_kind == "edition" and kind == "comparison":
            record: Any = loaded(of_kind, name, path, data)
            if record.comparison == record_id:
                yield of_kind, name
        elif of_kind == "run" and kind == "device" and with_runs:
            record = loaded(of_kind, name, path, data)
            if getattr(record, "device", "") == record_id:
                yield of_kind, name


def _naming(files: ArchiveFiles, going: list[tuple[str, str]]) -> Iterator[str]:
    """Yield the files of records that stay and rest on one that goes, or link to it.

    What merely points at it (a video at a device) may go on doing so.
    """
    leaving = set(going)
    for kind, record_id in going:
        for of_kind, name, path, data in files.naming(record_id):
            if (of_kind, name) in leaving or of_kind == "release":
                continue
            if _names(of_kind, name, path, data, (kind, record_id)):
                yield path
        for path in files.located.texts.values():
            if _links(files.read(path).decode("utf-8"), kind, record_id):
                yield path


def _names(
    of_kind: str, name: str, path: str, data: bytes, target: tuple[str, str]
) -> bool:
    record = loaded(of_kind, name, path, data)
    if any((e.kind, e.id) == target and e.rests for e in references(record)):
        return True
    kind, record_id = target
    if isinstance(record, Comparison) and kind in {"device", "filter"}:
        for text in record.configurations:
            chosen = parse_configuration(text)
            if chosen and getattr(chosen, kind) == record_id:
                return True
    if isinstance(record, Comparison | Table) and any(
        conditions_naming(record, kind, record_id, "")
    ):
        return True
    if kind == "filter" and getattr(record, "filter", "") == record_id:
        return True
    # A change may go on naming what is gone; only its text may not link to it.
    text = getattr(record, "text", "") if of_kind == "change" else data.decode("utf-8")
    return _links(text or "", kind, record_id)


def _links(text: str, kind: str, record_id: str) -> bool:
    word = "page" if kind == "prose" else kind
    return bool(re.search(rf"(?<![\w.-]){word}:{re.escape(record_id)}(?![\w-])", text))


def _listed(
    files: ArchiveFiles, going: list[tuple[str, str]], reason: str, since: date
) -> bytes:
    def edit(top: Any) -> None:  # noqa: ANN401 - plain data of the library
        for kind, record_id in going:
            entry = {"kind": kind, "id": record_id, "gone": reason, "date": str(since)}
            enter(top, entry)

    return edited(read_addresses(files), edit)
