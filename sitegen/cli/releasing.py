"""Commands for what is published on a day: a release, an edition."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitegen.cli.completing import ids_of
from sitegen.cli.shared import ARCHIVE, HUSH, TODAY, day_of, is_hushed, say, warn
from sitegen.errors import usage_fault

if TYPE_CHECKING:
    from sitegen.desk.release import ChangedResult

KINDS = ("correction", "retest", "price", "method", "addition", "withdrawal")


@click.command()
@ARCHIVE
@TODAY
@click.option(
    "--change",
    "kind",
    type=click.Choice(KINDS),
    help="Write the change record that is asked for, of this kind.",
)
@click.option("--because", "text", help="With --change: what changed and why.")
@click.option("--json", "as_json", is_flag=True, help="Print what changed as JSON.")
@HUSH
def release(
    archive: Path,
    today: datetime | None,
    kind: str | None,
    text: str | None,
    *,
    as_json: bool,
) -> None:
    """Write records/releases/DATE.yaml: what ARCHIVE publishes on this day.

    Refused, with exit code 1, while published numbers have changed since the last
    release and no change record says why. From then on compile drops none of what is
    listed: it is moved or gone, with a page that says so.

    Example: sitegen release demo_site --today 2026-11-20
    """
    from sitegen.archive_build import published_folders  # noqa: PLC0415 - heavy
    from sitegen.archive_build.published import published  # noqa: PLC0415 - heavy
    from sitegen.cli.progress import shown_progress  # noqa: PLC0415 - heavy
    from sitegen.desk import release as desk  # noqa: PLC0415 - heavy

    if (kind is None) != (text is None):
        pair = ("--because", "--change") if kind is None else ("--change", "--because")
        raise usage_fault("release", "options-together", first=pair[0], second=pair[1])
    day = day_of(today)
    folders = published_folders(archive)
    with (
        shown_progress(quiet=is_hushed() or as_json) as progress,
        published(folders, progress) as view,
    ):
        prepared = desk.prepare_release(view, day)
    if kind and text:
        name, data = desk.change_record(prepared.unexplained, kind, text, day)
        path = f"records/changes/{_free(archive, name)}.yaml"
        desk.write_record(archive, path, data)
        say(f"{path} written; read it over.")
        with published(folders) as view:
            prepared = desk.prepare_release(view, day)
    if as_json:
        click.echo(json.dumps([_as_data(each) for each in prepared.unexplained]))
    if prepared.unexplained:
        _ask_for_a_word(prepared.unexplained, quiet=as_json)
        raise click.exceptions.Exit(1)
    path = f"records/releases/{day.isoformat()}.yaml"
    desk.write_record(archive, path, desk.release_bytes(prepared.release))
    many = sum(len(ids) for ids in prepared.release.ids.values())
    told = f"{_results(prepared.explained)} changed since the last one, with a word."
    say(
        f"{path}: {many} addresses, {len(prepared.release.digests)} results."
        f"{f' {told}' if prepared.explained else ''}"
    )
    say("Next: keep it with the records, sitegen compile again, then upload.")


def _results(number: int) -> str:
    return f"{number} result{'' if number == 1 else 's'}"


def _free(archive: Path, name: str) -> str:
    """Return a name that no change record has yet."""
    taken = {path.stem for path in (archive / "records/changes").rglob("*.yaml")}
    number, free = 2, name
    while free in taken:
        free, number = f"{name}-{number}", number + 1
    return free


def _as_data(each: ChangedResult) -> dict[str, str]:
    return {
        "result": each.result,
        "what": each.what,
        "before": each.before,
        "now": each.now,
    }


def _ask_for_a_word(changed: Iterable[ChangedResult], *, quiet: bool) -> None:
    found = list(changed)
    if not quiet:
        for each in found:
            click.echo(f"{each.result}: {each.what}")
            click.echo(f"  was {each.before}")
            click.echo(f"  is  {each.now or 'no longer published'}")
    warn(
        f"{_results(len(found))} changed since the last release, and no change record "
        "that it did not know yet names what that rests on. Nothing was written."
    )
    warn(
        "Write one into records/changes, or let this command do it: "
        'sitegen release --change correction --because "…" (or: '
        f"{', '.join(KINDS[1:])})"
    )


@click.command()
@click.argument(
    "comparison", metavar="COMPARISON", shell_complete=ids_of("comparisons")
)
@ARCHIVE
@TODAY
@click.option("--note", default="", help="A remark for its page, Markdown.")
@HUSH
def pin(comparison: str, archive: Path, today: datetime | None, note: str) -> None:
    """Keep the numbers of COMPARISON of ARCHIVE as an edition of this day.

    Numbers, figure, assumptions and methods are written into records/editions and
    never change again; the edition stands at /c/COMPARISON/DATE/. One a day.

    Example: sitegen pin quiet-bedroom demo_site --note "Shown in the talk."
    """
    from sitegen.archive_build import published_folders  # noqa: PLC0415 - heavy
    from sitegen.archive_build.published import published  # noqa: PLC0415 - heavy
    from sitegen.cli.progress import shown_progress  # noqa: PLC0415 - heavy
    from sitegen.desk import pin as desk  # noqa: PLC0415 - heavy

    with (
        shown_progress(quiet=is_hushed()) as progress,
        published(published_folders(archive), progress) as view,
    ):
        path = desk.pin(view, archive, comparison, day_of(today), note)
    click.echo(path)
    say("Next: compile, then link to the edition's own address.")
