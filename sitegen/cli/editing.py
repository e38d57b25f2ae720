"""Commands that edit one record, with all its comments kept: run, price."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitegen.cli.completing import ids_of
from sitegen.cli.shared import ARCHIVE, DAY, HUSH, TODAY, day_of, is_hushed, say, warn
from sitegen.errors import FaultsFound, usage_fault

if TYPE_CHECKING:
    from sitegen.desk.checked_edit import Edit
    from sitegen.desk.opened import OpenArchive

CAUSES = (
    "door_opened",
    "sensor_fault",
    "wrong_setting",
    "power_loss",
    "injection_failed",
    "other",
)
ONLY_SHOW = click.option(
    "--only-show", is_flag=True, help="Print the change as a diff; write nothing."
)


RUN_EXAMPLES = """\b
Examples:
  sitegen run qh-0161 demo_site --only-show \\
      --reject "The door stood open." --cause door_opened
  sitegen run qh-0161 demo_site --only-show \\
      --decide SENSOR "Counter B had been re-zeroed."
  sitegen run qh-0161 demo_site --only-show \\
      --window 14 40 --because "The mixing fan was moved."
"""


@click.command(epilog=RUN_EXAMPLES)
@click.argument("run_id", metavar="RUN", shell_complete=ids_of("runs"))
@ARCHIVE
@click.option("--reject", metavar="REASON", help="Take it out of all results.")
@click.option("--accept", metavar="REASON", help="Let it count again.")
@click.option(
    "--decide",
    nargs=2,
    multiple=True,
    metavar="CHECK REASON",
    help="Record what was found about a check; again for each further one.",
)
@click.option(
    "--window",
    nargs=2,
    type=float,
    metavar="FROM TO",
    help="Fix the fitted part, in minutes; needs --because.",
)
@click.option("--because", "reason", help="With --window: why the rule does not serve.")
@click.option(
    "--cause",
    type=click.Choice(CAUSES),
    help="With --reject: the assignable cause; other when not given.",
)
@click.option("--by", help="Who decides; the publisher's name when not given.")
@TODAY
@ONLY_SHOW
@HUSH
def run(
    run_id: str,
    archive: Path,
    *,
    reject: str | None,
    accept: str | None,
    decide: tuple[tuple[str, str], ...],
    window: tuple[float, float] | None,
    reason: str | None,
    cause: str | None,
    by: str | None,
    today: dt.datetime | None,
    only_show: bool,
) -> None:
    """Record a decision about RUN in its record, with day and name.

    One of --reject, --accept, --decide and --window. Nothing else in the record
    changes: comments and order stay. What would be a fault is not written, and the
    command ends with exit code 1.
    """
    from sitegen.desk import run_edit  # noqa: PLC0415 - heavy
    from sitegen.desk.opened import OpenArchive  # noqa: PLC0415 - heavy

    asked = [reject is not None, accept is not None, bool(decide), window is not None]
    if sum(asked) != 1:
        choices = "--reject, --accept, --decide, --window"
        said = "more than one" if any(asked) else "none"
        raise usage_fault("run", "options-one-of", said=said, choices=choices)
    if (window is None) != (reason is None):
        pair = (
            ("--because", "--window") if window is None else ("--window", "--because")
        )
        raise usage_fault("run", "options-together", first=pair[0], second=pair[1])
    if cause is not None and reject is None:
        raise usage_fault("run", "options-together", first="--cause", second="--reject")
    opened = OpenArchive(archive, "run")
    with _nothing_written():
        if window is not None:
            edit = run_edit.fix_window(opened, run_id, *window, reason or "")
        else:
            text = reject if reject is not None else accept or ""
            found = cause or ("other" if reject is not None else "looked_at")
            name = by or _publisher(opened)
            decided = run_edit.Decided(name, day_of(today), found, text)
            if decide:
                waiting = _waiting(opened, run_id)
                edit = run_edit.decide(opened, run_id, waiting, decide, decided)
            else:
                status = "rejected" if reject is not None else "accepted"
                edit = run_edit.set_status(opened, run_id, status, decided)
        _finish(edit, archive, only_show=only_show)
    if not only_show:
        say(
            "Next: sitegen check, then compile. If it was published, sitegen release "
            "asks why its numbers change."
        )


def _waiting(opened: OpenArchive, run_id: str) -> tuple[str, ...]:
    from sitegen.cli.progress import shown_progress  # noqa: PLC0415 - heavy
    from sitegen.desk.run_edit import waiting_checks  # noqa: PLC0415 - heavy
    from sitegen.preview.session import preview_folders  # noqa: PLC0415 - heavy

    folders = preview_folders(opened.folder)
    with shown_progress(quiet=is_hushed()) as progress:
        return waiting_checks(folders, opened, run_id, progress)


def _publisher(opened: OpenArchive) -> str:
    from sitegen.desk.price_edit import settings_of  # noqa: PLC0415 - heavy

    return settings_of(opened).publisher.name


PRICE_EXAMPLES = """\b
Examples:
  sitegen price fosskeld-drum 89.00 demo_site --only-show \\
      --on 2026-11-20 --shop "Saltpan Direct"
  sitegen price drum-wrap 16.50 demo_site --on 2026-11-20 --only-show
"""


@click.command(epilog=PRICE_EXAMPLES)
@click.argument("name", metavar="DEVICE", shell_complete=ids_of("devices", "filters"))
@click.argument("amount")
@ARCHIVE
@click.option("--on", "day", type=DAY, metavar="DATE", help="Day it was seen; today.")
@click.option("--shop", default="", help="Where it was seen.")
@click.option("--currency", help="ISO 4217; as the record's newest price.")
@click.option(
    "--kind",
    type=click.Choice(["list", "paid", "carriage", "duty"]),
    default="list",
    help="List price, price paid, or what comes on top.",
)
@click.option("--filter", "of_filter", is_flag=True, help="DEVICE names a filter.")
@ONLY_SHOW
@HUSH
def price(
    name: str,
    amount: str,
    archive: Path,
    *,
    day: dt.datetime | None,
    shop: str,
    currency: str | None,
    kind: str,
    of_filter: bool,
    only_show: bool,
) -> None:
    """Put a new price of AMOUNT with its day into the record of DEVICE.

    The older prices of a device stay, with their days. A filter's record holds one
    price for one piece, which is renewed; where no device has that name, DEVICE may be
    a filter.
    """
    from sitegen.desk.opened import OpenArchive  # noqa: PLC0415 - heavy
    from sitegen.desk.price_edit import Seen, add_price, renew_price  # noqa: PLC0415

    opened = OpenArchive(archive, "price")
    seen = Seen(amount, currency, day_of(day), kind, shop)
    of_filter = of_filter or (
        name not in opened.ids("device") and name in opened.ids("filter")
    )
    with _nothing_written():
        edit = (renew_price if of_filter else add_price)(opened, name, seen)
        _finish(edit, archive, only_show=only_show)
    if not only_show:
        say(
            "Next: sitegen compile. Readers learn of it by a change record of kind "
            "price (sitegen release asks for one)."
        )


@contextmanager
def _nothing_written() -> Iterator[None]:
    """Say of a refused edit that the record is as it was."""
    try:
        yield
    except FaultsFound:
        warn("Nothing was written; the record would have this fault:")
        raise


def _finish(edit: Edit, archive: Path, *, only_show: bool) -> None:
    if only_show:
        click.echo(edit.diff)
        say("Nothing was written. Next: the same without --only-show.")
        return
    edit.write(archive)
    click.echo(edit.file)
