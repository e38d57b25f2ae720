"""Wakes the builder when something in the archive may have changed.

Events are only a wake-up. What changed is found by the ordinary scan, so lost,
merged or renamed events do not matter.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer
from watchdog.observers.api import BaseObserver
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


def watch(
    folders: Iterable[Path], wake: Wake, *, polling: bool = False
) -> BaseObserver:
    """Start watching folders; the caller stops the observer that is returned.

    Args:
        folders: folders to watch, with all below them; those missing are skipped.
        wake: told of every event.
        polling: look again and again instead of asking the system; for network
            drives, which do not tell.
    """
    observer: BaseObserver = PollingObserver(timeout=0.5) if polling else Observer()
    for folder in folders:
        if folder.is_dir():
            observer.schedule(wake, str(folder), recursive=True)
    observer.start()
    return observer


def keep_building(wake: Wake, build: Callable[[], None], stop: threading.Event) -> None:
    """Build whenever woken, until told to stop."""
    while not stop.is_set():
        if wake.wait(0.2) and not stop.is_set():
            build()
