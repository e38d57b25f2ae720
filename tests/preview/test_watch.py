"""What of an archive is watched."""

from __future__ import annotations

from pathlib import Path

import pytest
from watchdog.events import DirDeletedEvent, FileModifiedEvent

from sitegen.preview import watch
from sitegen.preview.watch import Wake, Watched


class Observer:
    """Stands in for the system: remembers what it is asked to watch."""

    def __init__(self) -> None:
        self.watched: list[tuple[str, bool]] = []
        self.left: list[str] = []

    def schedule(self, _: object, path: str, *, recursive: bool) -> str:
        """Watch a folder."""
        self.watched.append((Path(path).name, recursive))
        return Path(path).name

    def unschedule(self, seen: str) -> None:
        """Watch a folder no longer."""
        self.left.append(seen)

    def start(self) -> None:
        """Begin."""


@pytest.fixture
def observer(monkeypatch: pytest.MonkeyPatch) -> Observer:
    """The observer that is made next."""
    made = Observer()
    monkeypatch.setattr(watch, "Observer", lambda: made)
    return made


@pytest.fixture
def watched(observer: Observer, tmp_path: Path) -> Watched:  # noqa: ARG001 - stands in
    """An archive with records and a compiled site, being watched."""
    archive = tmp_path / "archive"
    for name in ("records/runs", "published/runs", ".sitegen/state"):
        (archive / name).mkdir(parents=True)
    seen = Watched(archive, Wake(()), (".sitegen", "published"), polling=False)
    seen.start()
    return seen


def test_what_was_compiled_is_not_watched(observer: Observer, watched: Watched) -> None:
    """The archive's folder is watched by itself, its records with all below them."""
    del watched
    assert observer.watched == [("archive", False), ("records", True)]


def test_folders_that_come_and_go_are_followed(
    observer: Observer, watched: Watched, tmp_path: Path
) -> None:
    """A new folder is watched, one that is gone no longer."""
    (tmp_path / "archive/texts").mkdir()
    (tmp_path / "archive/records").rename(tmp_path / "elsewhere")
    watched.renew()
    assert observer.watched[2:] == [("texts", True)]
    assert observer.left == ["records"]
    watched.renew()
    assert len(observer.watched) == 3


def test_a_folder_made_again_under_its_name_is_watched_anew(
    observer: Observer, watched: Watched, tmp_path: Path
) -> None:
    """Even if the system gives the new folder the number of the old one."""
    records = str(tmp_path / "archive/records")
    watched.on_any_event(FileModifiedEvent(str(tmp_path / "archive/archive.yaml")))
    watched.renew()
    assert observer.left == []
    watched.on_any_event(DirDeletedEvent(records))
    watched.renew()
    assert observer.left == ["records"]
    assert observer.watched[2:] == [("records", True)]
