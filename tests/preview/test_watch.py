"""Waking: what counts as a change, how long to wait, which folders are watched."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from watchdog.events import (
    DirModifiedEvent,
    DirMovedEvent,
    FileClosedNoWriteEvent,
    FileModifiedEvent,
    FileMovedEvent,
    FileOpenedEvent,
    FileSystemEvent,
)

from sitegen.preview import watch
from sitegen.preview.watch import HINTS, QUIET_S, STORM_S, Wake, Watcher

LONG_S = 60.0


class Clock:
    """Time that passes when someone sleeps; each sleep may bring an event."""

    def __init__(self, wake: Wake, events: int) -> None:
        self.now = 100.0
        self.wake = wake
        self.events = events

    def monotonic(self) -> float:
        """Return the time."""
        return self.now

    def sleep(self, seconds: float) -> None:
        """Let time pass, and an event happen half-way."""
        self.now += seconds / 2
        if self.events:
            self.events -= 1
            self.wake.now()
        self.now += seconds / 2


def clock(monkeypatch: pytest.MonkeyPatch, wake: Wake, events: int) -> Clock:
    """Put a clock into the place of time."""
    made = Clock(wake, events)
    monkeypatch.setattr(watch, "time", made)
    return made


@pytest.mark.parametrize(
    ("event", "woken"),
    [
        (FileModifiedEvent("/a/records/x.yaml"), True),
        (FileModifiedEvent("/a/.sitegen/preview/x"), False),
        (FileModifiedEvent("/a/.sitegenerous/x"), True),
        (FileMovedEvent("/a/records/x~", "/a/records/x"), True),
        (FileMovedEvent("/a/.sitegen/x", "/a/records/x"), True),
        (FileMovedEvent("/a/.sitegen/x", "/a/.sitegen/y"), False),
        (FileOpenedEvent("/a/records/x.yaml"), False),
        (FileClosedNoWriteEvent("/a/records/x.yaml"), False),
    ],
)
def test_only_what_may_be_a_change_wakes(event: FileSystemEvent, woken: bool) -> None:
    """Reading, and what the preview itself writes, wake nobody."""
    wake = Wake([Path("/a/.sitegen")])
    wake.on_any_event(event)
    assert wake.wait(0.0) is woken


def test_the_builder_waits_for_quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each event of a burst starts the quiet anew; one wake-up comes of all."""
    wake = Wake([])
    time = clock(monkeypatch, wake, 3)
    wake.now()
    assert wake.wait(LONG_S)
    assert time.events == 0
    assert time.now >= 100.0 + 2 * QUIET_S
    assert not wake.wait(0.0)


def test_a_storm_without_end_does_not_keep_the_builder(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A log that is written into the archive all the time holds nothing back."""
    wake = Wake([])
    time = clock(monkeypatch, wake, 10_000)
    wake.now()
    assert wake.wait(LONG_S)
    assert time.events > 0
    assert time.now <= 100.0 + STORM_S + QUIET_S


@pytest.fixture(params=[False, True], ids=["told", "polling"])
def watched(
    tmp_path: Path, request: pytest.FixtureRequest
) -> Iterator[tuple[Path, Wake, Watcher]]:
    """A folder with records, watched."""
    (tmp_path / "records" / "runs").mkdir(parents=True)
    (tmp_path / "published").mkdir()
    ignored = (tmp_path / "published",)
    wake = Wake(ignored)
    watcher = Watcher(tmp_path, wake, ignored, polling=request.param)
    watcher.start()
    yield tmp_path, wake, watcher
    watcher.stop()


def _told(wake: Wake, path: Path) -> bool:
    """Whether writing a file wakes; those left from before are let pass first."""
    while wake.wait(0.2):
        pass
    path.write_text("x", encoding="utf-8")
    return wake.wait(LONG_S)


def test_a_folder_made_anew_is_watched_again(
    watched: tuple[Path, Wake, Watcher],
) -> None:
    """After records/ was deleted and made again, an edit in it wakes."""
    folder, wake, watcher = watched
    assert _told(wake, folder / "records" / "runs" / "a.yaml")
    shutil.rmtree(folder / "records")
    watcher.renew()
    (folder / "records" / "runs").mkdir(parents=True)
    watcher.renew()
    assert _told(wake, folder / "records" / "runs" / "a.yaml")


def test_a_new_folder_is_watched(watched: tuple[Path, Wake, Watcher]) -> None:
    """A folder such as own/ that comes later is watched like the others."""
    folder, wake, watcher = watched
    (folder / "own").mkdir()
    watcher.renew()
    assert _told(wake, folder / "own" / "style.css")


def test_an_archive_that_went_and_came_back_is_watched(
    watched: tuple[Path, Wake, Watcher],
) -> None:
    """Moved away, nothing is watched and nothing breaks; moved back, all is."""
    folder, wake, watcher = watched
    away = folder.with_name("away")
    folder.rename(away)
    watcher.renew()
    watcher.renew()
    away.rename(folder)
    watcher.renew()
    assert _told(wake, folder / "records" / "b.yaml")


def test_where_the_system_does_not_tell_it_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the limit of watched folders reached, the reason is kept, nothing ends."""

    class Full:
        """An observer of a system at its limit."""

        def schedule(self, *_: object, **__: object) -> None:
            """Refuse."""
            raise OSError(28, "inotify watch limit reached")

    watcher = Watcher(tmp_path, Wake([]), (), polling=True)
    monkeypatch.setattr(watcher, "_observer", Full())
    watcher.renew()
    assert watcher.refused == "inotify watch limit reached"


def test_files_are_told_once_and_folders_not_at_all() -> None:
    """Events say where to look first: few files; of folders that come, only that."""
    wake = Wake(ignored=(Path("/a/.sitegen"),))
    for event in (
        FileModifiedEvent("/a/records/x.yaml"),
        FileModifiedEvent("/a/.sitegen/preview/x"),
        FileMovedEvent("/a/records/.y.tmp", "/a/records/y.yaml"),
        DirModifiedEvent("/a/records"),
    ):
        wake.dispatch(event)
    told = {"/a/records/x.yaml", "/a/records/.y.tmp", "/a/records/y.yaml"}
    assert wake.take_files() == told
    assert wake.take_files() == frozenset()
    wake.dispatch(FileModifiedEvent("/a/records/x.yaml"))
    wake.dispatch(DirMovedEvent("/a/series", "/a/readings"))
    assert wake.take_files() == frozenset()


def test_of_a_storm_no_file_is_told() -> None:
    """More files than are worth looking at one by one are left to the scan."""
    wake = Wake(ignored=())
    for number in range(HINTS + 1):
        wake.dispatch(FileModifiedEvent(f"/a/series/{number}.csv"))
    assert wake.take_files() == frozenset()
    wake.dispatch(FileModifiedEvent("/a/series/0.csv"))
    assert wake.take_files() == {"/a/series/0.csv"}
