"""Wakes the builder when something in the archive may have changed.

Events are a wake-up, and a hint of where to look for a page that someone waits for.
What changed is found by the ordinary scan that follows, so lost, merged or renamed
events do not matter.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterable
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer
from watchdog.observers.api import BaseObserver, ObservedWatch
from watchdog.observers.polling import PollingObserver

QUIET_S = 0.05
"""Nothing may have happened for so long before the builder begins, s."""

STORM_S = 1.0
"""However much goes on, the builder does not wait longer than this, s."""

_READ_ONLY = {"opened", "closed_no_write"}


HINTS = 16
"""So many files at most are looked at before all others."""


class Wake(FileSystemEventHandler):
    """Remembers that something happened, where, and when it last did.

    Args:
        ignored: folders of which events are of no interest.
    """

    def __init__(self, ignored: Iterable[Path]) -> None:
        super().__init__()
        self._ignored = tuple(str(path) for path in ignored)
        self._event = threading.Event()
        self._last = 0.0
        self._lock = threading.Lock()
        self._files: set[str] = set()
        self._more = False

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Take note, unless it concerns what the preview writes itself."""
        if event.event_type in _READ_ONLY:
            return
        paths = [str(event.src_path), str(event.dest_path)]
        paths = [path for path in paths if path and not self._mine(path)]
        if not paths:
            return
        with self._lock:
            if not event.is_directory:
                self._files.update(paths)
            elif event.event_type != "modified":
                self._more = True
        self.now()

    def take_files(self) -> frozenset[str]:
        """Return the files of which there were events, and forget them.

        None where there were too many, or where a folder came or went.
        """
        with self._lock:
            files, more = frozenset(self._files), self._more
            self._files.clear()
            self._more = False
        return frozenset() if more or len(files) > HINTS else files

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
        begun = time.monotonic()
        while (rest := self._rest(begun)) > 0:
            time.sleep(rest)
        # What happens from here on is either seen by the scan that follows, or wakes
        # the builder again.
        self._event.clear()
        return True

    def _rest(self, begun: float) -> float:
        quiet_from = min(self._last + QUIET_S, begun + STORM_S)
        return quiet_from - time.monotonic()


class Watcher:
    """Watches an archive's folders, those that there are at the time.

    The folders in the archive are watched one by one, so that what is published there
    costs nothing.

    Args:
        archive: the archive's folder.
        wake: told of every event.
        ignored: folders that are not watched.
        polling: look again and again instead of asking the system; for network
            drives, which do not tell.
    """

    def __init__(
        self, archive: Path, wake: Wake, ignored: Iterable[Path], *, polling: bool
    ) -> None:
        self._archive = archive
        self._wake = wake
        self._ignored = frozenset(ignored)
        self._observer: BaseObserver = (
            PollingObserver(timeout=0.5) if polling else Observer()
        )
        self._watched: dict[Path, tuple[tuple[int, int], ObservedWatch]] = {}
        self.refused = ""

    def start(self) -> None:
        """Begin to watch."""
        self._observer.start()
        self.renew()

    def stop(self) -> None:
        """End watching."""
        self._observer.stop()
        self._observer.join()

    def renew(self) -> None:
        """Watch the folders that there are now; one made anew is another folder.

        ``refused`` then says why the system will not tell of changes in some of them,
        or is empty.
        """
        wanted = self._folders()
        self.refused = ""
        for path, (ident, watch) in list(self._watched.items()):
            if wanted.get(path) != ident:
                del self._watched[path]
                self._observer.unschedule(watch)
        for path in wanted.keys() - self._watched.keys():
            try:
                watch = self._observer.schedule(
                    self._wake, str(path), recursive=path != self._archive
                )
            except FileNotFoundError:
                continue  # gone again; there will be another time
            except OSError as error:
                self.refused = error.strerror or str(error)
            else:
                self._watched[path] = (wanted[path], watch)

    def _folders(self) -> dict[Path, tuple[int, int]]:
        """Return device and inode number of every folder to be watched."""
        found = {}
        try:
            status = self._archive.stat()
            found[self._archive] = (status.st_dev, status.st_ino)
            with os.scandir(self._archive) as entries:
                for entry in entries:
                    path = Path(entry.path)
                    hidden = entry.name.startswith(".") or path in self._ignored
                    if not hidden and entry.is_dir(follow_symlinks=False):
                        # Of the entry itself, not of the listing: that has no device.
                        status = path.stat()
                        found[path] = (status.st_dev, status.st_ino)
        except OSError:
            return {}
        return found
