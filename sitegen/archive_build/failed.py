"""What a failed step means to the tester: faults with places, or the machine's."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from sitegen.archive_build.said import said_key
from sitegen.errors import (
    Fault,
    FaultsFound,
    MachineFault,
    Place,
    RebuildError,
    SitegenError,
)
from sitegen.pages.environment import LayoutFault
from sitegen.rebuild import BuildReport, Engine, Key

_ARCHIVE = "archive:"


@dataclass(frozen=True, slots=True)
class Stayed:
    """Pages and files that were not made, and stay as they were.

    Attributes:
        because: what failed, in words.
        files: published files that stand as they were.
        new: what would have been made for the first time, in words.
    """

    because: str
    files: tuple[str, ...]
    new: tuple[str, ...]


def faults_of_failures(
    archive: Path, failures: Iterable[tuple[Key, SitegenError]]
) -> tuple[Fault, ...]:
    """Return the faults that made steps fail, each once.

    Args:
        archive: the archive's folder.
        failures: failed steps, with what they raised.

    Raises:
        MachineFault: if one of them was the machine's.
        RebuildError: if two steps claim the same file, or the like.
    """
    found: dict[str, Fault] = {}
    for key, error in failures:
        for fault in _faults_of(archive, key, error):
            found.setdefault(repr(fault), fault)
    return tuple(found.values())


def _faults_of(archive: Path, key: Key, error: SitegenError) -> tuple[Fault, ...]:
    if isinstance(error, FaultsFound):
        return error.faults
    if isinstance(error, LayoutFault):
        return (_of_layout(archive, error),)
    if isinstance(error, MachineFault):
        raise error
    if isinstance(error, RebuildError):
        path = error.detail.get("path", "").removeprefix(_ARCHIVE)
        if error.code == "missing_file":
            return (Fault("file-vanished", Place(path)),)
        if error.code == "outside_root":
            return (Fault("link-outside", Place(path)),)
        raise error
    values = {"what": said_key(key), "why": str(error)}
    return (Fault("not-worked-out", Place(""), "", values),)


def _of_layout(archive: Path, error: LayoutFault) -> Fault:
    file = f"own/layouts/{error.name}"
    if not (archive / file).is_file():
        file = f"layouts/{error.name}"
    place = Place(file, error.line)
    if error.code == "missing":
        return Fault("layout-missing", place, "", {"name": error.detail})
    if error.code == "encoding":
        return Fault("not-utf-8", place, "", {"byte": error.detail})
    if error.code == "dynamic":
        return Fault("layout-dynamic", place)
    if error.code == "syntax":
        return Fault("layout-syntax", place, "", {"why": error.detail})
    return Fault("layout-failed", place, "", {"why": error.detail})


def stayed_in(engine: Engine, report: BuildReport) -> tuple[Stayed, ...]:
    """Return what was not made, by what failed; called while the engine is open."""
    held: dict[Key, list[Key]] = {failure.key: [] for failure in report.failures}
    for key, by in report.held_back.items():
        held.setdefault(by, []).append(key)
    found = []
    for by, keys in held.items():
        files: list[str] = []
        new: list[str] = []
        for key in (by, *keys):
            if engine.writes(key):
                stand = engine.written_by(key)
                files += stand
                new += [] if stand else [said_key(key)]
        found.append(Stayed(said_key(by), tuple(sorted(files)), tuple(sorted(new))))
    return tuple(found)
