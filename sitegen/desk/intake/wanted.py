"""What the tester says of a run, and what follows from the archive alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import get_args

from sitegen.desk.opened import OpenArchive
from sitegen.errors import UsageFault, usage_fault
from sitegen.load.guesses import listed
from sitegen.model import NO_FILTER, DecayMethod, Device, Instrument
from sitegen.model.configuration import parse_configuration
from sitegen.model.run import Event

EVENTS: tuple[str, ...] = get_args(Event.model_fields["what"].annotation)
_SHOWN_AT_MOST = 12


@dataclass(frozen=True, slots=True)
class Wanted:
    """One run as the tester asks for it; what is not said is ``None`` or empty.

    Attributes:
        logs: the raw logs.
        instruments: ids of the instruments that wrote them, in the same order.
        stated: what is said of how the logs read, each ``FIELD=VALUE``.
        natural: whether it is a natural decay.
        of: the configuration, ``DEVICE.FILTER.SPEED``.
        specimen: which unit of the device.
        filter_hours: hours that the filter had run before.
        method: id of the method.
        run: id of the run, which is the name of its series too.
        events: what happened when, each ``WHAT=WHEN``.
        first: where the run begins in the logs.
        last: where it ends.
        started: moment of the first row of a log of elapsed time.
        day: day on which a log without dates begins.
        temperature_c: air temperature, °C.
        humidity_pct: relative humidity, %.
        note: a remark.
    """

    logs: tuple[Path, ...]
    instruments: tuple[str, ...] = ()
    stated: tuple[str, ...] = ()
    natural: bool = False
    of: str | None = None
    specimen: str | None = None
    filter_hours: float | None = None
    method: str | None = None
    run: str | None = None
    events: tuple[str, ...] = ()
    first: str | None = None
    last: str | None = None
    started: dt.datetime | None = None
    day: dt.date | None = None
    temperature_c: float | None = None
    humidity_pct: float | None = None
    note: str | None = None


def usage(code: str, field: str, **values: str) -> UsageFault:
    """Return the fault of an option, with the words of a code."""
    return usage_fault("intake", code, field, **values)


def choose(what: str, option: str, choices: Collection[str]) -> UsageFault:
    """Return the fault of something that has to be chosen by an option."""
    some = sorted(choices)[:_SHOWN_AT_MOST]
    more = len(choices) - len(some)
    told = listed(some) + (f" (and {more} more)" if more > 0 else "")
    return usage(
        "intake-choose",
        "",
        what=what,
        option=option,
        choices=told or f"no {what} is described yet",
    )


def chosen_method(archive: OpenArchive, name: str | None) -> DecayMethod:
    """Return the decay method named, or the only one that is not replaced.

    Raises:
        UsageFault: if it does not exist, or several come into question.
    """
    if name is not None:
        return archive.record("method", name, DecayMethod, "--method")
    methods = archive.records("method", DecayMethod)
    current = [method for method in methods if method.replaced_by is None]
    if len(current) != 1:
        choices = [method.id for method in current or methods]
        raise choose("method", "--method ID", choices)
    return current[0]


def chosen_instruments(
    archive: OpenArchive, names: Sequence[str], logs: int, method: DecayMethod
) -> tuple[Instrument, ...]:
    """Return the instruments that wrote the logs, one for each.

    Raises:
        UsageFault: if one does not exist, or several come into question.
    """
    if not names and logs == 1 and len(method.instruments) == 1:
        names = method.instruments
    if len(names) != logs:
        raise choose(
            "instrument of each log",
            "--instrument ID for each log, in the same order",
            method.instruments,
        )
    found = [archive.record("instrument", n, Instrument, "--instrument") for n in names]
    for instrument in found:
        if not instrument.fractions:
            particle = [
                one.id for one in archive.records("instrument", Instrument)
                if one.fractions
            ]  # fmt: skip
            raise choose("particle instrument", "--instrument ID", particle)
    return tuple(found)


def chosen_configuration(
    archive: OpenArchive, wanted: Wanted
) -> tuple[str, str, str, str] | None:
    """Return device, specimen, filter and speed; nothing for a natural decay.

    Raises:
        UsageFault: if one of them does not exist, or is not said.
    """
    if wanted.natural:
        return None
    if wanted.of is None:
        devices = archive.records("device", Device)
        choices = [
            f"{device.id}.{name}.{speed.id}"
            for device in devices
            for name in [*(part.id for part in device.filters), NO_FILTER][:1]
            for speed in device.speeds
        ]
        raise choose("configuration", "--of DEVICE.FILTER.SPEED, or --natural", choices)
    named = parse_configuration(wanted.of)
    if named is None:
        raise usage("not-a-configuration", "--of", value=wanted.of)
    device = archive.record("device", named.device, Device, "--of")
    filters = [part.id for part in device.filters]
    if named.filter not in {*filters, NO_FILTER}:
        raise choose("filter", "--of DEVICE.FILTER.SPEED", [*filters, NO_FILTER])
    speeds = [speed.id for speed in device.speeds]
    if named.speed not in speeds:
        raise choose("speed", "--of DEVICE.FILTER.SPEED", speeds)
    specimens = [specimen.id for specimen in device.specimens]
    specimen = wanted.specimen
    if specimen is None and len(specimens) == 1:
        specimen = specimens[0]
    if specimen not in specimens:
        raise choose("specimen", "--specimen ID", specimens)
    return named.device, str(specimen), named.filter, named.speed


def event_words(text: str) -> tuple[str, str]:
    """Return what happened and when, of an option ``WHAT=WHEN``.

    Raises:
        UsageFault: if it is not of that form.
    """
    what, mark, when = text.partition("=")
    if not mark or what.strip() not in EVENTS:
        raise usage("intake-event", "--event", value=text, choices=listed(EVENTS))
    return what.strip(), when.strip()
