"""What several commands take, and how they speak."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import sys
import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from sitegen.errors import Fault, fault_line, is_fault, sort_faults

ARCHIVE = click.argument(
    "archive",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=".",
)
DAY = click.DateTime(formats=["%Y-%m-%d"])
TODAY = click.option(
    "--today",
    type=DAY,
    metavar="DATE",
    help="The day, as 2026-01-31; today when not given.",
)
_HUSHED = "sitegen.hushed"


def _hush(ctx: click.Context, _: click.Parameter, value: bool) -> bool:  # noqa: FBT001 - as click calls it
    ctx.meta[_HUSHED] = value
    return value


QUIET = click.option(
    "--quiet",
    "-q",
    is_flag=True,
    callback=_hush,
    help="Print results and faults only.",
)
HUSH = click.option(
    "--quiet",
    "-q",
    is_flag=True,
    callback=_hush,
    expose_value=False,
    help="Print results and faults only.",
)


def styled(text: str, **style: Any) -> str:  # noqa: ANN401 - as click takes it
    """Return a text of stdout in a style, where a terminal shows it and may.

    Nothing is styled in a pipe or a file, with ``NO_COLOR`` set to anything, or on a
    terminal that says of itself that it cannot.
    """
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    if plain or not sys.stdout.isatty():
        return text
    return click.style(text, **style)


def terminal_width() -> int:
    """Return how many columns the terminal of stdout has; 0 where there is none."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else 0


def filled(text: str, margin: str) -> Iterator[str]:
    """Yield a text in the lines that a terminal shows; as one line elsewhere.

    Args:
        text: the text.
        margin: what stands before every line but the first.
    """
    width = terminal_width()
    if not width:
        yield text
        return
    # Signs of colour have no width; a line with some is cut a little early.
    yield from textwrap.wrap(
        text,
        max(width, 40),
        subsequent_indent=margin,
        break_long_words=False,
        break_on_hyphens=False,
    )


def is_hushed() -> bool:
    """Return whether the command that runs was told to be quiet."""
    context = click.get_current_context(silent=True)
    return bool(context and context.meta.get(_HUSHED))


def say(text: str) -> None:
    """Print a message for the tester, unless --quiet was said."""
    if not is_hushed():
        click.echo(text, err=True)


def warn(text: str) -> None:
    """Print what the tester has to know, --quiet or not."""
    click.echo(text, err=True)


def many(number: int, word: str) -> str:
    """Return a number with its noun, in the plural unless it is one."""
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


def day_of(given: dt.datetime | None) -> dt.date:
    """Return the day given, or today where the tester is."""
    # The one place where a command asks the clock.
    return given.date() if given else dt.datetime.now().astimezone().date()


def say_faults(faults: Sequence[Fault]) -> None:
    """Print faults and warnings for the tester, a line each, in reading order."""
    for fault in sort_faults(faults):
        warn(fault_line(fault))


def counted(found: Sequence[Fault]) -> str:
    """Return how many faults and warnings there are."""
    faults = sum(map(is_fault, found))
    return f"{many(faults, 'fault')}, {many(len(found) - faults, 'warning')}"
