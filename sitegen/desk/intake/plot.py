"""A decay as lines of text: level over time on a log scale, with the fit and events."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sitegen.findings.views import RunCurve, SensorCurve
from sitegen.measure.arrays import Floats
from sitegen.model.run import Event

MARKS = "oxv*"
_OUTSIDE = "."
_FIT = "-"
_LABEL = 9
_LABEL_EVERY = 3
UNITS = {"ug/m3": "µg/m³", "1/cm3": "1/cm³"}


@dataclass(slots=True)
class _Canvas:
    """A grid of characters with a linear time axis and a log level axis."""

    first: float
    last: float
    low: float
    high: float
    width: int
    height: int
    grid: list[list[str]] = field(init=False)

    def __post_init__(self) -> None:
        self.grid = [[" "] * self.width for _ in range(self.height)]

    def column(self, minute: float) -> int:
        """Return the column of a time."""
        share = (minute - self.first) / (self.last - self.first)
        return min(max(round(share * (self.width - 1)), 0), self.width - 1)

    def row(self, level: float) -> int:
        """Return the row of a level; the lowest for what is not above zero."""
        if level <= 0:
            return self.height - 1
        share = math.log(level / self.low) / math.log(self.high / self.low)
        return min(max(self.height - 1 - round(share * (self.height - 1)), 0),
                   self.height - 1)  # fmt: skip

    def mark(self, minute: float, level: float, sign: str, *, over: bool) -> None:
        """Put a sign at a point, over what is there or only where nothing is."""
        at, x = self.row(level), self.column(minute)
        if over or self.grid[at][x] == " ":
            self.grid[at][x] = sign

    def lines(self) -> list[str]:
        """Return the grid with levels at its left."""
        found = []
        for at, cells in enumerate(self.grid):
            level = self.high * (self.low / self.high) ** (at / (self.height - 1))
            shown = at % _LABEL_EVERY == 0 or at == self.height - 1
            label = f"{level:.3g}" if shown else ""
            found.append(f"{label:>{_LABEL}} |{''.join(cells)}".rstrip())
        return found


def plot_lines(
    curve: RunCurve, events: Sequence[Event], width: int = 66, height: int = 14
) -> list[str]:
    """Return a plot of a run, one text a line.

    Readings less their zero offset stand over time on a log scale: in the fitted part
    as ``o`` (a second instrument as ``x``), outside it as a point. The fit is a line
    of hyphens. What lies at or below zero stands on the lowest line.

    Args:
        curve: readings and fit of one size fraction.
        events: what happened when; marked below the axis.
        width: columns of the plot itself.
        height: lines of the plot itself, at least 2.
    """
    times = np.asarray(curve.elapsed_min)
    levels = [_net(sensor) for sensor in curve.sensors]
    positive = np.concatenate([level[level > 0] for level in levels])
    if not positive.size or times[-1] <= times[0]:
        return ["There is nothing to plot."]
    low, high = float(np.quantile(positive, 0.01)), float(positive.max())
    if high <= 1.5 * low:
        low, high = low / 2, high * 2
    canvas = _Canvas(float(times[0]), float(times[-1]), low, high, width, height)
    inside = (times >= curve.start_min) & (times <= curve.end_min)
    if curve.decay_per_h is None:
        inside[:] = False
    for fitted in (False, True):
        for number, level in enumerate(levels):
            sign = MARKS[min(number, len(MARKS) - 1)] if fitted else _OUTSIDE
            for at in np.flatnonzero(~np.isnan(level) & (inside == fitted)):
                canvas.mark(float(times[at]), float(level[at]), sign, over=True)
    for sensor in curve.sensors:
        _draw_fit(curve, sensor, canvas)
    return [
        f"{UNITS.get(curve.unit, curve.unit):>{_LABEL}}",
        *canvas.lines(),
        " " * _LABEL + " +" + "-" * width,
        _axis(canvas),
        *_event_lines(events, canvas),
    ]


def _net(sensor: SensorCurve) -> Floats:
    values = [np.nan if value is None else value for value in sensor.values]
    return np.asarray(np.array(values) - sensor.zero_offset, dtype=np.float64)


def _draw_fit(curve: RunCurve, sensor: SensorCurve, canvas: _Canvas) -> None:
    if sensor.start is None or curve.decay_per_h is None:
        return
    for minute in np.linspace(curve.start_min, curve.end_min, 4 * canvas.width):
        hours = (float(minute) - curve.start_min) / 60
        level = sensor.start * math.exp(-curve.decay_per_h * hours)
        canvas.mark(float(minute), level, _FIT, over=False)


def _axis(canvas: _Canvas) -> str:
    line = [" "] * (canvas.width + 8)
    for step in range(5):
        minute = canvas.first + (canvas.last - canvas.first) * step / 4
        text = f"{minute:.0f}" + (" min" if step == 4 else "")
        at = canvas.column(minute)
        line[at : at + len(text)] = text
    return " " * (_LABEL + 2) + "".join(line).rstrip()


def _event_lines(events: Sequence[Event], canvas: _Canvas) -> list[str]:
    lines = []
    for event in events:
        at = canvas.column(event.at_min)
        text = f"{event.what.replace('_', ' ')} {event.at_min:.1f}"
        if at + 2 + len(text) > canvas.width and at > len(text):
            shown = " " * (at - len(text) - 1) + text + " ^"
        else:
            shown = " " * at + "^ " + text
        lines.append(" " * (_LABEL + 2) + shown)
    return lines
