"""One writer at a time, and who it is."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sitegen.errors import LockHeld
from sitegen.rebuild.files import write_atomic

LOCK_FILE = "lock"
HOLDER_FILE = "holder.json"


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has the lock.

    Attributes:
        pid: its process id.
        since: when it took the lock, date and time of this machine, to the second.
    """

    pid: int
    since: str


class StateLock:
    """The lock of a state folder.

    The system gives it back when the process ends in whatever way; a note beside it
    says who has it, and means nothing once the lock is free.

    Args:
        folder: the folder of the state; made if it is not there.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._lock: Any = None

    def take(self, wait_s: float, on_wait: Callable[[Holder | None], None]) -> None:
        """Take the lock.

        Args:
            wait_s: how long to wait for another process to release it, s.
            on_wait: called once if it has to be waited for, with who has it, if
                that is known.

        Raises:
            LockHeld: if another process still has it then.
            OSError: if the folder cannot be written.
        """
        # Imported here: it takes as long as the whole check for nothing to do.
        from filelock import FileLock, Timeout  # noqa: PLC0415

        self._folder.mkdir(parents=True, exist_ok=True)
        self._lock = FileLock(self._folder / LOCK_FILE)
        try:
            self._lock.acquire(timeout=0)
        except Timeout:
            on_wait(self.holder())
            try:
                self._lock.acquire(timeout=wait_s)
            except Timeout as error:
                raise LockHeld(self._sentence(wait_s)) from error
        now = time.strftime("%Y-%m-%d %H:%M:%S")
        note = json.dumps({"pid": os.getpid(), "since": now})
        try:
            write_atomic(self._folder / HOLDER_FILE, note.encode())
        except BaseException:
            self._lock.release()
            raise

    def release(self) -> None:
        """Give the lock back."""
        self._lock.release()

    def holder(self) -> Holder | None:
        """Return who took the lock last, if that is known."""
        try:
            data = json.loads((self._folder / HOLDER_FILE).read_bytes())
            return Holder(int(data["pid"]), str(data["since"]))
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def _sentence(self, wait_s: float) -> str:
        holder = self.holder()
        who = "another process has had it"
        if holder is not None:
            who = f"process {holder.pid} has had it since {holder.since}"
        return (
            f"{self._folder}: in use; {who}, and still had it after {wait_s:g} s;"
            " wait for it to end, or end it, then try again"
        )
