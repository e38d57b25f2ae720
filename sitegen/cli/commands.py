"""The commands, their options and what they print.

Messages go to stderr, results to stdout. Exit codes: 0 done, 1 the records have
faults, 2 wrong usage, 3 a fault of the machine.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from sitegen import __version__
from sitegen.cli.taking_in import intake
from sitegen.errors import (
    CODES,
    Fault,
    FaultsFound,
    SitegenError,
    about,
    fault_line,
    sort_faults,
)

ARCHIVE = click.argument(
    "archive",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=".",
)


def say(text: str) -> None:
    """Print a message for the tester."""
    click.echo(text, err=True)


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code."""
    try:
        # A command that ends early has its code returned here, not raised.
        code = sitegen.main(list(arguments), prog_name="sitegen", standalone_mode=False)
    except click.Abort:
        say("Stopped.")
        return 3
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except FaultsFound as found:
        _print_faults(found.faults)
        return found.exit_code
    except SitegenError as error:
        say(f"sitegen: {error}")
        return error.exit_code
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        say(f"sitegen: {where}{error.strerror or error}")
        return 3
    return code if isinstance(code, int) else 0


def _print_faults(faults: Sequence[Fault]) -> None:
    for fault in sort_faults(faults):
        say(fault_line(fault))


def _is_fault(fault: Fault) -> bool:
    return CODES[fault.code].severity == "fault"


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="sitegen")
def sitegen() -> None:
    """Compile records of room air cleaner tests into a results archive."""


@sitegen.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--name", default="My bench", help="Name of the archive.")
@click.option(
    "--address",
    default="https://example.org/bench/",
    help="Address under which it will be published.",
)
@click.option("--currency", default="EUR", help="Currency of costs (ISO 4217).")
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default="metric",
    help="Units that readers see first.",
)
def start(folder: Path, name: str, address: str, currency: str, units: str) -> None:
    """Write a new archive into FOLDER, with an example of every record.

    Example: sitegen start my-bench --name "Harbour bench" --currency EUR
    """
    from sitegen.desk.start import Beginning, start_archive  # noqa: PLC0415 - heavy

    written = start_archive(folder, Beginning(name, address, currency, units))
    say(f"{len(written)} files written to {folder}.")
    say(f"Next: sitegen preview {folder}")


@sitegen.command()
@ARCHIVE
@click.option("--json", "as_json", is_flag=True, help="Print the faults as JSON.")
@click.option("--about", "code", help="Explain one code of a fault and end.")
def check(archive: Path, *, as_json: bool, code: str | None) -> None:
    """Look for faults in ARCHIVE; nothing is written.

    Example: sitegen check demo_site
    """
    if code:
        if code not in CODES:
            raise click.UsageError(f"There is no code {code!r}.")
        click.echo(about(code))
        return
    from sitegen.archive_build import check_archive  # noqa: PLC0415 - heavy

    faults = check_archive(archive)
    if as_json:
        click.echo(json.dumps([_as_data(fault) for fault in sort_faults(faults)]))
    else:
        for fault in sort_faults(faults):
            click.echo(fault_line(fault))
    number = sum(map(_is_fault, faults))
    say(f"{_counted(number, len(faults) - number)}.")
    if number:
        raise click.exceptions.Exit(1)


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


def _counted(faults: int, warnings: int) -> str:
    def many(number: int, word: str) -> str:
        return f"{number or 'no'} {word}{'' if number == 1 else 's'}"

    return f"{many(faults, 'fault')}, {many(warnings, 'warning')}"


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
@click.option("--quiet", "-q", is_flag=True, help="Say nothing unless it fails.")
def compile_command(
    archive: Path, out: Path | None, *, clean: bool, workers: int | None, quiet: bool
) -> None:
    """Compile ARCHIVE into its published site; only what changed is made anew.

    Example: sitegen compile demo_site
    """
    from sitegen.archive_build import (  # noqa: PLC0415 - heavy
        compile_archive,
        published_folders,
    )
    from sitegen.cli.progress import shown_progress  # noqa: PLC0415 - heavy

    folders = published_folders(archive, out)
    with shown_progress(quiet=quiet) as progress:
        outcome = compile_archive(
            folders, clean=clean, workers=workers, on_progress=progress
        )
    faults = [fault for fault in outcome.faults if _is_fault(fault)]
    if not quiet or outcome.stopped:
        _print_faults(outcome.faults)
    if outcome.stopped or outcome.report is None:
        warnings = len(outcome.faults) - len(faults)
        say(f"{_counted(len(faults), warnings)}; nothing was published.")
        raise click.exceptions.Exit(1)
    report = outcome.report
    if quiet:
        return
    if not (report.written or report.removed or report.ran):
        say("Up to date: nothing to do.")
        return
    say(
        f"{len(report.written)} files written, {report.outputs - len(report.written)} "
        f"unchanged, {len(report.removed)} removed in {report.seconds:.1f} s."
    )
    say(f"The site is in {folders.out}.")


@sitegen.command()
@ARCHIVE
@click.option("--port", default=8640, help="Port on this machine; 0 takes any.")
@click.option(
    "--polling", is_flag=True, help="Look for changes again and again (network drives)."
)
def preview(archive: Path, port: int, *, polling: bool) -> None:
    """Compile ARCHIVE aside, serve it on this machine, and follow every change.

    Example: sitegen preview demo_site
    """
    from sitegen.preview.session import (  # noqa: PLC0415 - heavy
        PreviewOptions,
        run_preview,
    )
    from sitegen.preview.state import Situation  # noqa: PLC0415 - heavy

    def tell(situation: Situation) -> None:
        for line in situation.lines:
            say(line)
        say(
            "Not compiled; the last good pages stay."
            if situation.stopped
            else "Compiled."
        )

    def announce(address: str) -> None:
        click.echo(address)
        sys.stdout.flush()
        say("Open this address in a browser; Ctrl-C ends the preview.")

    run_preview(PreviewOptions(archive, port, polling), announce, tell)


sitegen.add_command(intake)
