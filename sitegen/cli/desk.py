"""Commands at the tester's desk: adopt a repeatability, list what is left to do."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitegen.cli.completing import ids_of
from sitegen.cli.shared import (
    ARCHIVE,
    HUSH,
    QUIET,
    TODAY,
    day_of,
    filled,
    is_hushed,
    many,
    say,
    styled,
    warn,
)

if TYPE_CHECKING:
    from sitegen.desk.adopt import Adoption
    from sitegen.pages.worklist_text import WorkLine


@click.command("adopt")
@click.argument("method", shell_complete=ids_of("methods"))
@ARCHIVE
@TODAY
@click.option("--only-show", is_flag=True, help="Show it; leave the record alone.")
@click.option("--json", "as_json", is_flag=True, help="Print what is adopted as JSON.")
@HUSH
def adopt_command(
    method: str,
    archive: Path,
    *,
    today: dt.datetime | None,
    only_show: bool,
    as_json: bool,
) -> None:
    """Write the current repeatability of METHOD into its record in ARCHIVE.

    From then on it makes the intervals of all results under the method. It takes at
    least 8 degrees of freedom, and leaves all else in the record as it is.

    Example: sitegen adopt decay-v2 demo_site --only-show
    """
    from sitegen.archive_build import published_folders  # noqa: PLC0415 - heavy
    from sitegen.cli.progress import shown_progress  # noqa: PLC0415 - heavy
    from sitegen.desk.adopt import adopt  # noqa: PLC0415 - heavy

    folders = published_folders(archive)
    with shown_progress(quiet=is_hushed() or as_json) as progress:
        adoption = adopt(
            folders, method, day_of(today), only_show=only_show, on_progress=progress
        )
    if as_json:
        click.echo(json.dumps(dataclasses.asdict(adoption)))
    else:
        for line in _adoption_lines(adoption):
            click.echo(line)
    for line in _warnings(adoption):
        warn(line)
    if not adoption.changed:
        say("The record holds the current one already; nothing is left to do.")
    elif only_show:
        say("Nothing was written. Next: the same without --only-show.")
    else:
        say(f"{adoption.file} was written.")
        say("Next: tell readers why intervals move, in records/changes (kind: method).")


def _adoption_lines(adoption: Adoption) -> list[str]:
    old = "none"
    if adoption.old is not None:
        cv, degrees, day = adoption.old
        old = f"cv {cv:g}, {degrees:g} degrees of freedom, adopted on {day}"
    return [
        f"{adoption.file}: repeatability",
        f"  until now  {old}",
        f"  current    cv {adoption.cv:g}, {adoption.degrees_of_freedom} degrees of "
        f"freedom, adopted on {adoption.adopted}",
        f"  rests on   {adoption.runs} runs of {adoption.configurations} settings",
    ]


def _warnings(adoption: Adoption) -> list[str]:
    """Return what a careful colleague would say before it is adopted."""
    said = []
    if adoption.homogeneous is False:
        said.append("The settings do not all scatter alike.")
    if adoption.variable:
        names = ", ".join(adoption.variable)
        said.append(
            f"Runs differ more than the rest: {names}; without them cv "
            f"{adoption.steady_cv:.3g}. Look at these runs first."
        )
    if adoption.old is not None and adoption.changed and not adoption.differs:
        said.append("The two differ by no more than chance explains.")
    return said


@click.command("worklist")
@ARCHIVE
@TODAY
@click.option("--json", "as_json", is_flag=True, help="Print the list as JSON.")
@QUIET
def worklist_command(
    archive: Path, *, today: dt.datetime | None, as_json: bool, quiet: bool
) -> None:
    """List what to look at, repeat, renew or test next in ARCHIVE, and why.

    The most valuable to readers comes first: what may be wrong, what a comparison asks
    for and is not there, what is too vague to choose by, what else is missing. Below
    each stands the command to type or the record to write.

    Example: sitegen worklist demo_site --today 2026-11-20
    """
    from sitegen.cli.progress import shown_progress  # noqa: PLC0415 - heavy
    from sitegen.desk.worklist import list_work  # noqa: PLC0415 - heavy
    from sitegen.pages.worklist_text import (  # noqa: PLC0415 - heavy
        work_groups,
        work_line,
    )
    from sitegen.preview.session import preview_folders  # noqa: PLC0415 - heavy

    with shown_progress(quiet=quiet or as_json) as progress:
        items = list_work(preview_folders(archive), day_of(today), progress)
    if as_json:
        data = [
            {
                "weight": item.weight,
                **dataclasses.asdict(item),
                "why": line.what,
                "do": line.remedy,
                "settled_by": line.settled_by,
            }
            for item in items
            for line in [work_line(item)]
        ]
        click.echo(json.dumps(data))
        return
    for at, group in enumerate(work_groups(items)):
        if at:
            click.echo()
        click.echo(styled(f"{group.heading} ({len(group.lines)})", bold=True))
        for line in group.lines:
            _show(line)
    if not quiet:
        say(
            f"{many(len(items), 'thing')} to do. Next: the first of them."
            if items
            else "Nothing is left to do. Next: sitegen compile"
        )


def _show(line: WorkLine) -> None:
    """Print one thing to do: its name, why, and what settles it."""
    text = f"  {styled(line.name, fg='cyan')}: {line.what} {line.remedy}"
    for each in filled(text, "      "):
        click.echo(each)
    if line.settled_by:
        click.echo(styled(f"      {line.settled_by}", dim=True))
