"""Commands that keep addresses alive: what left, what is renamed, what is gone."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import click

from sitegen.cli.shared import ARCHIVE, DAY, HUSH, say
from sitegen.errors import words_of

ON = click.option(
    "--on",
    "since",
    type=DAY,
    metavar="DATE",
    required=True,
    help="Day of it, as 2026-01-31.",
)


class Named(click.ParamType[tuple[str, str]]):
    """A record named as ``KIND:ID``."""

    name = "KIND:ID"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, str]:
        """Return kind and id."""
        if isinstance(value, tuple):
            return value[0], value[1]
        kind, colon, record_id = str(value).partition(":")
        if not (kind and colon and record_id):
            self.fail(words_of("not-kind-and-id", value=repr(value)), param, ctx)
        return ("prose" if kind == "page" else kind), record_id


@click.command()
@ARCHIVE
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
@HUSH
def addresses(archive: Path, *, as_json: bool) -> None:
    """Say what is new, moved, gone or lost in ARCHIVE since its last release.

    Ends with exit code 1 where something is lost: compile refuses it.

    Example: sitegen addresses demo_site
    """
    from sitegen.desk.addresses import addresses_since  # noqa: PLC0415 - heavy

    told = addresses_since(archive)
    if as_json:
        click.echo(json.dumps(told.as_data(), ensure_ascii=False))
    else:
        for line in told.lines():
            click.echo(line)
        say(told.summary())
    if told.lost or told.held:
        raise click.exceptions.Exit(1)


@click.command()
@click.argument("named", type=Named(), metavar="KIND:ID")
@click.argument("new", metavar="NEW-ID")
@ARCHIVE
@ON
@HUSH
def rename(named: tuple[str, str], new: str, archive: Path, since: datetime) -> None:
    """Give the record KIND:ID of ARCHIVE the id NEW-ID; its old address leads on.

    Every record and text that names it is edited, comments and all else kept, and the
    old id is listed in records/addresses.yaml. Releases stay as they are.

    Example: sitegen rename table:kits home-made demo_site --on 2026-11-20
    """
    from sitegen.desk.renaming import rename as renamed  # noqa: PLC0415 - heavy

    kind, old = named
    done = renamed(archive, kind, old, new, since.date())
    for of_kind, before, after in done.moved:
        say(f"{of_kind} {before} is now {after}.")
    for path in done.written:
        click.echo(path)
    say("Next: sitegen check, then compile.")


GONE_EXAMPLES = """\b
Examples:
  sitegen gone table:upkeep demo_site --on 2026-11-20 \\
      --because "It mixed two methods"
"""


@click.command(epilog=GONE_EXAMPLES)
@click.argument("named", type=Named(), metavar="KIND:ID")
@ARCHIVE
@click.option("--because", "reason", required=True, help="Why; readers will see it.")
@ON
@click.option("--with-runs", is_flag=True, help="Of a device: its runs are gone too.")
@HUSH
def gone(
    named: tuple[str, str],
    archive: Path,
    reason: str,
    since: datetime,
    *,
    with_runs: bool,
) -> None:
    """Take the record KIND:ID of ARCHIVE away; its address says why.

    Its file is put aside into ARCHIVE/removed, not deleted. It is refused while other
    records name it. A device that is no longer sold, or was recalled, is not gone:
    write "withdrawn" into its record instead, and its results stay.
    """
    from sitegen.desk.leaving import take_away  # noqa: PLC0415 - heavy

    left = take_away(archive, named, reason, since.date(), with_runs=with_runs)
    for kind, record_id in left.gone:
        say(f"{kind} {record_id} is listed as gone.")
    for path, there in left.aside:
        click.echo(f"{path} -> {there}")
    say("Next: sitegen check, then compile.")
