"""``sitegen sheet``: the text to paste under a video."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from sitegen.cli.completing import ids_of
from sitegen.cli.shared import ARCHIVE, HUSH, TODAY, day_of, is_hushed, say


@click.command()
@click.argument("video", metavar="VIDEO", shell_complete=ids_of("videos"))
@ARCHIVE
@click.option(
    "--limit",
    type=click.IntRange(min=1),
    metavar="N",
    help="At most N characters; what goes first is told.",
)
@TODAY
@HUSH
def sheet(
    video: str,
    archive: Path,
    limit: int | None,
    today: datetime | None,
) -> None:
    """Print the text to paste under VIDEO of ARCHIVE.

    Title, disclosure, links to the comparisons and devices that its record names,
    chapters, links elsewhere, cautions, data. Where that is longer than --limit
    allows, these go in turn, from the last: what the video is about, links elsewhere,
    the words of the cautions (never their headings), the line on how to cite, links
    to devices, the chapters, and all links to comparisons but the first.

    Example: sitegen sheet kit-evening demo_site --limit 2000
    """
    from sitegen.archive_build import published_folders
    from sitegen.archive_build.published import published
    from sitegen.cli.progress import shown_progress
    from sitegen.desk.sheet import make_sheet

    with (
        shown_progress(quiet=is_hushed()) as progress,
        published(published_folders(archive), progress) as view,
    ):
        made = make_sheet(view, video, day_of(today), limit)
    click.echo(made.text)
    say(f"{len(made.text)} characters.")
    if made.left_out:
        say(f"Left out to stay within {limit}: {'; '.join(made.left_out)}.")
    if made.unlinked:
        say(f"Not linked, for they have no page yet: {', '.join(made.unlinked)}.")
    if made.is_held:
        say("The video's record is held; delete that line when it is out.")
    if made.unpinned:
        names = ", ".join(made.unpinned)
        say(f"No edition keeps what the video shows: {names}.")
        say(f"Next: sitegen pin {made.unpinned[0]}, then release and upload.")
