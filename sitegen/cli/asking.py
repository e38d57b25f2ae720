"""Questions on a terminal: what an option would say, asked where somebody answers."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace

import click

from sitegen.desk.intake.taken import Taken
from sitegen.desk.intake.wanted import Wanted
from sitegen.desk.opened import OpenArchive
from sitegen.model import NO_FILTER, DecayMethod, Device, Instrument


def somebody_answers() -> bool:
    """Return whether questions reach somebody: both ends are a terminal."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def ask(question: str, default: str | None = None) -> str:
    """Return the answer to a question in one line."""
    shown = bool(default)
    answer = click.prompt(question, default=default, show_default=shown, err=True)
    return str(answer).strip()


def choose_one(question: str, choices: Sequence[str]) -> str:
    """Return one of some choices; the only one without asking."""
    if len(choices) == 1:
        return choices[0]
    for number, choice in enumerate(choices, start=1):
        click.echo(f"  {number}  {choice}", err=True)
    number = click.prompt(question, type=click.IntRange(1, len(choices)), err=True)
    return choices[int(number) - 1]


def ask_before_reading(archive: OpenArchive, wanted: Wanted) -> Wanted:
    """Return the same with method and instruments asked for, where not said."""
    if wanted.method is None:
        methods = archive.records("method", DecayMethod)
        current = [one.id for one in methods if one.replaced_by is None]
        if current:
            wanted = replace(wanted, method=choose_one("Which method", current))
    if len(wanted.instruments) < len(wanted.logs):
        known = [
            one.id for one in archive.records("instrument", Instrument) if one.fractions
        ]
        names = list(wanted.instruments)
        rest = wanted.logs[len(names) :] if known else ()
        names += [choose_one(f"Which instrument wrote {p.name}", known) for p in rest]
        wanted = replace(wanted, instruments=tuple(names))
    return wanted


def ask_about_run(archive: OpenArchive, wanted: Wanted, taken: Taken) -> Wanted:
    """Return the same with configuration and events asked for, where not said."""
    if not wanted.natural and wanted.of is None:
        kind = choose_one("What was measured", ["a device", "a natural decay"])
        wanted = replace(wanted, natural=kind == "a natural decay")
    if not wanted.natural and wanted.of is None:
        wanted = replace(wanted, of=_configuration(archive))
    if not wanted.natural and wanted.specimen is None and wanted.of:
        name = wanted.of.split(".")[0]
        if name in archive.ids("device"):
            device = archive.record("device", name, Device)
            specimens = [one.id for one in device.specimens]
            wanted = replace(wanted, specimen=choose_one("Which unit of it", specimens))
    said = {event.partition("=")[0].strip() for event in wanted.events}
    events = list(wanted.events)
    click.echo(f"The level is highest at minute {taken.peak_min:.1f}.", err=True)
    asked = ["injected", "mixing_off"]
    if not wanted.natural:
        asked.append("device_on")
    for what in asked:
        if what not in said:
            must = what == ("mixing_off" if wanted.natural else "device_on")
            answer = ask(
                f"When was it: {what.replace('_', ' ')}? (minute, or time of day"
                f"{'' if must else '; empty if not known'})",
                None if must else "",
            )
            if answer:
                events.append(f"{what}={answer}")
    return replace(wanted, events=tuple(events))


def _configuration(archive: OpenArchive) -> str:
    name = choose_one("Which device", list(archive.ids("device")))
    device = archive.record("device", name, Device)
    filters = [*(part.id for part in device.filters), NO_FILTER]
    filter_id = choose_one("Which filter", filters)
    speed = choose_one("Which speed", [one.id for one in device.speeds])
    return f"{name}.{filter_id}.{speed}"


def confirmed(question: str) -> bool:
    """Return whether a question is answered with yes."""
    return bool(click.confirm(question, default=False, err=True))
