"""A raw log is read by the form that describes it: bytes become times and readings."""

from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import dataclass

import numpy as np

from sitegen.desk.intake.cells import Cells, read_cells
from sitegen.desk.intake.decoded import log_text
from sitegen.desk.intake.order import Rows, each_once, runs_backward
from sitegen.desk.intake.readings import (
    check_columns,
    read_fractions,
    without_unit_row,
)
from sitegen.desk.intake.times import Clock, Micros, read_clock
from sitegen.desk.intake.zones import to_utc, zone_named
from sitegen.errors import Fault, Place, is_fault
from sitegen.model import Instrument
from sitegen.model.bench import LogForm


@dataclass(frozen=True, slots=True, eq=False)
class ReadLog:
    """One raw log, read.

    Attributes:
        name: name of the file.
        digest: SHA-256 of its bytes, in hexadecimal.
        instrument: id of the instrument that wrote it.
        rows: times and readings, in order of time.
        zone: zone of its clock; nothing when it says elapsed time only.
        notes: what was seen and done, as warnings.
    """

    name: str
    digest: str
    instrument: str
    rows: Rows
    zone: dt.tzinfo | None
    notes: tuple[Fault, ...]


def read_log(
    data: bytes,
    name: str,
    form: LogForm,
    instrument: Instrument,
    day: dt.date | None = None,
) -> tuple[ReadLog | None, tuple[Fault, ...]]:
    """Return what a raw log holds, and everything that is to be said of it.

    Args:
        data: bytes of the log.
        name: name of the file.
        form: how it reads.
        instrument: the instrument that wrote it.
        day: the day on which it begins, for a log whose times have no date.

    Returns:
        The log, or nothing when there is a fault; faults and warnings.
    """
    faults: list[Fault] = []
    read = _read(data, name, form, instrument, day, faults)
    if read is None or any(map(is_fault, faults)):
        return None, tuple(faults)
    rows, zone = read
    digest = hashlib.sha256(data).hexdigest()
    log = ReadLog(name, digest, instrument.id, rows, zone, tuple(faults))
    return log, tuple(faults)


def _read(
    data: bytes,
    name: str,
    form: LogForm,
    instrument: Instrument,
    day: dt.date | None,
    faults: list[Fault],
) -> tuple[Rows, dt.tzinfo | None] | None:
    text = log_text(data, name, form.encoding, faults)
    if text is None:
        return None
    cells = read_cells(text, form, name, faults)
    if cells is None or not check_columns(cells, form, name, faults):
        return None
    cells, units = without_unit_row(cells, form, name, faults)
    cells = _without_blank_rows(cells, form)
    clock = read_clock(cells, form.time, day, name, faults)
    if clock is not None and (form.newest_first or runs_backward(clock.us)):
        order = np.arange(clock.us.size)[::-1]
        cells = cells.kept(order)
        clock = Clock(clock.us[order], clock.kind, clock.offset_min)
        if not form.newest_first:
            place = Place(name, int(cells.lines[-1]))
            faults.append(Fault("intake-turned", place))
    readings = read_fractions(cells, units, form, instrument, name, faults)
    if clock is None:
        return None
    placed = _placed(clock, cells, form, name, faults)
    if placed is None or any(map(is_fault, faults)):
        return None
    us, zone = placed
    rows = each_once(Rows(us, cells.lines, readings), form.time.repeated, name, faults)
    return None if rows is None else (rows, zone)


def _without_blank_rows(cells: Cells, form: LogForm) -> Cells:
    """Return the cells without rows that have neither time nor reading."""
    wanted = [cells.column(name) for name in (*form.time.columns, *form.columns)]
    if all(wanted[0]):
        return cells
    rows = zip(*wanted, strict=True)
    filled = [any(cell.strip() for cell in row) for row in rows]
    return cells.kept(np.array(filled, dtype=np.bool_))


def _placed(
    clock: Clock, cells: Cells, form: LogForm, name: str, faults: list[Fault]
) -> tuple[Micros, dt.tzinfo | None] | None:
    """Return the times in UTC with the zone of the log's clock, or elapsed."""
    if clock.kind == "elapsed":
        return clock.us, None
    stated = form.time.zone
    zone = zone_named(stated, name, faults) if stated else None
    if clock.kind == "utc":
        ahead = dt.timedelta(minutes=clock.offset_min or 0)
        return clock.us, zone or dt.timezone(ahead)
    if zone is None:
        if not stated:
            faults.append(Fault("intake-no-zone", Place(name), "time.zone"))
        return None
    us = to_utc(clock.us, zone, cells.lines, name, faults)
    return None if us is None else (us, zone)
