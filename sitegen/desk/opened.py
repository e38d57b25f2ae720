"""An archive opened for reading at the desk: records by kind and id, when asked."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from typing import TypeVar

from sitegen.errors import FaultsFound, usage_fault
from sitegen.load import SETTINGS_FILE, Located, load_record, locate
from sitegen.load.guesses import guess
from sitegen.load.index import folder_of
from sitegen.model import Record

FOLDERS = ("records", "series", "texts", "photos", "audio")
R = TypeVar("R", bound=Record)


class OpenArchive:
    """An archive's folder and where everything in it stands.

    Attributes:
        folder: the archive.
        located: path of each record and series.
    """

    def __init__(self, folder: Path, command: str = "intake") -> None:
        """Look where everything stands.

        Args:
            folder: the archive.
            command: the command that asks, for the words of a fault.

        Raises:
            UsageFault: if the folder is no archive.
        """
        if not (folder / SETTINGS_FILE).is_file():
            raise usage_fault(str(folder), "no-settings")
        self.folder = folder
        self.command = command
        found = [
            path.relative_to(folder).as_posix()
            for name in FOLDERS
            for path in (folder / name).rglob("*")
            if path.is_file()
        ]
        self.located: Located = locate(sorted(found))

    def ids(self, kind: str) -> Collection[str]:
        """Return the ids of a kind, sorted."""
        return sorted(name for of, name in self.located.records if of == kind)

    def path(self, kind: str, id: str) -> str:  # noqa: A002
        """Return where a record stands, below the archive.

        Raises:
            KeyError: if there is none.
        """
        return self.located.records[kind, id]

    def record(self, kind: str, id: str, model: type[R], asked: str = "") -> R:  # noqa: A002
        """Return a record.

        Args:
            kind: kind of the record.
            id: its id.
            model: the class that it must be.
            asked: the option that named it, for the words of a fault.

        Raises:
            UsageFault: if there is no such record, or one of another class.
            FaultsFound: if the record has faults.
        """
        if (kind, id) not in self.located.records:
            values = {
                "kind": kind,
                "id": id,
                "folder": folder_of(kind),
                **guess(id, self.ids(kind)),
            }
            raise usage_fault(self.command, "unknown-reference", asked, **values)
        path = self.path(kind, id)
        loaded = load_record(kind, id, (self.folder / path).read_bytes(), path)
        if loaded.record is None:
            raise FaultsFound(loaded.faults)
        if not isinstance(loaded.record, model):
            wanted = model.__name__
            raise usage_fault(
                self.command, "record-other-kind", asked, path=path, wanted=wanted
            )
        return loaded.record

    def records(self, kind: str, model: type[R]) -> list[R]:
        """Return the records of a kind that are of a class, by id."""
        found = []
        for name in self.ids(kind):
            path = self.path(kind, name)
            loaded = load_record(kind, name, (self.folder / path).read_bytes(), path)
            if isinstance(loaded.record, model):
                found.append(loaded.record)
        return found
