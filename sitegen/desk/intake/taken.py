"""The logs of one run are read, and the part that is the run is taken out."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitegen.desk.intake.forms import KnownForm, known_form, stated_fields
from sitegen.desk.intake.joined import (
    LEAST_ROWS,
    LONGEST_H,
    Joined,
    join,
    part_of,
    peaks,
)
from sitegen.desk.intake.log import ReadLog, read_log
from sitegen.desk.intake.moments import micros_of, moment_of, named_moment
from sitegen.desk.intake.order import Rows
from sitegen.desk.intake.wanted import Wanted, chosen_instruments, chosen_method
from sitegen.desk.opened import OpenArchive
from sitegen.errors import Fault, FaultsFound, Place
from sitegen.model import DecayMethod, Instrument


@dataclass(frozen=True, slots=True, eq=False)
class Taken:
    """The logs of a run, read.

    Attributes:
        logs: the logs, with their times in UTC.
        forms: how each reads, with what was guessed.
        instruments: the instruments that wrote them.
        method: the method of the run.
        joined: the part that is the run.
    """

    logs: tuple[ReadLog, ...]
    forms: tuple[KnownForm, ...]
    instruments: tuple[Instrument, ...]
    method: DecayMethod
    joined: Joined

    @property
    def guessed(self) -> bool:
        """Whether any form was guessed, so that somebody has to confirm it."""
        return any(known.guesses for known in self.forms)

    @property
    def peak_min(self) -> float:
        """Minute at which the level of the first readings is highest."""
        values = next(iter(self.joined.readings.values()))
        at = 0 if np.all(np.isnan(values)) else int(np.nanargmax(values))
        return float(self.joined.elapsed_s[at] / 60)


class NotUnderstood(FaultsFound):
    """A log cannot be read; what was guessed before that is kept to be shown."""

    def __init__(
        self, faults: Sequence[Fault], known: KnownForm | None, log: str = ""
    ) -> None:
        """Keep the faults and the guesses.

        Args:
            faults: faults and warnings.
            known: how the log seems to read.
            log: its name.
        """
        super().__init__(faults)
        self.known = known
        self.log = log


def take(archive: OpenArchive, wanted: Wanted) -> Taken:
    """Read the logs of a run and take out the part that is the run.

    Raises:
        UsageFault: if an option is missing or not understood.
        NotUnderstood: if a log has faults.
    """
    stated = stated_fields(wanted.stated)
    method = chosen_method(archive, wanted.method)
    instruments = chosen_instruments(
        archive, wanted.instruments, len(wanted.logs), method
    )
    logs, forms = [], []
    for path, instrument in zip(wanted.logs, instruments, strict=True):
        data = path.read_bytes()
        known = known_form(data, path.name, instrument, stated)
        if known.form is None:
            raise NotUnderstood(known.faults, known, path.name)
        log, faults = read_log(data, path.name, known.form, instrument, wanted.day)
        if log is None:
            seems = _seems(data, path.name, instrument, known)
            raise NotUnderstood(faults, seems, path.name)
        logs.append(_in_utc(log, wanted))
        forms.append(known)
    parts = _parts(logs, wanted)
    joined, faults = join(parts)
    if joined is None:
        raise NotUnderstood(faults, None)
    return Taken(tuple(parts), tuple(forms), instruments, method, joined)


def _seems(
    data: bytes, name: str, instrument: Instrument, known: KnownForm
) -> KnownForm | None:
    """Return how a log seems to read that does not read as its record says."""
    if instrument.log is None:
        return known
    bare = instrument.model_copy(update={"log": None})
    seems = known_form(data, name, bare, {})
    return seems if seems.guesses and seems.form != known.form else None


def _in_utc(log: ReadLog, wanted: Wanted) -> ReadLog:
    if log.zone is not None:
        return log
    if wanted.started is None:
        raise NotUnderstood([Fault("intake-no-start", Place(log.name))], None)
    us = log.rows.us - log.rows.us[0] + micros_of(wanted.started)
    rows = Rows(us, log.rows.lines, log.rows.readings)
    zone = wanted.started.tzinfo
    return ReadLog(log.name, log.digest, log.instrument, rows, zone, log.notes)


def _parts(logs: Sequence[ReadLog], wanted: Wanted) -> list[ReadLog]:
    zone = logs[0].zone
    assert zone is not None  # noqa: S101 - given by _in_utc
    origin = int(logs[0].rows.us[0])
    first = last = None
    if wanted.first is not None:
        first = named_moment(wanted.first, origin, zone, "--from")
    if wanted.last is not None:
        last = named_moment(wanted.last, first or origin, zone, "--to")
        if re.fullmatch(r"-?[\d.]+", wanted.last.strip()):
            last = named_moment(wanted.last, origin, zone, "--to")
    parts = []
    for log in logs:
        part = part_of(log, first, last)
        _check_part(part, log)
        parts.append(part)
    return parts


def _check_part(part: ReadLog, log: ReadLog) -> None:
    us = part.rows.us
    assert log.zone is not None  # noqa: S101 - given by _in_utc
    if us.size < LEAST_ROWS:
        values = {
            "count": str(us.size),
            "least": str(LEAST_ROWS),
            "first": f"{moment_of(int(log.rows.us[0]), log.zone):%Y-%m-%d %H:%M}",
            "last": f"{moment_of(int(log.rows.us[-1]), log.zone):%Y-%m-%d %H:%M}",
        }
        fault = Fault("intake-little", Place(log.name), "", values)
        raise NotUnderstood([*log.notes, fault], None)
    hours = (us[-1] - us[0]) / 3600e6
    if hours <= LONGEST_H:
        return
    tops = peaks(us, next(iter(part.rows.readings.values())))
    shown = [f"{moment_of(top, log.zone):%Y-%m-%d %H:%M}" for top in tops[:6]]
    more = f" and {len(tops) - 6} more" if len(tops) > 6 else ""
    values = {
        "hours": f"{hours:.3g}",
        "most": f"{LONGEST_H:g}",
        "rises": f"levels are highest at {', '.join(shown)}{more}",
    }
    fault = Fault("intake-long", Place(log.name), "", values)
    raise NotUnderstood([*log.notes, fault], None)
