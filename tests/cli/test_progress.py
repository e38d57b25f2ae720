"""Progress on long work."""

from __future__ import annotations

import io

from rich.console import Console

from sitegen.cli.progress import shown_progress
from sitegen.rebuild import Key, Progress


def _shown(*, terminal: bool, quiet: bool = False) -> str:
    text = io.StringIO()
    console = Console(file=text, force_terminal=terminal, width=100, color_system=None)
    with shown_progress(quiet=quiet, console=console) as advance:
        if advance is not None:
            advance(Progress(7, 0, 0, Key("parsed", ("run", "a"))))
            advance(Progress(40, 12, 30, Key("fit", ("a",))))
            advance(Progress(41, 12, 30, Key("entry", ("a",))))
    return text.getvalue()


def test_a_terminal_is_told_what_how_many_and_how_long() -> None:
    """What runs, how many of all outputs are done, and the time left stand there."""
    text = _shown(terminal=True)
    assert "Fitting series" in text
    assert "12/30" in text
    assert "left" in text


def test_nobody_is_told_anything_without_a_terminal_or_when_quiet() -> None:
    """A log of a script has no bars in it."""
    assert _shown(terminal=False) == ""
    assert _shown(terminal=True, quiet=True) == ""
