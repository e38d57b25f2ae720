"""The commands, their options and what they print.

Messages go to stderr, results to stdout. Exit codes: 0 done, 1 the records have
faults, 2 wrong usage, 3 a fault of the machine.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path

import click

from sitegen import __version__
from sitegen.cli.addressing import addresses, gone, rename
from sitegen.cli.check import check
from sitegen.cli.desk import adopt_command, worklist_command
from sitegen.cli.editing import price
from sitegen.cli.editing import run as run_command
from sitegen.cli.explain import explain, reasons
from sitegen.cli.intake import intake
from sitegen.cli.releasing import pin, release
from sitegen.cli.schema import schema
from sitegen.cli.shared import ARCHIVE, HUSH, counted, is_hushed, say, say_faults, warn
from sitegen.cli.sheet import sheet
from sitegen.cli.start import start
from sitegen.cli.stills import stills
from sitegen.errors import FaultsFound, MachineFault, SitegenError


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code."""
    try:
        # A command that ends early has its code returned here, not raised.
        code = sitegen.main(list(arguments), prog_name="sitegen", standalone_mode=False)
    except click.Abort:
        warn("Stopped.")
        return 3
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except FaultsFound as found:
        say_faults(found.faults)
        return found.exit_code
    except SitegenError as error:
        warn(f"sitegen: {error}")
        return error.exit_code
    except OSError as error:
        warn(f"sitegen: {MachineFault.of(error)}")
        return MachineFault.exit_code
    return code if isinstance(code, int) else 0


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="sitegen")
def sitegen() -> None:
    """Compile records of room air cleaner tests into a results archive."""


@sitegen.command("compile")
@ARCHIVE
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder to publish into; ARCHIVE/published when not given.",
)
@click.option("--clean", is_flag=True, help="Forget the state and compile all.")
@click.option(
    "--workers",
    type=click.IntRange(1),
    help="Processes for fits and figures; 1 keeps all in this one.",
)
@click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Scheduler of a Dask cluster that makes fits and figures instead.",
)
@click.option("--why", is_flag=True, help="Tell why each file was written.")
@click.option(
    "--manifest",
    is_flag=True,
    help="Also list all files with their digests in OUT.manifest, for uploading.",
)
@click.option("--quiet", "-q", is_flag=True, help="Say nothing unless it fails.")
def compile_command(
    archive: Path,
    out: Path | None,
    *,
    clean: bool,
    workers: int | None,
    cluster: str | None,
    why: bool,
    manifest: bool,
    quiet: bool,
) -> None:
    """Compile ARCHIVE into its published site; only what changed is made anew.

    Example: sitegen compile demo_site
    """
    from sitegen.archive_build import (  # noqa: PLC0415 - heavy
        compile_archive,
        published_folders,
    )
    from sitegen.archive_build.cluster import cluster as cluster_executor
    from sitegen.cli.progress import shown_progress  # noqa: PLC0415 - heavy
    from sitegen.cli.told import (  # noqa: PLC0415 - heavy
        done_lines,
        note_line,
        stayed_lines,
        waiting_line,
        written_all_the_same,
    )

    folders = published_folders(archive, out)
    elsewhere = cluster_executor(cluster) if cluster else nullcontext()
    with elsewhere as executor, shown_progress(quiet=quiet) as progress:
        outcome = compile_archive(
            folders,
            clean=clean,
            workers=workers,
            executor=executor,
            why=why,
            on_progress=progress,
            on_wait=None if quiet else lambda holder: say(waiting_line(holder)),
        )
    if not quiet or outcome.stopped:
        for note in outcome.notes:
            say(note_line(note))
        say_faults(outcome.faults)
    report = outcome.report
    if outcome.stopped or report is None:
        for line in stayed_lines(outcome.stayed):
            say(line)
        say(f"{counted(outcome.faults)}; {written_all_the_same(report)}.")
        raise click.exceptions.Exit(1)
    for line in reasons(outcome.why):
        click.echo(line)
    told = []
    if manifest:
        from sitegen.archive_build.manifest import write_manifest  # noqa: PLC0415

        told.append(f"All files are listed in {write_manifest(folders.out)}.")
    for line in () if quiet else (*told, *done_lines(report, folders.out)):
        say(line)


@sitegen.command()
@ARCHIVE
@click.option("--port", default=8640, help="Port on this machine; 0 takes any.")
@click.option(
    "--polling", is_flag=True, help="Look for changes again and again (network drives)."
)
@HUSH
def preview(archive: Path, port: int, *, polling: bool) -> None:
    """Compile ARCHIVE aside, serve it on this machine, and follow every change.

    Example: sitegen preview demo_site
    """
    from sitegen.preview.session import (  # noqa: PLC0415 - heavy
        PreviewOptions,
        run_preview,
    )
    from sitegen.preview.state import Situation  # noqa: PLC0415 - heavy

    # Compiles are told of from another thread, which has no command of its own.
    hushed = is_hushed()

    def tell(situation: Situation) -> None:
        for line in situation.lines:
            warn(line)
        if situation.stopped:
            warn("Not compiled; the last good pages stay. Next: correct the faults.")
        elif not hushed:
            warn("Compiled.")

    def announce(address: str) -> None:
        click.echo(address)
        sys.stdout.flush()
        say("Open this address in a browser; Ctrl-C ends the preview.")
        say(f"The manual for testers is at {address}_desk/manual/")

    run_preview(PreviewOptions(archive, port, polling), announce, tell, warn)


for command in (
    start,
    check,
    intake,
    schema,
    explain,
    adopt_command,
    worklist_command,
    run_command,
    price,
    release,
    addresses,
    rename,
    gone,
    pin,
    sheet,
    stills,
):
    sitegen.add_command(command)
