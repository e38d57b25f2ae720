"""Compiles again whenever there may be reason to, until told to stop."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Protocol

LOOK_EVERY_S = 2.0
"""How often to look for changes that nobody told of, s."""

_LOOK_SHARE = 0.05
"""The part of the time that looking may take."""


class Waking(Protocol):
    """Tells that something may have changed."""

    def wait(self, timeout_s: float) -> bool:
        """Wait so long at most, s; return whether something happened."""


def keep_building(
    wake: Waking,
    hasten: Callable[[], None],
    look_in: Callable[[], bytes],
    look_out: Callable[[], bytes],
    build: Callable[[], bool],
    renew: Callable[[], None],
    stop: threading.Event,
) -> None:
    """Build when woken, when a look finds something new, and when it was put off.

    Args:
        wake: tells of changes, mostly.
        hasten: makes what someone waits for, by what was told; nothing relies on it.
        look_in: returns how the archive looks now.
        look_out: returns how that which was compiled looks now; in a large site that
            takes time, so who is woken does not wait for it.
        build: compiles; returns whether the machine refused, so that trying again
            later may help though no file changes.
        renew: watch what there is now; called before each build.
        stop: ends it; waking helps it to be noticed.
    """
    # What the last build saw and left behind; what it changed itself is no news.
    seen = (b"", b"")
    again = True
    pause_s = 0.0
    while not stop.is_set():
        woken = wake.wait(pause_s)
        if stop.is_set():
            return
        if woken:
            hasten()
        begun = time.monotonic()
        now = (look_in(), seen[1] if woken else look_out())
        pause_s = max(LOOK_EVERY_S, (time.monotonic() - begun) / _LOOK_SHARE)
        if woken or again or now != seen:
            renew()
            # The archive as it was before: what changes meanwhile is seen as a change.
            again = build()
            seen = (now[0], look_out())
