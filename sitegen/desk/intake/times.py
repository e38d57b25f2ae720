"""Time cells of a raw log become microseconds, as the log's own clock has them."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitegen.desk.intake.cells import Cells, Texts
from sitegen.desk.intake.fixed_width import fixed_width_us
from sitegen.errors import Fault, Place
from sitegen.model.bench import LogTime

Micros = NDArray[np.int64]
PER_UNIT_US = {
    "us": 1.0,
    "ms": 1e3,
    "s": 1e6,
    "min": 60e6,
    "h": 3600e6,
}
_YEARS = (1990, 2100)
_SHOWN = 5
_FORMS_AT_MOST = 6
_YEAR_FIRST = r"(?P<a>\d{4})(?P<by>[-/.])(?P<b>\d{1,2})(?P=by)(?P<c>\d{1,2})"
_YEAR_LAST = r"(?P<a>\d{1,2})(?P<by>[-/.])(?P<b>\d{1,2})(?P=by)(?P<c>\d{4}|\d{2})"
_CLOCK = (
    r"(?P<h>\d{1,2})(?P<sep>[:.])\d{2}(?P<s>(?P=sep)\d{2}(?P<f>[.,]\d{1,6})?)?"
    r"(?P<m> ?[AaPp][Mm])?"
)
_OFFSET = re.compile(r"(?:Z|[+-]\d{2}:?\d{2})$")
_DATED = {
    "iso": re.compile(rf"{_YEAR_FIRST}(?P<t>[ T]+{_CLOCK})?", re.ASCII),
    "day-month": re.compile(rf"{_YEAR_LAST}(?P<t>,?[ T]+{_CLOCK})?", re.ASCII),
    "clock": re.compile(_CLOCK, re.ASCII),
}
_DATED["month-day"] = _DATED["day-month"]
_ELAPSED = re.compile(r"(\d+):([0-5]\d):([0-5]\d(?:[.,]\d+)?)", re.ASCII)


@dataclass(frozen=True, slots=True, eq=False)
class Clock:
    """What a log's time cells say.

    Attributes:
        us: microseconds, shape (n,): since 1970 by the log's own clock (or by UTC),
            or elapsed.
        kind: ``local`` (needs a zone), ``utc`` or ``elapsed``.
        offset_min: minutes ahead of UTC at the first row, where the text says it.
    """

    us: Micros
    kind: str
    offset_min: int | None = None


def time_texts(cells: Cells, columns: Sequence[str]) -> Texts:
    """Return the time of each row as one text, shape (n,)."""
    joined: Texts = cells.column(columns[0])
    for name in columns[1:]:
        pairs = zip(joined, cells.column(name), strict=True)
        joined = np.array([f"{a.strip()} {b.strip()}" for a, b in pairs], dtype=object)
    return joined


def strptime_form(text: str, form: str) -> str | None:
    """Return how a dated time is written, as ``strptime`` has it, or nothing.

    Args:
        text: a time without offset from UTC.
        form: ``iso``, ``day-month``, ``month-day`` or ``clock``.
    """
    found = _DATED[form].fullmatch(text)
    if found is None:
        return None
    parts = found.groupdict()
    date = ""
    if form != "clock":
        by = parts["by"]
        year = "%Y" if "4" in _width(parts["c"]) else "%y"
        order = {
            "iso": ("%Y", "%m", "%d"),
            "day-month": ("%d", "%m", year),
            "month-day": ("%m", "%d", year),
        }[form]
        date = by.join(order)
        if parts["t"] is None:
            return date
        date += parts["t"][: len(parts["t"]) - len(parts["t"].lstrip(", T"))]
    clock = "%I" if parts["m"] else "%H"
    clock += f"{parts['sep']}%M"
    if parts["s"]:
        clock += f"{parts['sep']}%S"
    if parts["f"]:
        clock += f"{parts['f'][0]}%f"
    if parts["m"]:
        clock += " %p" if parts["m"].startswith(" ") else "%p"
    return date + clock


def _width(text: str) -> str:
    return str(len(text))


def read_clock(
    cells: Cells,
    time: LogTime,
    day: dt.date | None,
    file: str,
    faults: list[Fault],
) -> Clock | None:
    """Return the time of each row, or nothing with a fault.

    Args:
        cells: the rows of the log.
        time: how it writes time.
        day: the day on which a log without dates begins.
        file: name of the log, for the places of faults.
        faults: takes what is wrong.
    """
    texts = time_texts(cells, time.columns)
    if time.form in {"epoch", "elapsed"}:
        return _numbers(texts, cells, time, file, faults)
    texts = np.array([text.strip() for text in texts], dtype=object)
    first = next((text for text in texts if text), "")
    if time.form == "iso" and _OFFSET.search(first):
        return _with_offset(texts, cells, time, file, faults)
    us = _dated(texts, time.form)
    if not _told(us, texts, cells, time, file, faults):
        return None
    if time.form == "clock":
        if day is None:
            values = {"value": first}
            faults.append(Fault("intake-no-date", Place(file), "", values))
            return None
        us = _over_midnight(us) + _days(day)
    return Clock(us, "local")


def _days(day: dt.date) -> int:
    return (day - dt.date(1970, 1, 1)).days * 86_400_000_000


def _over_midnight(us: Micros) -> Micros:
    """Return clock times of a log that runs past midnight, days counted on."""
    us = us - us.min() // 86_400_000_000 * 86_400_000_000
    steps = np.diff(us)
    half = 43_200_000_000
    turns = (steps < -half).astype(np.int64) - (steps > half).astype(np.int64)
    days = np.concatenate([[0], np.cumsum(turns)])
    return np.asarray(us + days * 86_400_000_000, dtype=np.int64)


_NOT_A_TIME = np.iinfo(np.int64).min


def _dated(texts: Texts, form: str) -> Micros:
    """Return microseconds since 1970 of local times; the least integer for none."""
    import pandas as pd  # noqa: PLC0415 - heavy

    us = np.full(texts.shape, _NOT_A_TIME, dtype=np.int64)
    left = np.arange(texts.size)
    for _ in range(_FORMS_AT_MOST):
        known = None
        for at in left[:_SHOWN]:
            known = strptime_form(texts[at], form)
            if known:
                break
        if known is None:
            break
        alike = fixed_width_us(texts[left], known)
        if alike is None:
            parsed = pd.to_datetime(
                pd.Series(texts[left]), format=known, errors="coerce", cache=False
            ).astype("datetime64[us]")
            values = parsed.to_numpy().astype(np.int64)
        else:
            values = alike
        us[left] = values
        left = left[values == _NOT_A_TIME]
        if not left.size:
            break
    if form == "clock":
        us[us != _NOT_A_TIME] %= 86_400_000_000
    return us


def _with_offset(
    texts: Texts, cells: Cells, time: LogTime, file: str, faults: list[Fault]
) -> Clock | None:
    import pandas as pd  # noqa: PLC0415 - heavy

    parsed = pd.to_datetime(
        pd.Series(texts), format="ISO8601", utc=True, errors="coerce"
    ).astype("datetime64[us, UTC]")
    us = parsed.dt.tz_localize(None).to_numpy().astype(np.int64)
    # Without an offset a row would pass for UTC.
    bare = [
        not (text.endswith("Z") or text[-6:-5] in {"+", "-"} or text[-5:-4] in "+-")
        for text in texts
    ]
    us[np.array(bare, dtype=np.bool_)] = _NOT_A_TIME
    if not _told(us, texts, cells, time, file, faults):
        return None
    offset = dt.datetime.fromisoformat(texts[0]).utcoffset()
    minutes = int(offset.total_seconds() // 60) if offset is not None else 0
    return Clock(us, "utc", minutes)


def _numbers(
    texts: Texts, cells: Cells, time: LogTime, file: str, faults: list[Fault]
) -> Clock | None:
    try:
        numbers = texts.astype(np.float64)
    except ValueError:
        numbers = np.array([_elapsed(text, time.form) for text in texts])
        numbers[np.isnan(numbers)] = np.inf
    scale = PER_UNIT_US[time.unit]
    if any(":" in text for text in texts[:_SHOWN]):
        scale = 1e6
    good = np.isfinite(numbers) & (np.abs(numbers) * scale < 2**62)
    us = np.full(texts.shape, _NOT_A_TIME, dtype=np.int64)
    us[good] = np.round(numbers[good] * scale).astype(np.int64)
    if not _told(us, texts, cells, time, file, faults):
        return None
    if time.form == "epoch":
        year = 1970 + float(np.median(us)) / 31_556_952e6
        if not _YEARS[0] <= year <= _YEARS[1]:
            values = {"value": str(texts[0]), "unit": time.unit, "year": f"{year:.0f}"}
            place = Place(file, int(cells.lines[0]))
            faults.append(Fault("intake-epoch-unit", place, "time.unit", values))
            return None
        return Clock(us, "utc")
    return Clock(us, "elapsed")


def _elapsed(text: str, form: str) -> float:
    text = text.strip()
    found = _ELAPSED.fullmatch(text) if form == "elapsed" else None
    if found:
        seconds = float(found[3].replace(",", "."))
        return int(found[1]) * 3600 + int(found[2]) * 60 + seconds
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return float("nan")


def _told(
    us: Micros,
    texts: Texts,
    cells: Cells,
    time: LogTime,
    file: str,
    faults: list[Fault],
) -> bool:
    """Return whether all times were understood; tell the first that were not."""
    wrong = np.flatnonzero(us == _NOT_A_TIME)
    for at in wrong[:_SHOWN]:
        text = texts[at].strip()
        line = Place(file, int(cells.lines[at]))
        values = {"value": text[:60], "form": time.form}
        if not text:
            faults.append(Fault("intake-no-time", line, "", values))
            continue
        other = other_form(text, time.form)
        if other:
            values["guess"] = other
        faults.append(Fault("intake-time-form", line, "", values))
    if len(wrong) > _SHOWN:
        values = {"count": str(len(wrong) - _SHOWN)}
        faults.append(Fault("intake-more-times", Place(file), "", values))
    return not len(wrong)


def other_form(text: str, form: str) -> str | None:
    """Return another form in which a time can be read, or nothing."""
    bare = _OFFSET.sub("", text).strip()
    for other in ("iso", "day-month", "month-day", "clock"):
        known = strptime_form(bare, other) if other != form else None
        if known:
            try:
                dt.datetime.strptime(bare, known)  # noqa: DTZ007 - only whether it can
            except ValueError:
                continue
            return other
    return None
