"""Wakes the builder when something in the archive may have changed.

Events are only a wake-up. What changed is found by the ordinary scan, so lost,
merged or renamed events do not matter.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer
from watchdog.observers.api import BaseObserver, ObservedWatch
from watchdog.observers.polling import PollingObserver

QUIET_S = 0.05
_READ_ONLY = {"opened", "closed_no_write"}


class Wake(FileSystemEventHandler):
    """Remembers that something happened, and when it last did."""

    def __init__(self, ignored: Iterable[Path]) -> None:
        super().__init__()
        self._ignored = tuple(str(path) for path in ignored)
        self._event = threading.Event()
        self._last = 0.0

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Take note, unless it concerns what the preview writes itself."""
        if event.event_type in _READ_ONLY:
            return
        paths = [str(event.src_path), str(event.dest_path)]
        if all(not path or self._mine(path) for path in paths):
            return
        self.now()

    def _mine(self, path: str) -> bool:
        return any(path == own or path.startswith(f"{own}/") for own in self._ignored)

    def now(self) -> None:
        """Wake the builder."""
        self._last = time.monotonic()
        self._event.set()

    def wait(self, timeout_s: float) -> bool:
        """Wait for an event and then for quiet; return whether there was one."""
        if not self._event.wait(timeout_s):
            return False
        while (rest := self._last + QUIET_S - time.monotonic()) > 0:
            time.sleep(rest)
        self._event.clear()
        return True


class Watched(FileSystemEventHandler):
    """The folders of an archive that are watched.

    The archive's own folder is watched by itself, and each folder in it with all below
    it, without those that hold what was compiled: to watch the tens of thousands of
    folders of a large site takes minutes, during which no edit would be noticed.

    Args:
        archive: the archive's folder.
        wake: told of every event.
        skipped: names of folders in it that are not watched.
        polling: look again and again instead of asking the system; for network
            drives, which do not tell.
    """

    def __init__(
        self, archive: Path, wake: Wake, skipped: Iterable[str], *, polling: bool
    ) -> None:
        super().__init__()
        self._archive = archive
        self._wake = wake
        self._skipped = frozenset(skipped)
        self._observer: BaseObserver = (
            PollingObserver(timeout=0.5) if polling else Observer()
        )
        self._known: dict[str, tuple[int, ObservedWatch]] = {}
        self._left: set[str] = set()

    def start(self) -> None:
        """Begin."""
        self._observer.schedule(self, str(self._archive), recursive=False)
        self.renew()
        self._observer.start()

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Take note of a folder that went: another may come under its name."""
        if event.event_type in {"deleted", "moved"}:
            self._left.add(Path(str(event.src_path)).name)
        self._wake.on_any_event(event)

    def renew(self) -> None:
        """Watch folders that are new, and no longer those that are gone.

        To be called before looking at what has changed: what is saved before a folder
        is watched is then seen all the same.
        """
        left, self._left = self._left, set()
        there = self._folders()
        for name, (number, seen) in list(self._known.items()):
            if there.get(name) != number or name in left:
                del self._known[name]
                self._observer.unschedule(seen)
        for name, number in there.items():
            if name not in self._known:
                path = str(self._archive / name)
                try:
                    seen = self._observer.schedule(self._wake, path, recursive=True)
                except OSError:
                    # Gone again; an event tells of it, or of its return.
                    continue
                self._known[name] = (number, seen)

    def _folders(self) -> dict[str, int]:
        try:
            with os.scandir(self._archive) as entries:
                return {
                    entry.name: entry.inode()
                    for entry in entries
                    if entry.is_dir() and entry.name not in self._skipped
                }
        except OSError:
            return {}

    def stop(self) -> None:
        """End."""
        self._observer.stop()
        self._observer.join()


def keep_building(wake: Wake, build: Callable[[], None], stop: threading.Event) -> None:
    """Build whenever woken, until told to stop."""
    while not stop.is_set():
        if wake.wait(0.2) and not stop.is_set():
            build()
