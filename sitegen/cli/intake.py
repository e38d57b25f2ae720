"""``sitegen intake``: a raw log becomes a series and a run record."""

from __future__ import annotations

import datetime as dt
import shutil
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitegen.errors import usage_fault, words_of

if TYPE_CHECKING:
    from sitegen.desk.intake.taken import NotUnderstood, Taken
    from sitegen.desk.intake.wanted import Wanted
    from sitegen.desk.opened import OpenArchive


class _Moment(click.ParamType[dt.datetime]):
    """A date and time with its offset from UTC."""

    name = "moment"

    def convert(
        self,
        value: object,
        param: click.Parameter | None,
        ctx: click.Context | None,
    ) -> dt.datetime:
        """Return the moment that a text says."""
        try:
            moment = dt.datetime.fromisoformat(str(value))
        except ValueError:
            self.fail(words_of("not-a-moment", value=str(value)), param, ctx)
        if moment.tzinfo is None:
            self.fail(words_of("no-offset", value=str(value)), param, ctx)
        return moment


class _Day(click.ParamType[dt.date]):
    """A date."""

    name = "day"

    def convert(
        self,
        value: object,
        param: click.Parameter | None,
        ctx: click.Context | None,
    ) -> dt.date:
        """Return the day that a text says."""
        try:
            return dt.date.fromisoformat(str(value))
        except ValueError:
            self.fail(words_of("not-a-date", value=str(value)), param, ctx)


EPILOG = """\b
Examples:
  sitegen intake demo_site/raw/counter-b-2026-09-16.csv --archive demo_site \\
      --instrument bench-b --of murrantine-cairn.cairn-ring.mid --method decay-v2 \\
      --event injected=4 --event mixing_off=8 --event device_on=09:21 --only-show
  sitegen intake demo_site/raw/counter-b-2026-09-16.csv --archive demo_site \\
      --instrument bench-b --natural --method decay-v2 \\
      --event mixing_off=09:16 --from 09:08 --to 09:21 --only-show
  sitegen intake demo_site/raw/counter-b-2026-09-16.csv --archive demo_site \\
      --instrument bench-b --of murrantine-cairn.cairn-ring.mid --method decay-v2 \\
      --event device_on=9 --log time.zone=Europe/Oslo --only-show
"""


@click.command("intake", epilog=EPILOG)
@click.argument(
    "logs",
    nargs=-1,
    required=True,
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
)
@click.option(
    "--archive",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=".",
    help="The archive; the current folder when not given.",
)
@click.option(
    "--instrument", "-i", "instruments", multiple=True, help="What wrote each log."
)
@click.option(
    "--log",
    "-l",
    "stated",
    multiple=True,
    metavar="FIELD=VALUE",
    help="How the log reads, in the words of an instrument's log field.",
)
@click.option("--of", help="The configuration, DEVICE.FILTER.SPEED.")
@click.option("--natural", is_flag=True, help="A natural decay, device off.")
@click.option("--specimen", help="Which unit of the device.")
@click.option("--filter-hours", type=float, help="Hours the filter had run before.")
@click.option("--method", help="The method; the current one when there is only one.")
@click.option("--run", help="Id of the run and name of its series.")
@click.option(
    "--event",
    "-e",
    "events",
    multiple=True,
    metavar="WHAT=WHEN",
    help="What happened when: minutes of the series, or a time of day.",
)
@click.option("--from", "first", help="Where the run begins in the log.")
@click.option("--to", "last", help="Where it ends.")
@click.option("--started", type=_Moment(), help="First row of a log of elapsed time.")
@click.option("--date", "day", type=_Day(), help="Day of a log without dates.")
@click.option("--temperature", type=float, help="Air temperature, °C.")
@click.option("--humidity", type=float, help="Relative humidity, %.")
@click.option("--note", help="A remark for the run's page.")
@click.option("--yes", "-y", is_flag=True, help="Confirm what is shown; write it.")
@click.option("--keep", is_flag=True, help="Keep confirmed guesses in the record.")
@click.option("--only-show", is_flag=True, help="Show, and write nothing.")
@click.option("--quiet", "-q", is_flag=True, help="Print the written paths only.")
def intake(
    logs: tuple[Path, ...],
    archive: Path,
    instruments: tuple[str, ...],
    stated: tuple[str, ...],
    of: str | None,
    natural: bool,  # noqa: FBT001 - as click hands it over
    specimen: str | None,
    filter_hours: float | None,
    method: str | None,
    run: str | None,
    events: tuple[str, ...],
    first: str | None,
    last: str | None,
    started: dt.datetime | None,
    day: dt.date | None,
    temperature: float | None,
    humidity: float | None,
    note: str | None,
    *,
    yes: bool,
    keep: bool,
    only_show: bool,
    quiet: bool,
) -> None:
    """Turn raw instrument LOGS of one run into a series and a run record.

    How a log reads stands in its instrument's record (the field log). Where it does
    not, it is guessed, shown with the evidence, and has to be confirmed. The decay,
    its fitted part, the fit and the checks are shown before anything is written.
    Nothing is ever written over. The paths written are printed.
    """
    from sitegen.desk.intake.wanted import Wanted  # noqa: PLC0415 - heavy

    wanted = Wanted(
        logs=logs,
        instruments=instruments,
        stated=stated,
        natural=natural,
        of=of,
        specimen=specimen,
        filter_hours=filter_hours,
        method=method,
        run=run,
        events=events,
        first=first,
        last=last,
        started=started,
        day=day,
        temperature_c=temperature,
        humidity_pct=humidity,
        note=note,
    )
    _Intake(archive, yes=yes, keep=keep, only_show=only_show, quiet=quiet).run(wanted)


class _Intake:
    """One use of the command."""

    def __init__(
        self, folder: Path, *, yes: bool, keep: bool, only_show: bool, quiet: bool
    ) -> None:
        from sitegen.cli.asking import somebody_answers  # noqa: PLC0415 - heavy
        from sitegen.desk.opened import OpenArchive  # noqa: PLC0415 - heavy

        self.archive: OpenArchive = OpenArchive(folder)
        self.yes, self.keep, self.only_show, self.quiet = yes, keep, only_show, quiet
        self.asks = somebody_answers() and not yes

    def say(self, lines: list[str]) -> None:
        """Print lines for the tester, unless they want none."""
        if not self.quiet:
            for line in lines:
                click.echo(line, err=True)

    def run(self, wanted: Wanted) -> None:
        """Read, show, have confirmed, write."""
        from sitegen.desk.intake.proposal import propose  # noqa: PLC0415 - heavy
        from sitegen.desk.intake.told import (  # noqa: PLC0415 - heavy
            next_lines,
            proposal_lines,
            taken_lines,
        )
        from sitegen.desk.intake.written import (  # noqa: PLC0415 - heavy
            keep_forms,
            write_proposal,
        )

        if self.asks:
            from sitegen.cli.asking import ask_before_reading  # noqa: PLC0415 - heavy

            wanted = ask_before_reading(self.archive, wanted)
        taken = self._taken(wanted)
        self._confirm_guesses(taken, wanted)
        self.say(taken_lines(taken))
        if self.asks:
            from sitegen.cli.asking import ask_about_run  # noqa: PLC0415 - heavy

            wanted = ask_about_run(self.archive, wanted, taken)
        proposal = propose(self.archive, wanted, taken)
        columns = shutil.get_terminal_size().columns
        self.say(proposal_lines(proposal, width=min(66, max(30, columns - 13))))
        if self.only_show:
            self.say(["", "Nothing was written."])
            return
        self._confirm_writing(taken)
        written = write_proposal(self.archive.folder, proposal)
        for path in written:
            click.echo(path)
        if self._keeps(taken):
            for name in keep_forms(self.archive, taken):
                click.echo(self.archive.folder / name)
        self.say(next_lines(str(self.archive.folder), proposal, taken, keep=self.keep))

    def _keeps(self, taken: Taken) -> bool:
        """Return whether guesses go into the instruments' records."""
        if taken.guessed and self.asks and not self.keep:
            from sitegen.cli.asking import confirmed  # noqa: PLC0415 - heavy

            question = "Write how the log reads into the instrument's record"
            self.keep = confirmed(question)
        return self.keep

    def _taken(self, wanted: Wanted) -> Taken:
        from sitegen.desk.intake.taken import (  # noqa: PLC0415 - heavy
            NotUnderstood,
            take,
        )

        try:
            return take(self.archive, wanted)
        except NotUnderstood as problem:
            if self.asks and (more := _asked(problem)):
                stated = (*wanted.stated, *more)
                return self._taken(replace(wanted, stated=stated))
            if problem.known is not None and problem.known.guesses:
                self._show_guess(problem.known, wanted, problem.log)
            raise

    def _show_guess(self, known: object, wanted: Wanted, name: str) -> None:
        from sitegen.desk.intake.forms import KnownForm  # noqa: PLC0415 - heavy
        from sitegen.desk.intake.told import guess_lines  # noqa: PLC0415 - heavy

        if isinstance(known, KnownForm):
            self.say(guess_lines(known, name, wanted.stated))

    def _confirm_guesses(self, taken: Taken, wanted: Wanted) -> None:
        for at, known in enumerate(taken.forms):
            if known.guesses:
                self._show_guess(known, wanted, wanted.logs[at].name)
        if taken.guessed and self.asks:
            from sitegen.cli.asking import confirmed  # noqa: PLC0415 - heavy

            if not confirmed("Is this how the log reads"):
                raise usage_fault("intake", "said-no")

    def _confirm_writing(self, taken: Taken) -> None:
        from sitegen.desk.intake.wanted import usage  # noqa: PLC0415 - heavy

        if self.yes:
            return
        if self.asks:
            from sitegen.cli.asking import confirmed  # noqa: PLC0415 - heavy

            if confirmed("Write these files"):
                return
            raise usage_fault("intake", "said-no")
        for known, instrument in zip(taken.forms, taken.instruments, strict=True):
            if known.guesses:
                path = self.archive.path("instrument", instrument.id)
                raise usage("intake-unconfirmed", "", file=path)
        raise usage("intake-unwritten", "")


def _asked(problem: NotUnderstood) -> tuple[str, ...]:
    """Return what the tester answers about what a log does not say of itself."""
    from sitegen.cli.asking import ask, choose_one  # noqa: PLC0415 - heavy
    from sitegen.errors import fault_line, is_fault  # noqa: PLC0415 - light, with the others

    stopping = [fault for fault in problem.faults if is_fault(fault)]
    if len(stopping) != 1:
        return ()
    fault = stopping[0]
    if fault.code == "intake-no-zone":
        click.echo(fault_line(fault), err=True)
        return (f"time.zone={ask('Zone of its clock')}",)
    if fault.code == "intake-day-or-month":
        click.echo(fault_line(fault), err=True)
        choices = ["day-month", "month-day"]
        return (f"time.form={choose_one('How are its dates written', choices)}",)
    if fault.code == "intake-elapsed-unit":
        click.echo(fault_line(fault), err=True)
        unit = choose_one("Unit of its time", ["s", "ms", "min", "h"])
        return (f"time.unit={unit}",)
    return ()
