"""``sitegen stills``: a comparison's figure at the sizes of a video's frame."""

from __future__ import annotations

from pathlib import Path

import click

from sitegen.cli.completing import ids_of
from sitegen.cli.shared import ARCHIVE, HUSH, is_hushed, say


@click.command()
@click.argument(
    "comparison", metavar="COMPARISON", shell_complete=ids_of("comparisons")
)
@ARCHIVE
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    required=True,
    help="Folder to write the pictures into; made if it is not there.",
)
@click.option("--dark", is_flag=True, help="Light on dark instead of dark on light.")
@HUSH
def stills(comparison: str, archive: Path, out: Path, *, dark: bool) -> None:
    """Draw the figure of COMPARISON of ARCHIVE for a video.

    PNG of 1920x1080, 3840x2160 and 1080x1920 pixels, and the same as SVG. The numbers
    are those of the page; a line names its address and the day of the newest result.
    Nothing stands in the outermost twentieth. Pictures of before are replaced.

    Example: sitegen stills kits-or-machines demo_site --out frames
    """
    from sitegen.archive_build import published_folders
    from sitegen.archive_build.published import published
    from sitegen.cli.progress import shown_progress
    from sitegen.desk.stills import make_stills, write_stills

    with (
        shown_progress(quiet=is_hushed()) as progress,
        published(published_folders(archive), progress) as view,
    ):
        made = make_stills(view, comparison, "dark" if dark else "light")
        pinned = view.editions(comparison)
    for path in write_stills(out, made):
        click.echo(path)
    if any(still.small for still in made):
        say("So much is named in it that the type is small for a phone.")
    if not pinned:
        say(f"Next: sitegen pin {comparison}, so that these numbers keep an address.")
