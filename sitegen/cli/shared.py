"""What several commands take, and how they speak."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

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


def say(text: str) -> None:
    """Print a message for the tester."""
    click.echo(text, err=True)


def many(number: int, word: str) -> str:
    """Return a number with its noun, in the plural unless it is one."""
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


def day_of(given: dt.datetime | None) -> dt.date:
    """Return the day given, or today where the tester is."""
    # The one place where a command asks the clock.
    return given.date() if given else dt.datetime.now().astimezone().date()
