"""The header of a series file: which column holds what."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import get_args

from sitegen.errors import Fault, Place
from sitegen.load.guesses import guess, listed
from sitegen.load.series_rows import Row
from sitegen.model.scalars import NUMBER_PATTERN, Fraction

TIME_COLUMNS = ("elapsed_min", "elapsed_s", "time")
MOST_COLUMNS = 200
_FRACTIONS: tuple[str, ...] = get_args(Fraction)


@dataclass(frozen=True, slots=True)
class Column:
    """A column of readings.

    Attributes:
        at: its position in a row, counted from 0.
        name: its name as written.
        instrument: id of the instrument, or ``""`` when the name has a fault.
        fraction: size fraction, or ``""`` likewise.
    """

    at: int
    name: str
    instrument: str
    fraction: str


@dataclass(frozen=True, slots=True)
class Header:
    """What the columns of a series file hold.

    Attributes:
        width: number of columns.
        time: name of the first column, or ``""`` when it is no time.
        columns: the columns of readings.
    """

    width: int
    time: str
    columns: tuple[Column, ...]


def read_header(
    row: Row,
    file: str,
    instruments: Mapping[str, Collection[str]] | None,
    faults: list[Fault],
) -> Header | None:
    """Return what the columns hold; nothing when the rows cannot be read either.

    Args:
        row: the first row.
        file: path below the archive.
        instruments: size fractions by instrument, or nothing when not to be checked.
        faults: takes what is wrong.
    """
    for mark, code in ((";", "series-semicolons"), ("\t", "series-tabs")):
        if row.text.count(mark) > row.text.count(","):
            place = Place(file, row.line, row.text.index(mark) + 1)
            faults.append(Fault(code, place))
            return None
    if len(row.cells) > MOST_COLUMNS:
        values = {"found": str(len(row.cells)), "most": str(MOST_COLUMNS)}
        faults.append(Fault("series-too-wide", Place(file, row.line), "", values))
        return None
    names = [cell.strip() for cell in row.cells]
    if all(NUMBER_PATTERN.fullmatch(name) or not name for name in names):
        faults.append(Fault("series-no-header", Place(file, row.line)))
        return None
    time = names[0] if names[0] in TIME_COLUMNS else ""
    if not time:
        values = {"name": names[0], **guess(names[0], TIME_COLUMNS)}
        place = Place(file, row.line, 1)
        faults.append(Fault("series-no-time-column", place, "", values))
    columns = []
    for at, name in enumerate(names[1:], start=1):
        place = Place(file, row.line, row.column(at))
        code, values = _complaint(name, names[:at], instruments)
        if code:
            faults.append(Fault(code, place, name, values))
        instrument, _, fraction = name.partition(".") if not code else ("", "", "")
        columns.append(Column(at, name, instrument, fraction))
    if not columns:
        faults.append(Fault("series-no-readings", Place(file, row.line)))
    return Header(len(names), time, tuple(columns))


def _complaint(
    name: str, before: list[str], instruments: Mapping[str, Collection[str]] | None
) -> tuple[str, dict[str, str]]:
    """Return code and values of what is wrong with a name; ``""`` when nothing is."""
    if not name:
        return "series-empty-column", {}
    if name in before:
        return "series-column-twice", {"name": name}
    if name in TIME_COLUMNS:
        return "series-two-times", {"name": name}
    return _unknown(name, instruments)


def _unknown(
    name: str, instruments: Mapping[str, Collection[str]] | None
) -> tuple[str, dict[str, str]]:
    instrument, dot, fraction = name.partition(".")
    if not dot or not instrument or not fraction:
        return "series-column-name", {"name": name}
    if instruments is not None and instrument not in instruments:
        choices = listed(sorted(instruments)) or "none so far"
        values = {"value": instrument, "choices": choices}
        return "series-unknown-instrument", values | guess(instrument, instruments)
    fractions = sorted(instruments[instrument]) if instruments else _FRACTIONS
    if fraction not in fractions:
        values = {"value": fraction, "instrument": instrument}
        values |= {"choices": listed(fractions), **guess(fraction, fractions)}
        return "series-unknown-fraction", values
    return "", {}
