"""The columns of a series file as numbers."""

from __future__ import annotations

import datetime as dt
import math
import operator
import re
from collections.abc import Sequence

from sitegen.errors import Fault, Place
from sitegen.load.series_header import Header
from sitegen.load.series_rows import Row
from sitegen.model.scalars import NUMBER_PATTERN

_PLAIN = re.compile(r"[0-9eE+\-.\n ]*", re.ASCII)
_DECIMAL_COMMA = re.compile(r"[+-]?\d+(?:\.\d{3})*,\d+", re.ASCII)
_WHOLE = re.compile(r"\s*[+-]?\d+\s*", re.ASCII)
_NOT_FINITE = frozenset({"nan", "inf", "infinity", "∞"})
_MISSING = frozenset({"na", "n/a", "#n/a", "null", "none", "-", "--", "---", "missing"})


def fitting_rows(
    rows: Sequence[Row], header: Header, file: str, faults: list[Fault]
) -> list[Row]:
    """Return the rows that have a cell for each column.

    Args:
        rows: all rows below the header.
        header: what the columns hold.
        file: path below the archive.
        faults: takes what is wrong with the others.
    """
    fitting = []
    for position, row in enumerate(rows):
        if position == 0 and _is_unit_row(row):
            faults.append(Fault("series-unit-row", Place(file, row.line)))
        elif len(row.cells) == header.width:
            fitting.append(row)
        else:
            code, at = _misfit(row, header.width)
            found = {"found": str(len(row.cells)), "wanted": str(header.width)}
            place = Place(file, row.line, row.column(at))
            faults.append(Fault(code, place, "", found))
    return fitting


def _is_unit_row(row: Row) -> bool:
    cells = [cell.strip() for cell in row.cells]
    return all(
        cell and cell[0] not in "+-.0123456789" and cell.lower() not in _NOT_FINITE
        for cell in cells
    ) and not all(cell.lower() in _MISSING for cell in cells)


def _misfit(row: Row, width: int) -> tuple[str, int]:
    """Return the code for a row of another width, and the cell to point at."""
    if len(row.cells) < width:
        return "series-cells", len(row.cells) - 1
    extra = row.cells[width:]
    if all(not cell.strip() for cell in extra):
        return "series-trailing-comma", width
    if len(row.cells) <= 2 * width and all(map(_WHOLE.fullmatch, row.cells)):
        return "series-decimal-comma", 0
    return "series-cells", width


def read_numbers(
    rows: Sequence[Row], at: int, name: str, file: str, faults: list[Fault]
) -> list[float]:
    """Return a column's numbers, shape (n,); NaN where a cell is empty.

    Args:
        rows: rows that have the column.
        at: position of the column, counted from 0.
        name: its name, for faults.
        file: path below the archive.
        faults: takes what is wrong.
    """
    cells = [row.cells[at] for row in rows]
    if _PLAIN.fullmatch("\n".join(cells)):
        try:
            values = [float(cell) if cell else math.nan for cell in cells]
        except ValueError:
            values = [math.inf]
        if math.inf not in values and -math.inf not in values:
            return values
    return [_number(row, at, name, file, faults) for row in rows]


def _number(row: Row, at: int, name: str, file: str, faults: list[Fault]) -> float:
    text = row.cells[at].strip()
    if not text:
        return math.nan
    if NUMBER_PATTERN.fullmatch(text) and math.isfinite(float(text)):
        return float(text)
    word = text.lower().lstrip("+-")
    if word in _NOT_FINITE or NUMBER_PATTERN.fullmatch(text):
        code = "series-not-finite"
    elif _DECIMAL_COMMA.fullmatch(text):
        code = "series-decimal-comma"
    elif text.lower() in _MISSING:
        code = "series-missing-word"
    else:
        code = "series-not-a-number"
    place = Place(file, row.line, row.column(at))
    faults.append(Fault(code, place, name, {"value": text[:60]}))
    return math.nan


def read_times(
    rows: Sequence[Row], header: Header, file: str, faults: list[Fault]
) -> list[float]:
    """Return elapsed time, minutes, shape (n,).

    Args:
        rows: rows that have all columns.
        header: what the columns hold; it names the form of the time.
        file: path below the archive.
        faults: takes what is wrong, also times that do not increase.
    """
    if header.time == "time":
        minutes = _clock_minutes(rows, file, faults)
    else:
        per_minute = 60.0 if header.time == "elapsed_s" else 1.0
        numbers = read_numbers(rows, 0, header.time, file, faults)
        minutes = [number / per_minute for number in numbers]
    _check_order(rows, minutes, header.time, file, faults)
    return minutes


def _clock_minutes(rows: Sequence[Row], file: str, faults: list[Fault]) -> list[float]:
    minutes = []
    first: dt.datetime | None = None
    for row in rows:
        moment = _moment(row, file, faults)
        if moment is None:
            minutes.append(math.nan)
            continue
        first = first or moment
        minutes.append((moment - first).total_seconds() / 60.0)
    return minutes


def _moment(row: Row, file: str, faults: list[Fault]) -> dt.datetime | None:
    text = row.cells[0].strip()
    if not text:
        return None
    values = {"value": text[:60]}
    place = Place(file, row.line, row.column(0))
    try:
        moment = dt.datetime.fromisoformat(text)
    except ValueError:
        faults.append(Fault("series-time-form", place, "time", values))
        return None
    if moment.tzinfo is None:
        faults.append(Fault("series-no-offset", place, "time", values))
        return None
    return moment


def _check_order(
    rows: Sequence[Row],
    minutes: Sequence[float],
    name: str,
    file: str,
    faults: list[Fault],
) -> None:
    if all(map(operator.lt, minutes, minutes[1:])) and not math.isnan(sum(minutes)):
        return
    before = -math.inf
    before_row: Row | None = None
    for row, minute in zip(rows, minutes, strict=True):
        place = Place(file, row.line, row.column(0))
        if math.isnan(minute):
            if not row.cells[0].strip():
                faults.append(Fault("series-no-time", place, name))
            continue
        if minute <= before and before_row is not None:
            code = "series-time-repeated" if minute == before else "series-time-back"
            values = {
                "value": row.cells[0].strip()[:60],
                "before": before_row.cells[0].strip()[:60],
                "line": str(before_row.line),
            }
            faults.append(Fault(code, place, name, values))
        before, before_row = minute, row
