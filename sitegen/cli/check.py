"""``sitegen check``: all faults and warnings, each with its line."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitegen.cli.completing import codes
from sitegen.cli.shared import ARCHIVE, QUIET, TODAY, counted, day_of, say
from sitegen.errors import (
    CODES,
    Fault,
    about,
    fault_line,
    is_fault,
    sort_faults,
    usage_fault,
)

if TYPE_CHECKING:
    from sitegen.rebuild import Holder


EXAMPLES = """\b
Examples:
  sitegen check demo_site --today 2026-11-20
  sitegen check --about price-old
"""


@click.command(epilog=EXAMPLES)
@ARCHIVE
@TODAY
@click.option("--json", "as_json", is_flag=True, help="Print the list as JSON.")
@click.option(
    "--about",
    "code",
    metavar="CODE",
    shell_complete=codes,
    help="Explain one code and end.",
)
@QUIET
def check(
    archive: Path,
    *,
    today: dt.datetime | None,
    as_json: bool,
    code: str | None,
    quiet: bool,
) -> None:
    """Look for faults in ARCHIVE, and for what a careful colleague would ask.

    A fault stops compile and ends this with exit code 1. A warning stops nothing. No
    record and no page is written. Warnings that rest on results are looked for once
    there is no fault; held records are left out of them.
    """
    if code:
        if code not in CODES:
            from sitegen.load.guesses import guess  # noqa: PLC0415 - heavy

            raise usage_fault(
                "check", "code-unknown", "--about", value=code, **guess(code, CODES)
            )
        click.echo(about(code))
        return
    from sitegen.archive_build import check_archive  # noqa: PLC0415 - heavy
    from sitegen.cli.progress import shown_progress  # noqa: PLC0415 - heavy
    from sitegen.cli.shown_faults import shown_faults  # noqa: PLC0415 - heavy

    with shown_progress(quiet=quiet or as_json) as progress:
        day = day_of(today)
        found = sort_faults(check_archive(archive, day, progress, _say_waiting))
    if as_json:
        click.echo(json.dumps([_as_data(fault) for fault in found]))
    else:
        for line in shown_faults(archive, found):
            click.echo(line)
    if not quiet:
        say(_summary(found))
        say(_next(found))
    if any(map(is_fault, found)):
        raise click.exceptions.Exit(1)


def _say_waiting(holder: Holder | None) -> None:
    from sitegen.cli.told import waiting_line  # noqa: PLC0415 - heavy

    say(waiting_line(holder))


def _summary(found: Sequence[Fault]) -> str:
    files = len({fault.place.file for fault in found})
    where = f" in {files} file{'' if files == 1 else 's'}" if files else ""
    return f"{counted(found)}{where}."


def _next(found: Sequence[Fault]) -> str:
    """Return what to do next, in a sentence or two."""
    if not found:
        return "Next: sitegen compile"
    look = f"sitegen check --about {found[0].code}"
    if any(map(is_fault, found)):
        return f"Next: correct the faults, then check again. Explained: {look}"
    return f"Warnings stop nothing. Explained: {look}. Next: sitegen compile"


def _as_data(fault: Fault) -> dict[str, object]:
    place = fault.place
    return {
        "code": fault.code,
        "severity": CODES[fault.code].severity,
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "field": fault.field,
        "text": fault_line(fault),
    }
