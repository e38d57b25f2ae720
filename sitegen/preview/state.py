"""What the preview knows right now, shared between its builder and its server."""

from __future__ import annotations

import asyncio
import json
import threading
from collections.abc import AsyncGenerator, Callable
from dataclasses import dataclass

from sitegen.errors import Fault, fault_line, sort_faults


@dataclass(frozen=True, slots=True)
class Situation:
    """How the last compile ended.

    Attributes:
        number: counts compiles, from 1; 0 before the first has ended.
        stopped: whether faults (or the machine) stopped it, so that the pages shown
            are those of the last good one.
        lines: faults and warnings, one line of text each.
        refused: whether it was the machine, so that trying again may help.
    """

    number: int = 0
    stopped: bool = False
    lines: tuple[str, ...] = ()
    refused: bool = False

    def as_json(self) -> str:
        """Return what a page needs to know, as JSON text."""
        return json.dumps(
            {"number": self.number, "stopped": self.stopped, "lines": self.lines}
        )


def lines_of(faults: tuple[Fault, ...]) -> tuple[str, ...]:
    """Return the faults' lines, in reading order."""
    return tuple(fault_line(fault) for fault in sort_faults(faults))


class Bulletin:
    """Hands each new situation from the builder's thread to every open page."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._latest = Situation()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._listeners: dict[asyncio.Queue[Situation], str] = {}
        self._ready: frozenset[str] | None = None

    @property
    def latest(self) -> Situation:
        """The newest situation."""
        with self._lock:
            return self._latest

    @property
    def open_pages(self) -> frozenset[str]:
        """The addresses (``/devices/x/``) of the pages that are open."""
        with self._lock:
            return frozenset(self._listeners.values())

    @property
    def has_ready(self) -> bool:
        """Whether pages are up to date since the last compile ended."""
        with self._lock:
            return self._ready is not None

    def post_ready(self, pages: frozenset[str]) -> None:
        """Make known that these pages are up to date, though the compile goes on."""
        with self._lock:
            self._ready = pages
            self._latest = Situation(self._latest.number + 1)
        self._spread()

    def is_news(self, *, stopped: bool, lines: tuple[str, ...]) -> bool:
        """Whether this differs from what was posted last."""
        latest = self.latest
        return (latest.stopped, latest.lines) != (stopped, lines) or not latest.number

    def post(
        self,
        *,
        stopped: bool,
        lines: tuple[str, ...],
        refused: bool = False,
        moved_on: Callable[[str], bool] = lambda _: True,
    ) -> Situation:
        """Make the next situation known; called from the builder's thread.

        Args:
            stopped: see ``Situation``.
            lines: likewise.
            refused: likewise.
            moved_on: whether a page that was ready before is no longer what it was.
        """
        with self._lock:
            ready, self._ready = self._ready, None
            pages = self._listeners.values()
            # Pages that were ready are not loaded again without need.
            same = ready is not None and not any(
                page not in ready or moved_on(page) for page in pages
            )
            number = self._latest.number + (0 if same and not stopped else 1)
            self._latest = Situation(number, stopped, lines, refused)
        self._spread()
        return self.latest

    def _spread(self) -> None:
        with self._lock:
            latest, loop = self._latest, self._loop
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(self._tell, latest)

    def _tell(self, situation: Situation) -> None:
        with self._lock:
            queues = list(self._listeners)
        for queue in queues:
            queue.put_nowait(situation)

    async def listen(self, page: str = "/") -> AsyncGenerator[Situation]:
        """Yield the present situation, then each new one, to an open page."""
        self._loop = asyncio.get_running_loop()
        queue: asyncio.Queue[Situation] = asyncio.Queue()
        with self._lock:
            self._listeners[queue] = page
        try:
            yield self.latest
            while True:
                yield await queue.get()
        finally:
            with self._lock:
                del self._listeners[queue]
