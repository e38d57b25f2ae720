"""Other processes for costly work, but only once there is enough of it."""

from __future__ import annotations

import time
from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


class Patient(Executor):
    """Does work itself for a while, then hands it to processes.

    To start processes takes seconds, in which one edit's fit and figures are long done.

    Args:
        make: starts the processes' executor; called at most once.
        patience_s: for how long to do the work here, s; 0 hands over all of it.
    """

    def __init__(self, make: Callable[[], Executor], patience_s: float) -> None:
        self._make = make
        self._left_s = patience_s
        self._others: Executor | None = None

    def submit(
        self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs
    ) -> Future[T]:
        """Do the work at once, or have it done."""
        if self._others is None and self._left_s > 0:
            started_s = time.monotonic()
            future: Future[T] = Future()
            future.set_result(fn(*args, **kwargs))
            self._left_s -= time.monotonic() - started_s
            return future
        if self._others is None:
            self._others = self._make()
        return self._others.submit(fn, *args, **kwargs)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End the processes, if there are any."""
        if self._others is not None:
            self._others.shutdown(wait, cancel_futures=cancel_futures)
