"""``sitegen start``: a new archive, by options or by answers on a terminal."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sitegen.archive_build.shipped import shipped_languages
from sitegen.cli.shared import say

if TYPE_CHECKING:
    from sitegen.desk.start import Beginning


EXAMPLES = """\b
Examples:
  sitegen start my-bench --name "Harbour bench" --currency EUR \\
      --room "Net store" --volume 31.5 --instrument "Counter A"
"""


@click.command(epilog=EXAMPLES)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--name", help="Name of the archive.")
@click.option("--address", help="Address under which it will be published.")
@click.option("--currency", help="Currency of costs (ISO 4217).")
@click.option(
    "--language",
    type=click.Choice(shipped_languages()),
    help="Language of the interface; the example records stay English.",
)
@click.option(
    "--units", type=click.Choice(["metric", "us"]), help="Units that readers see first."
)
@click.option("--room", help="Name of the room.")
@click.option("--volume", type=float, help="Net air volume of the room, m³.")
@click.option("--height", type=float, help="Ceiling height of the room, m.")
@click.option(
    "--instrument",
    "instruments",
    multiple=True,
    help="Name of a particle counter; again for each further one.",
)
@click.option("--quiet", "-q", is_flag=True, help="Ask and say nothing.")
def start(
    folder: Path,
    name: str | None,
    address: str | None,
    currency: str | None,
    language: str | None,
    units: str | None,
    room: str | None,
    volume: float | None,
    height: float | None,
    instruments: tuple[str, ...],
    *,
    quiet: bool,
) -> None:
    """Write a new archive into FOLDER, with an example of every record.

    On a terminal it asks for what no option says; elsewhere examples stand in. The
    archive compiles at once. Each record begins with a reference to its JSON Schema,
    so that an editor completes and checks its fields.
    """
    from sitegen.desk.start import FIRST_RUN, Beginning, start_archive

    said: dict[str, Any] = {
        "name": name,
        "address": address,
        "currency": currency,
        "language": language,
        "units": units,
        "room": room,
        "volume_m3": volume,
        "height_m": height,
        "instruments": instruments or None,
    }
    beginning = replace(
        Beginning(), **{key: value for key, value in said.items() if value is not None}
    )
    if not quiet and sys.stdin.isatty() and sys.stderr.isatty():
        beginning = _asked(beginning, {key for key, value in said.items() if value})
    written = start_archive(folder, beginning)
    if quiet:
        return
    say(f"{len(written)} files written to {folder}.")
    say(f"Next: sitegen preview {folder}")
    say(f"Then fill in {folder}/{FIRST_RUN}, or take in a raw log: sitegen intake LOG.")


def _asked(beginning: Beginning, said: set[str]) -> Beginning:
    """Return the same with the tester's answers where no option said it."""
    questions: tuple[tuple[str, str, click.ParamType[object] | type], ...] = (
        ("name", "Name of the archive", str),
        ("address", "Address it will be published under", str),
        ("currency", "Currency of costs", str),
        ("units", "Units that readers see first", click.Choice(["metric", "us"])),
        ("room", "Name of the room", str),
        ("volume_m3", "Its net air volume, m³", float),
        ("height_m", "Its ceiling height, m", float),
    )
    for field, question, kind in questions:
        if field not in said:
            now = getattr(beginning, field)
            answer = click.prompt(question, default=now, type=kind, err=True)
            beginning = replace(beginning, **{field: answer})
    if "instruments" not in said:
        names = click.prompt(
            "Particle counters, names parted by commas",
            default=", ".join(beginning.instruments),
            err=True,
        )
        given = tuple(part.strip() for part in names.split(",") if part.strip())
        beginning = replace(beginning, instruments=given)
    return beginning
