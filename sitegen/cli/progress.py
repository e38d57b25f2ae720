"""Progress on long work; quiet when nobody watches a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from sitegen.rebuild import Progress as Done


@contextmanager
def shown_progress(*, quiet: bool) -> Iterator[Callable[[Done], None] | None]:
    """Show how far the compile is, on a terminal; yield what is to be called."""
    from rich.console import Console  # noqa: PLC0415 - heavy
    from rich.progress import (  # noqa: PLC0415 - heavy
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TextColumn,
        TimeRemainingColumn,
    )

    console = Console(stderr=True)
    if quiet or not console.is_terminal:
        yield None
        return
    columns = (
        TextColumn("Compiling"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=console, transient=True) as shown:
        task = shown.add_task("compile", total=None)

        def advance(done: Done) -> None:
            shown.update(task, completed=done.settled, total=done.targets or None)

        yield advance
