"""Commands at the tester's desk: adopt a repeatability, list what is left to do."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from sitegen.desk.adopt import Adoption

ARCHIVE = click.argument(
    "archive",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=".",
)
TODAY = click.option(
    "--today",
    type=click.DateTime(["%Y-%m-%d"]),
    help="The day to take as today, YYYY-MM-DD.",
)


def register(group: click.Group) -> None:
    """Put these commands into the tool's."""
    group.add_command(adopt_command)
    group.add_command(worklist_command)


def _day(today: dt.datetime | None) -> dt.date:
    return today.date() if today else dt.datetime.now().astimezone().date()


@click.command("adopt")
@click.argument("method")
@ARCHIVE
@TODAY
@click.option("--only-show", is_flag=True, help="Show it; leave the record alone.")
@click.option("--json", "as_json", is_flag=True, help="Print what is adopted as JSON.")
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
    from sitegen.desk.adopt import adopt  # noqa: PLC0415 - heavy

    folders = published_folders(archive)
    adoption = adopt(folders, method, _day(today), only_show=only_show)
    if as_json:
        click.echo(json.dumps(dataclasses.asdict(adoption)))
    else:
        for line in _adoption_lines(adoption):
            click.echo(line)
    for line in _warnings(adoption):
        click.echo(line, err=True)
    if not adoption.changed:
        click.echo("The record holds the current one already.", err=True)
    elif only_show:
        click.echo("Nothing was written.", err=True)
    else:
        click.echo(f"{adoption.file} was written.", err=True)
        click.echo(
            "Next: tell readers why intervals move, in records/changes (kind: method).",
            err=True,
        )


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
def worklist_command(
    archive: Path, *, today: dt.datetime | None, as_json: bool
) -> None:
    """List what to look at, repeat, renew or test next in ARCHIVE, and why.

    What may be wrong comes before what is vague, and that before what is missing.

    Example: sitegen worklist demo_site --today 2026-11-20
    """
    from sitegen.desk.worklist import list_work  # noqa: PLC0415 - heavy
    from sitegen.pages.worklist_text import worklist_text  # noqa: PLC0415 - heavy
    from sitegen.preview.session import preview_folders  # noqa: PLC0415 - heavy

    items = list_work(preview_folders(archive), _day(today))
    if as_json:
        data = [{"weight": item.weight, **dataclasses.asdict(item)} for item in items]
        click.echo(json.dumps(data))
    else:
        click.echo(worklist_text(items))
