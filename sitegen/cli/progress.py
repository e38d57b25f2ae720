"""Progress on long work; quiet when nobody watches a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sitegen.rebuild import Progress as Done

if TYPE_CHECKING:
    from rich.console import Console

# What is being done, by the end of a step's name.
_DOINGS = {
    "fit": "Fitting series",
    "_figure": "Drawing figures",
    "_card": "Drawing pictures",
    "_page": "Writing pages",
}


@contextmanager
def shown_progress(
    *, quiet: bool, console: Console | None = None
) -> Iterator[Callable[[Done], None] | None]:
    """Show what the compile is at, how much is done, and how long it may take yet.

    Yields what is to be called with each progress; nothing where it is not shown.

    Args:
        quiet: show nothing.
        console: where to; the terminal when not given.
    """
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TextColumn,
        TimeRemainingColumn,
    )

    console = console or Console(stderr=True)
    if quiet or not console.is_terminal:
        yield None
        return
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        TextColumn("left"),
    )
    with Progress(*columns, console=console, transient=True) as shown:
        task = shown.add_task("Reading records", total=None)

        def advance(done: Done) -> None:
            if done.targets:
                shown.update(
                    task,
                    completed=done.settled,
                    total=done.targets,
                    description=doing(done.key.kind) or shown.tasks[0].description,
                )
            else:
                shown.update(task, completed=done.ran)

        yield advance


def doing(kind: str) -> str:
    """Return what is being done while a step of a kind runs; ``""`` for small ones."""
    for end, text in _DOINGS.items():
        if kind.endswith(end):
            return text
    return ""
