"""Rows of a log in order of time, each moment once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitegen.desk.intake.times import Micros
from sitegen.errors import Fault, Place
from sitegen.measure.arrays import Floats

_SHOWN = 5
_GAP_STEPS = 5
_GAP_LEAST_US = 60_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Times and readings of a log.

    Attributes:
        us: microseconds, UTC since 1970 or elapsed, shape (n,).
        lines: line number of each row, shape (n,).
        readings: size fraction to readings, each shape (n,), NaN where missing.
    """

    us: Micros
    lines: NDArray[np.int64]
    readings: Mapping[str, Floats]

    def kept(self, rows: NDArray[np.bool_]) -> Rows:
        """Return some of the rows."""
        readings = {key: values[rows] for key, values in self.readings.items()}
        return Rows(self.us[rows], self.lines[rows], readings)


def runs_backward(us: Micros) -> bool:
    """Return whether a log has its newest row first.

    Args:
        us: times in the order of the file, shape (n,).
    """
    steps = np.sign(np.diff(us))
    return bool(
        us.size > 1 and us[0] > us[-1] and (steps < 0).sum() > (steps > 0).sum()
    )


def each_once(rows: Rows, repeated: str, file: str, faults: list[Fault]) -> Rows | None:
    """Return the rows with each time once, or nothing where that cannot be had.

    A row that stands there twice is taken once. Rows that share a time with other
    readings are refused or averaged, as ``repeated`` says; time that runs backward is
    refused.
    """
    rows = _without_copies(rows, file, faults)
    steps = np.diff(rows.us)
    back = np.flatnonzero(steps < 0)
    for at in back[:_SHOWN]:
        place = Place(file, int(rows.lines[at + 1]))
        values = {
            "seconds": f"{-steps[at] / 1e6:g}",
            "line": str(int(rows.lines[at])),
        }
        faults.append(Fault("intake-time-back", place, "", values))
    if back.size:
        return None
    same = np.flatnonzero(steps == 0)
    if same.size and repeated == "refuse":
        place = Place(file, int(rows.lines[same[0] + 1]))
        values = {"count": str(same.size), "line": str(int(rows.lines[same[0]]))}
        faults.append(Fault("intake-time-repeated", place, "", values))
        return None
    if same.size:
        rows = _averaged(rows, file, faults)
    _tell_gaps(rows, file, faults)
    return rows


def _without_copies(rows: Rows, file: str, faults: list[Fault]) -> Rows:
    copy = np.concatenate([[False], np.diff(rows.us) == 0])
    for values in rows.readings.values():
        same = values[1:] == values[:-1]
        both_missing = np.isnan(values[1:]) & np.isnan(values[:-1])
        copy[1:] &= same | both_missing
    if not copy.any():
        return rows
    place = Place(file, int(rows.lines[np.argmax(copy)]))
    told = {"count": str(int(copy.sum()))}
    faults.append(Fault("intake-same-row", place, "", told))
    return rows.kept(~copy)


def _averaged(rows: Rows, file: str, faults: list[Fault]) -> Rows:
    us, starts, counts = np.unique(rows.us, return_index=True, return_counts=True)
    readings: dict[str, Floats] = {}
    for key, values in rows.readings.items():
        present = ~np.isnan(values)
        total = np.add.reduceat(np.where(present, values, 0.0), starts)
        number = np.add.reduceat(present.astype(np.int64), starts)
        mean = total / np.maximum(number, 1)
        readings[key] = np.where(number > 0, mean, np.nan)
    first = int(np.argmax(counts > 1))
    told = {"count": str(rows.us.size), "left": str(us.size)}
    place = Place(file, int(rows.lines[starts[first]]))
    faults.append(Fault("intake-averaged", place, "", told))
    return Rows(us, rows.lines[starts], readings)


def _tell_gaps(rows: Rows, file: str, faults: list[Fault]) -> None:
    steps = np.diff(rows.us)
    if not steps.size:
        return
    least = max(_GAP_STEPS * float(np.median(steps)), _GAP_LEAST_US)
    wide = np.flatnonzero(steps > least)
    widest = wide[np.argsort(-steps[wide], kind="stable")][:3]
    for at in np.sort(widest):
        place = Place(file, int(rows.lines[at + 1]))
        values = {"minutes": f"{steps[at] / 60e6:.3g}"}
        faults.append(Fault("intake-gap", place, "", values))
