"""Which readings of a run are fitted: decided by rule, before any fit is seen.

One window serves the whole run. It is found on the primary fraction's mean log
signal. It is never chosen by the goodness of a fit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats, running_median
from sitegen.measure.run_data import DecayMethod, Event, RunKind

StartRule = Literal[
    "mixing_off", "device_on", "injected", "first_reading", "ceiling", "fixed"
]
EndRule = Literal["fraction", "floor", "time_limit", "last_reading", "fixed"]

CEILING_SHARE = 0.9
_TINY_MIN = 1e-9


@dataclass(frozen=True, slots=True)
class Window:
    """The readings that are fitted.

    Attributes:
        first: index of the first reading.
        last: index of the last reading, included.
        start_min: elapsed minutes of the first.
        end_min: elapsed minutes of the last.
        start_rule: what decided the start: the later of the events ``mixing_off`` and
            ``device_on`` plus the mixing wait (``injected`` or the first reading in
            their absence), the last reading near a sensor's ceiling, or the record.
        end_rule: what decided the end: the level fell to the method's fraction, a
            sensor reached its floor, the time limit, the data's end, or the record.
    """

    first: int
    last: int
    start_min: float
    end_min: float
    start_rule: StartRule
    end_rule: EndRule


def fixed_window(t_min: Floats, limits_min: tuple[float, float]) -> Window:
    """Return the window that a record prescribes.

    Raises:
        MeasureError: ``window_empty`` when it holds fewer than three readings.
    """
    low, high = limits_min
    inside = np.flatnonzero((t_min >= low - _TINY_MIN) & (t_min <= high + _TINY_MIN))
    if inside.size < 3:
        raise MeasureError("window_empty", start_min=low, end_min=high)
    return _window(t_min, int(inside[0]), int(inside[-1]), "fixed", "fixed")


def find_window(
    kind: RunKind,
    t_min: Floats,
    log_mean: Floats,
    method: DecayMethod,
    *,
    events: Sequence[Event] = (),
    last_high_min: float | None = None,
    floor_last: int | None = None,
) -> Window:
    """Find the window of a run by rule.

    Args:
        kind: ``decay`` or ``natural``; a natural run has no end by level.
        t_min: elapsed minutes, shape (n,), increasing.
        log_mean: the primary fraction's mean ln signal, shape (n,), NaN where no
            sensor has a usable reading.
        method: the method's figures.
        events: what the tester noted.
        last_high_min: minute of the last reading at or above 0.9 of a sensor's
            ceiling, or None.
        floor_last: index of the last reading before a sensor's running median falls
            below its floor, as ``before_floor`` finds it, or None.

    Raises:
        MeasureError: ``window_empty`` when fewer than three usable readings remain.
    """
    first, start_rule = _start(t_min, log_mean, method, events, last_high_min)
    usable = np.flatnonzero(~np.isnan(log_mean))
    usable = usable[usable >= first]
    ends: list[tuple[int, EndRule]] = [(int(usable[-1]), "last_reading")]
    limit = method.natural_min if kind == "natural" else method.longest_min
    inside = np.flatnonzero(t_min <= t_min[first] + limit + _TINY_MIN)
    if inside[-1] < usable[-1]:
        ends.append((int(inside[-1]), "time_limit"))
    if floor_last is not None:
        ends.append((floor_last, "floor"))
    if kind == "decay":
        smooth = running_median(log_mean[usable])
        low = np.flatnonzero(smooth <= smooth[0] + np.log(method.end_fraction))
        if low.size:
            ends.append((int(usable[low[0]]), "fraction"))
    last, end_rule = min(ends, key=lambda end: end[0])
    if np.sum((usable >= first) & (usable <= last)) < 3:
        raise MeasureError("window_empty", start_min=float(t_min[first]))
    return _window(t_min, first, last, start_rule, end_rule)


def window_start(
    t_min: Floats,
    method: DecayMethod,
    events: Sequence[Event],
    last_high_min: float | None,
) -> tuple[float, StartRule]:
    """Return the minute before which nothing is fitted, and what decided it.

    Without ``mixing_off`` and ``device_on`` the wait counts from ``injected``, and
    without that from the first reading.
    """
    ends: list[tuple[float, StartRule]] = []
    for what in ("mixing_off", "device_on"):
        ends += _waits(what, method, events)
    ends = ends or _waits("injected", method, events)
    ends = ends or [(float(t_min[0]) + method.mixing_wait_min, "first_reading")]
    if last_high_min is not None:
        ends.append((last_high_min + 2 * _TINY_MIN, "ceiling"))
    return max(ends, key=lambda end: end[0])


def before_floor(
    t_min: Floats, net: Floats, floors: Floats, start_min: float
) -> int | None:
    """Return the last reading before any sensor's running median is below its floor.

    Args:
        t_min: elapsed minutes, shape (n,).
        net: readings less zero offset, shape (sensors, n), NaN where missing.
        floors: each sensor's floor, shape (sensors,); 0 for none.
        start_min: minute from which the five-point medians run.

    Returns:
        An index (possibly before the start), or None when no floor is reached.
    """
    lowest: int | None = None
    for values, floor in zip(net, floors, strict=True):
        usable = np.flatnonzero(~np.isnan(values) & (t_min >= start_min - _TINY_MIN))
        if floor <= 0 or not usable.size:
            continue
        under = np.flatnonzero(running_median(values[usable]) < floor)
        if under.size:
            index = int(usable[under[0]]) - 1
            lowest = index if lowest is None else min(lowest, index)
    return lowest


def _waits(
    what: Literal["mixing_off", "device_on", "injected"],
    method: DecayMethod,
    events: Sequence[Event],
) -> list[tuple[float, StartRule]]:
    """Return the end of the wait after each event of one name."""
    return [(e.at_min + method.mixing_wait_min, what) for e in events if e.what == what]


def _start(
    t_min: Floats,
    log_mean: Floats,
    method: DecayMethod,
    events: Sequence[Event],
    last_high_min: float | None,
) -> tuple[int, StartRule]:
    """Return the first usable reading at or after the start."""
    start_min, rule = window_start(t_min, method, events, last_high_min)
    after = np.flatnonzero((t_min >= start_min - _TINY_MIN) & ~np.isnan(log_mean))
    if after.size < 3:
        raise MeasureError("window_empty", start_min=start_min)
    return int(after[0]), rule


def _window(
    t_min: Floats, first: int, last: int, start_rule: StartRule, end_rule: EndRule
) -> Window:
    return Window(
        first, last, float(t_min[first]), float(t_min[last]), start_rule, end_rule
    )
