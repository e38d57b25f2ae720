"""The logs of one run become one series: the part that is the run, on one clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sitegen.desk.intake.log import ReadLog
from sitegen.desk.intake.times import Micros
from sitegen.errors import Fault, Place
from sitegen.measure.arrays import Floats

LONGEST_H = 12.0
LEAST_ROWS = 10
_SLOWER = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """The readings of one run.

    Attributes:
        us: microseconds, UTC since 1970, shape (n,), increasing.
        readings: ``INSTRUMENT.FRACTION`` to readings, shape (n,), NaN where missing.
        notes: what was done to join them.
    """

    us: Micros
    readings: Mapping[str, Floats]
    notes: tuple[Fault, ...]

    @property
    def elapsed_s(self) -> Floats:
        """Seconds since the first row, shape (n,)."""
        return np.asarray((self.us - self.us[0]) / 1e6, dtype=np.float64)


def step_us(log: ReadLog) -> float:
    """Return the usual time between rows, microseconds; 0 for a single row."""
    steps = np.diff(log.rows.us)
    return float(np.median(steps)) if steps.size else 0.0


def part_of(log: ReadLog, first_us: int | None, last_us: int | None) -> ReadLog:
    """Return the part of a log between two moments, both included."""
    us = log.rows.us
    inside = np.ones(us.shape, dtype=np.bool_)
    if first_us is not None:
        inside &= us >= first_us
    if last_us is not None:
        inside &= us <= last_us
    rows = log.rows.kept(inside)
    return ReadLog(log.name, log.digest, log.instrument, rows, log.zone, log.notes)


def join(logs: Sequence[ReadLog]) -> tuple[Joined | None, tuple[Fault, ...]]:
    """Return the readings of all logs at the times of one of them.

    The clock is that of the first log, or of the slowest where that is clearly slower:
    a fast log has a reading near every time of a slow one, and not the other way
    round. Readings are taken to the nearest time, half a step away at the most.

    Args:
        logs: logs with times in UTC, of one run, at least one row each.

    Returns:
        The readings, or nothing with a fault.
    """
    base = logs[0]
    slowest = max(logs, key=step_us)
    if step_us(slowest) > _SLOWER * step_us(base):
        base = slowest
    notes: list[Fault] = []
    readings: dict[str, Floats] = {}
    for log in logs:
        if log is base:
            taken = dict(log.rows.readings)
        else:
            found = _nearest(log, base, notes)
            if found is None:
                return None, tuple(notes)
            taken = found
        readings.update({f"{log.instrument}.{key}": v for key, v in taken.items()})
    return Joined(base.rows.us, readings, tuple(notes)), tuple(notes)


def _nearest(
    log: ReadLog, base: ReadLog, notes: list[Fault]
) -> dict[str, Floats] | None:
    times, own = base.rows.us, log.rows.us
    after = np.clip(np.searchsorted(own, times), 1, max(own.size - 1, 1))
    before = after - 1
    after = np.minimum(after, own.size - 1)
    closer = np.abs(own[after] - times) < np.abs(own[before] - times)
    at = np.where(closer, after, before)
    shift = np.abs(own[at] - times)
    near = shift <= max(step_us(base), 1.0) / 2
    place = Place(log.name)
    if not near.any():
        fault = Fault("intake-apart", place, "", {"other": base.name})
        notes.append(fault)
        return None
    if shift[near].max() > 0 or not near.all():
        values = {
            "count": str(int(near.sum())),
            "of": str(times.size),
            "instrument": log.instrument,
            "seconds": f"{shift[near].max() / 1e6:.3g}",
        }
        notes.append(Fault("intake-shifted", place, "", values))
    return {
        key: np.where(near, values[at], np.nan)
        for key, values in log.rows.readings.items()
    }


def peaks(us: Micros, values: Floats) -> list[int]:
    """Return the moments of the highest levels of a long log, in order of time.

    A rise counts where the level of a minute lies above a fifth of the highest; its
    peak is its highest minute. Rises less than ten minutes apart are one.

    Args:
        us: microseconds, shape (n,), increasing.
        values: readings, shape (n,).
    """
    minute = us // 60_000_000
    present = ~np.isnan(values)
    minutes, starts = np.unique(minute[present], return_index=True)
    if not minutes.size:
        return []
    counts = np.diff(np.append(starts, int(present.sum())))
    level = np.add.reduceat(values[present], starts) / counts
    high = np.flatnonzero(level >= level.max() / 5)
    groups = np.split(high, np.flatnonzero(np.diff(minutes[high]) > 10) + 1)
    tops = [group[int(np.argmax(level[group]))] for group in groups]
    return [int(minutes[top]) * 60_000_000 for top in tops]
