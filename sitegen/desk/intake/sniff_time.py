"""Which columns of a log hold its time, and how it is written."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Any

import numpy as np

from sitegen.desk.intake.cells import Cells
from sitegen.desk.intake.times import strptime_form, time_texts
from sitegen.errors import Fault, Place

_SAMPLE = 200
_ROWS = 20_000
_OFFSET = re.compile(r"\d(?:Z|[+-]\d{2}:?\d{2})$")
_TIME_NAMES = re.compile(
    r"elapsed|time|clock|epoch|unix|stamp|sec|min|^t$|^t[ _(\[]|^ms$|^s$", re.IGNORECASE
)
_UNIT_WORDS = (
    ("ms", re.compile(r"\bms\b|_ms$|millis", re.IGNORECASE)),
    ("min", re.compile(r"\bmin(?:utes?)?\b|_min$", re.IGNORECASE)),
    ("h", re.compile(r"\bh(?:ours?)?\b|_h$", re.IGNORECASE)),
    ("s", re.compile(r"\bs(?:ec(?:onds?)?)?\b|_s(?:ec)?$", re.IGNORECASE)),
)
_EPOCHS = (("s", 1e9), ("ms", 1e12), ("us", 1e15))
_EPOCH_SPAN = 5.0
_PARTS = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})(?!\d)")

Told = dict[str, str]


def is_dated(cell: str) -> bool:
    """Return whether a cell is a date, a time of day, or both."""
    return _kind(cell) != ""


def _kind(cell: str) -> str:
    """Return ``both``, ``date``, ``clock`` or ``""``."""
    text = cell.strip()
    if _OFFSET.search(text):
        text = re.sub(r"(?:Z|[+-]\d{2}:?\d{2})$", "", text)
    for form in ("iso", "day-month"):
        known = strptime_form(text, form)
        if known:
            return "both" if "%M" in known else "date"
    is_clock = ":" in text and strptime_form(text, "clock")
    return "clock" if is_clock else ""


def guess_time(
    cells: Cells, stated: Mapping[str, Any], file: str, faults: list[Fault]
) -> tuple[dict[str, Any], Told]:
    """Return the ``time`` part of a log's form, and the evidence by field.

    Args:
        cells: the rows, without a row of units.
        stated: what the tester stated of it.
        file: name of the log, for the places of faults.
        faults: takes what cannot be known from the log.
    """
    time: dict[str, Any] = dict(stated)
    told: Told = {}
    # Days change rarely: of a very long log, evenly spaced rows show all of them.
    cells = cells.kept(np.arange(0, len(cells.lines), 1 + len(cells.lines) // _ROWS))
    if "columns" not in time:
        found = _columns(cells, file, faults)
        if found is None:
            return time, told
        time["columns"], told["columns"] = found
    if any(name not in cells.names for name in time["columns"]):
        return time, told  # the check of columns tells which
    texts = [text.strip() for text in time_texts(cells, time["columns"])]
    if "form" not in time:
        form, evidence = _form(texts, time["columns"], cells, file, faults)
        if form is None:
            return time, told
        time["form"], told["form"] = form, evidence
    if "unit" not in time and time["form"] in {"elapsed", "epoch"}:
        unit, evidence = _unit(texts, time, cells, file, faults)
        if unit is not None:
            time["unit"], told["unit"] = unit, evidence
    return time, told


def _columns(
    cells: Cells, file: str, faults: list[Fault]
) -> tuple[list[str], str] | None:
    kinds = {
        name: _common(column[:_SAMPLE])
        for name, column in zip(cells.names, cells.columns, strict=True)
    }
    place = Place(file, cells.header_line)
    both = [name for name, kind in kinds.items() if kind == "both"]
    dates = [name for name, kind in kinds.items() if kind == "date"]
    clocks = [name for name, kind in kinds.items() if kind == "clock"]
    for several in (both, dates, clocks):
        if len(several) > 1:
            values = {"names": ", ".join(f'"{name}"' for name in several)}
            faults.append(Fault("intake-times-alike", place, "time.columns", values))
            return None
    if both:
        return both, "its cells are dates with a time of day"
    if dates and clocks:
        return [dates[0], clocks[0]], "dates in the one, times of day in the other"
    if clocks:
        return clocks, "its cells are times of day"
    for name, column in zip(cells.names, cells.columns, strict=True):
        if _TIME_NAMES.search(name) and _rises(column[:_SAMPLE]):
            return [name], "its name, and its numbers run one way"
    values = {"columns": ", ".join(f'"{name}"' for name in cells.names[:12])}
    faults.append(Fault("intake-no-time-column", place, "time.columns", values))
    return None


def _common(column: Iterable[str]) -> str:
    kinds = [_kind(cell) for cell in column if cell.strip()]
    if not kinds:
        return ""
    most = max(set(kinds), key=kinds.count)
    return most if kinds.count(most) > len(kinds) / 2 else ""


def _rises(column: Iterable[str]) -> bool:
    try:
        numbers = [float(cell.strip().replace(",", ".")) for cell in column]
    except ValueError:
        return False
    steps = np.diff(numbers)
    return bool(np.all(steps >= 0) or np.all(steps <= 0))


def _form(
    texts: list[str],
    columns: list[str],
    cells: Cells,
    file: str,
    faults: list[Fault],
) -> tuple[str | None, str]:
    first = next((text for text in texts if text), "")
    at = f'"{first}" on line {int(cells.lines[0])}'
    bare = re.sub(r"(?<=\d)(?:Z|[+-]\d{2}:?\d{2})$", "", first)
    if strptime_form(bare, "iso"):
        return "iso", f"{at} has the year first"
    if strptime_form(first, "day-month"):
        return _day_or_month(texts, cells, file, faults)
    if ":" in first:
        named = any("elapsed" in name.lower() for name in columns)
        if named:
            return "elapsed", f"the name of the column, and {at}"
        return "clock", f"{at} has no date"
    try:
        number = abs(float(first.replace(",", ".")))
    except ValueError:
        place = Place(file, cells.header_line)
        values = {"columns": ", ".join(f'"{name}"' for name in cells.names[:12])}
        faults.append(Fault("intake-no-time-column", place, "time.columns", values))
        return None, ""
    if number >= _EPOCHS[0][1] / _EPOCH_SPAN:
        return "epoch", f"{at} is as large as a count from 1970"
    return "elapsed", f"{at} is too small for a count from 1970"


def _day_or_month(
    texts: list[str], cells: Cells, file: str, faults: list[Fault]
) -> tuple[str | None, str]:
    """Tell day and month apart by a number above 12, or by the turn of a day."""
    days: dict[tuple[int, int, str], int] = {}
    for text, line in zip(texts, cells.lines, strict=True):
        found = _PARTS.match(text)
        if found:
            key = (int(found[1]), int(found[2]), found[3])
            days.setdefault(key, int(line))
    first_over = [(key, line) for key, line in days.items() if key[0] > 12]
    second_over = [(key, line) for key, line in days.items() if key[1] > 12]
    if first_over and not second_over:
        (day, _, _), line = first_over[0]
        return "day-month", f"the first number is {day} on line {line}"
    if second_over and not first_over:
        (_, day, _), line = second_over[0]
        return "month-day", f"the second number is {day} on line {line}"
    turned = _by_midnight(list(days))
    if turned:
        line = list(days.values())[1]
        return turned, f"only so do the dates follow each other on line {line}"
    first = next(text for text in texts if text)
    values = {"value": first}
    parts = _PARTS.match(first)
    if parts:
        values["one"] = _spelt(int(parts[1]), int(parts[2]))
        values["other"] = _spelt(int(parts[2]), int(parts[1]))
    place = Place(file, int(cells.lines[0]))
    faults.append(Fault("intake-day-or-month", place, "time.form", values))
    return None, ""


def _spelt(day: int, month: int) -> str:
    try:
        return dt.date(2000, month, day).strftime("%d %B").lstrip("0")
    except ValueError:
        return "no day at all"


def _by_midnight(days: list[tuple[int, int, str]]) -> str | None:
    if len(days) < 2:
        return None
    possible = []
    for form in ("day-month", "month-day"):
        dates = []
        for first, second, year_text in days:
            year = int(year_text) + (2000 if len(year_text) == 2 else 0)
            day, month = (first, second) if form == "day-month" else (second, first)
            try:
                dates.append(dt.date(year, month, day))
            except ValueError:
                break
        steps = {abs((b - a).days) for a, b in pairwise(dates)}
        if len(dates) == len(days) and steps == {1}:
            possible.append(form)
    return possible[0] if len(possible) == 1 else None


def _unit(
    texts: list[str],
    time: Mapping[str, Any],
    cells: Cells,
    file: str,
    faults: list[Fault],
) -> tuple[str | None, str]:
    name = time["columns"][0]
    if time["form"] == "epoch":
        number = abs(float(texts[0].replace(",", ".")))
        for unit, scale in _EPOCHS:
            if scale / _EPOCH_SPAN <= number <= scale * _EPOCH_SPAN:
                return unit, f'"{texts[0]}" is a date of our time only so'
    if any(":" in text for text in texts[:1]):
        return "s", "the time is written as hours, minutes and seconds"
    for unit, pattern in _UNIT_WORDS:
        if pattern.search(name):
            return unit, f'the column is called "{name}"'
    values = {"name": name, "value": texts[0]}
    place = Place(file, cells.header_line)
    faults.append(Fault("intake-elapsed-unit", place, "time.unit", values))
    return None, ""
