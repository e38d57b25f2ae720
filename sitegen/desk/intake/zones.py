"""The log's own clock becomes UTC, also where clocks were set back or forward."""

from __future__ import annotations

import datetime as dt
import re
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

import numpy as np
from numpy.typing import NDArray

from sitegen.desk.intake.times import Micros
from sitegen.errors import Fault, Place
from sitegen.load.guesses import guess

# Clocks are set at full quarters of an hour, wherever they are set.
_QUARTER_US = 900_000_000
_FIXED = re.compile(r"([+-])(\d{2}):(\d{2})")


def zone_named(name: str, file: str, faults: list[Fault]) -> dt.tzinfo | None:
    """Return a time zone by IANA name or fixed offset, or nothing with a fault."""
    fixed = _FIXED.fullmatch(name)
    if fixed:
        ahead = dt.timedelta(hours=int(fixed[2]), minutes=int(fixed[3]))
        if ahead < dt.timedelta(hours=24):
            return dt.timezone(ahead if fixed[1] == "+" else -ahead)
    elif name == "Z":
        return dt.UTC
    else:
        try:
            return ZoneInfo(name)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            pass
    values = {"value": name, **guess(name, available_timezones())}
    faults.append(Fault("intake-unknown-zone", Place(file), "time.zone", values))
    return None


def to_utc(
    local: Micros,
    zone: dt.tzinfo,
    lines: NDArray[np.int64],
    file: str,
    faults: list[Fault],
) -> Micros | None:
    """Return UTC of times by a clock that follows a zone, or nothing with a fault.

    In the hour that occurs twice, the step back in the log tells the first pass from
    the second, or else the step of the log to the rows around. Where neither does,
    the hour is refused, not guessed.

    Args:
        local: microseconds since 1970 by the clock on the wall, shape (n,), in the
            order in which they were logged.
        zone: the zone.
        lines: line number of each row, shape (n,).
        file: name of the log, for the places of faults.
        faults: takes what is wrong, and what was decided.
    """
    quarters, which = np.unique(local // _QUARTER_US, return_inverse=True)
    both = [_offsets(int(quarter) * _QUARTER_US, zone) for quarter in quarters]
    first = np.array([pair[0] for pair in both], dtype=np.int64)[which]
    second = np.array([pair[1] for pair in both], dtype=np.int64)[which]
    lost = np.flatnonzero(first < second)
    if lost.size:
        place = Place(file, int(lines[lost[0]]))
        values = {"value": _wall(local[lost[0]]), "zone": str(zone)}
        faults.append(Fault("intake-lost-hour", place, "time.zone", values))
        return None
    offset = first.copy()
    twice = first > second
    if twice.any():
        for start, end in _stretches(twice):
            used = _decided(local, first, second, (start, end))
            if used is None:
                place = Place(file, int(lines[start]))
                values = {
                    "value": _wall(local[start]),
                    "zone": str(zone),
                    "first": _signed(first[start]),
                    "second": _signed(second[start]),
                }
                code = "intake-repeated-hour"
                faults.append(Fault(code, place, "time.zone", values))
                return None
            offset[start:end] = used
    for at in np.flatnonzero(np.diff(offset) != 0):
        place = Place(file, int(lines[at + 1]))
        values = {"before": _signed(offset[at]), "after": _signed(offset[at + 1])}
        faults.append(Fault("intake-clock-set", place, "", values))
    return local - offset


def _offsets(local_us: int, zone: dt.tzinfo) -> tuple[int, int]:
    """Return the offsets from UTC of a wall time's first and second occurrence."""
    wall = dt.datetime(1970, 1, 1) + dt.timedelta(microseconds=local_us)  # noqa: DTZ001
    found = []
    for fold in (0, 1):
        ahead = wall.replace(tzinfo=zone, fold=fold).utcoffset() or dt.timedelta()
        found.append(round(ahead.total_seconds() * 1e6))
    return found[0], found[1]


def _stretches(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]])))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def _decided(
    local: Micros, first: Micros, second: Micros, stretch: tuple[int, int]
) -> Micros | None:
    start, end = stretch
    back = np.flatnonzero(np.diff(local[start:end]) < 0) + start + 1
    if back.size == 1:
        at = int(back[0])
        return np.concatenate([first[start:at], second[at:end]])
    if back.size:
        return None
    step = float(np.median(np.abs(np.diff(local)))) if local.size > 1 else 0.0
    fits = []
    for offsets in (first, second):
        gaps = []
        if start > 0:
            gaps.append((local - first)[start - 1] - (local - offsets)[start])
        if end < local.size:
            gaps.append((local - offsets)[end - 1] - (local - second)[end])
        # Two steps at the most, forward in time, on the side that there is.
        if gaps and all(0 < -gap <= 2 * step for gap in gaps):
            fits.append(offsets[start:end])
    return fits[0] if len(fits) == 1 else None


def _wall(us: int) -> str:
    wall = dt.datetime(1970, 1, 1) + dt.timedelta(microseconds=int(us))  # noqa: DTZ001
    return wall.isoformat(" ")


def _signed(offset_us: int) -> str:
    minutes = round(offset_us / 60e6)
    return (
        f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02}:{abs(minutes) % 60:02}"
    )
