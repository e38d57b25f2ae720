"""``sitegen schema``: JSON Schemas of the records, for editors."""

from __future__ import annotations

from pathlib import Path

import click

from sitegen.cli.shared import ARCHIVE, say
from sitegen.errors import usage_fault
from sitegen.load.guesses import guess, listed


@click.command()
@ARCHIVE
@click.option("--kind", help="Print the schema of one kind of record; write nothing.")
@click.option("--quiet", "-q", is_flag=True, help="Print the written paths only.")
def schema(archive: Path, kind: str | None, *, quiet: bool) -> None:
    """Write the JSON Schemas of all records into ARCHIVE/.schemas.

    Editors that know the comment "# yaml-language-server: $schema=..." complete and
    check the fields of a record that begins with it. What sitegen check finds between
    records, no schema can say.

    Example: sitegen schema demo_site
    """
    from sitegen.desk.schemas import (
        schema_comment,
        schema_text,
        schemas,
        write_schemas,
    )

    if kind is not None:
        known = schemas()
        if kind not in known:
            choices = listed(sorted(known))
            raise usage_fault(
                "schema",
                "kind-unknown",
                "--kind",
                value=kind,
                choices=choices,
                **guess(kind, known),
            )
        click.echo(schema_text(known[kind]), nl=False)
        return
    for path in write_schemas(archive):
        click.echo(path)
    if not quiet:
        comment = schema_comment("records/devices/ID.yaml")
        say(f"Next: begin each record with its own comment; a device with {comment}")
