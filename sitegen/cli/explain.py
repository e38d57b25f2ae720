"""``explain``, and the reasons that ``compile --why`` prints."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitegen.cli.shared import ARCHIVE, HUSH

if TYPE_CHECKING:
    from sitegen.archive_build.explained import Explained
    from sitegen.rebuild import Hop

MOST_LISTED = 20


@click.command()
@click.argument("page")
@ARCHIVE
@click.option("--now", is_flag=True, help="Tell what a compile would do now.")
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder published into; ARCHIVE/published when not given.",
)
@HUSH
def explain(
    page: str, archive: Path, out: Path | None, *, now: bool, as_json: bool
) -> None:
    """Tell what PAGE is made of, and why it was last made.

    PAGE is an address such as /devices/my-cleaner/, or the path of a published file.

    Example: sitegen explain /devices/ demo_site
    """
    from sitegen.archive_build import published_folders
    from sitegen.archive_build.explained import explain_page
    from sitegen.errors import RebuildError, usage_fault

    try:
        found = explain_page(published_folders(archive, out), page, now=now)
    except RebuildError as error:
        if error.code != "not_built":
            raise
        raise usage_fault(page, "page-unknown") from error
    if as_json:
        click.echo(json.dumps(_as_data(found), ensure_ascii=False, indent=2))
        return
    for line in (*_story(found, now=now), *_rests_on(found.files)):
        click.echo(line)


def _as_data(found: Explained) -> dict[str, object]:
    from sitegen.archive_build.said import said_cause, said_key

    return {
        "file": found.file,
        "hops": [
            {
                "step": str(hop.key),
                "what": said_key(hop.key),
                "compile": hop.build or None,
                "because": said_cause(hop.cause) if hop.cause is not None else None,
                "changes": [asdict(change) for change in hop.changes],
            }
            for hop in found.hops
        ],
        "files": list(found.files),
    }


def _story(found: Explained, *, now: bool) -> list[str]:
    from sitegen.archive_build.said import said_chain, said_key

    if not found.hops:
        return [f"{found.file} is up to date: nothing that it rests on has changed."]
    head = f"{found.file}: {said_key(found.hops[0].key)}."
    if now:
        first = found.hops[0].cause
        sure = first is None or first.kind != "dep_suspect"
        begin = "It would be made anew" if sure else "It may have to be made anew"
    else:
        begin = f"It was last made in compile {found.hops[0].build}"
    lines = [f"  because {line}" for line in said_chain(found.hops)]
    return [head, f"{begin},", *(f"{line}," for line in lines[:-1]), f"{lines[-1]}."]


def _rests_on(files: Sequence[str]) -> list[str]:
    own = [path.partition(":")[2] for path in files if path.startswith("archive:")]
    many = "1 file" if len(own) == 1 else f"{len(own)} files"
    lines = [f"It rests on {many} of the archive:"]
    lines += [f"  {path}" for path in own[:MOST_LISTED]]
    if len(own) > MOST_LISTED:
        lines.append(f"  and {len(own) - MOST_LISTED} more (--json lists them all)")
    return [*lines, f"and on {len(files) - len(own)} of the tool's own."]


def reasons(why: Mapping[str, Sequence[Hop]]) -> list[str]:
    """Return the lines of ``compile --why``: written files by what began it.

    Args:
        why: the chain of causes of each file written.
    """
    from sitegen.archive_build.said import last_cause

    groups: dict[str, list[str]] = {}
    for path, hops in why.items():
        groups.setdefault(last_cause(hops), []).append(path)
    lines = []
    for cause, paths in groups.items():
        many = "1 file" if len(paths) == 1 else f"{len(paths)} files"
        lines.append(f"{many} because {cause}:")
        lines += [f"  {path}" for path in paths[:MOST_LISTED]]
        if len(paths) > MOST_LISTED:
            lines.append(f"  and {len(paths) - MOST_LISTED} more")
    if lines:
        lines.append("“sitegen explain FILE” tells the way from there to a file.")
    return lines
