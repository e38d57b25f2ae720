"""Figures made short for the tests, and what their drawings hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import exp
from typing import Any, Literal

from sitegen.figures.decay import DecayFigure, DecayLine
from sitegen.figures.labels import width_em
from sitegen.figures.ranked import RankedFigure, RankedRow
from sitegen.figures.residuals import ResidualFigure
from sitegen.figures.run import RunFigure, RunLine
from sitegen.figures.scatter import Measure, ScatterFigure, ScatterPoint, Side
from sitegen.figures.theme import FRAMES, Frame
from sitegen.findings.views import ResultRow, RunCurve, SensorCurve

Rows = list[dict[str, Any]]
ALL_FRAMES: tuple[Frame, ...] = tuple(FRAMES.values())


def decay_line(
    label: str = "Alder, high",
    *,
    rate_per_h: float = 6.0,
    minutes: int = 31,
    role: Literal["middle", "repeat", "fit"] = "middle",
    index: int = 0,
) -> DecayLine:
    """Return an exact exponential decay, a reading a minute."""
    times = tuple(float(t) for t in range(minutes))
    shares = tuple(exp(-rate_per_h * t / 60) for t in times)
    band = role == "fit"
    return DecayLine(
        label=label,
        role=role,
        t_min=times,
        value=shares,
        band_low=tuple(0.9 * v for v in shares) if band else (),
        band_high=tuple(1.1 * v for v in shares) if band else (),
        index=index,
    )


def decay_figure(*lines: DecayLine, **more: Any) -> DecayFigure:
    """Return a decay figure with a target of a tenth."""
    named: dict[str, Any] = {"title": "Decay", "target": 0.1, **more}
    return DecayFigure(lines=lines or (decay_line(),), **named)


def run_figure(**more: Any) -> RunFigure:
    """Return a run of two instruments, with its fit and two events."""
    times = tuple(float(t) for t in range(31))
    values = tuple(300.0 * exp(-0.1 * t) for t in times)
    named: dict[str, Any] = {
        "title": "Readings",
        "lines": (
            RunLine("Bench A", times, values, times[4:], values[4:]),
            RunLine("Bench B", times, tuple(1.2 * v for v in values)),
        ),
        "unit": "µg/m³",
        "window_min": (4.0, 30.0),
        "events": ((0.0, "injected"), (1.0, "device_on")),
        "rate_per_h": (6.0, 5.8, 6.2),
        **more,
    }
    return RunFigure(**named)


def residual_figure() -> ResidualFigure:
    """Return residuals of 3 and -4 per cent with a gap between."""
    return ResidualFigure("Residuals", (4.0, 5.0, 6.0), (0.03, None, -0.04))


def ranked_figure(*rows: RankedRow, **more: Any) -> RankedFigure:
    """Return two CADR with intervals, one of them not rated, one without limits."""
    named: dict[str, Any] = {
        "title": "Clean air",
        "label": "CADR",
        "unit": "m³/h",
        **more,
    }
    return RankedFigure(
        rows=rows
        or (
            RankedRow("Birch, high", 245.738, 237.417, 254.352),
            RankedRow("Alder, high", 182.474, 176.295, 188.869, rated=False),
            RankedRow("Cedar, high", 98.1),
        ),
        **named,
    )


def point(
    label: str, x: float, y: float, half: float | None = 5.0, **more: Any
) -> ScatterPoint:
    """Return a point with an interval of its CADR, and a level without one."""
    low, high = (None, None) if half is None else (y - half, y + half)
    return ScatterPoint(label, Measure(x), Measure(y, low, high), **more)


def scatter_figure(*points: ScatterPoint, **more: Any) -> ScatterFigure:
    """Return CADR over sound level."""
    named: dict[str, Any] = {
        "title": "Clean air and sound",
        "x": Side("Sound level", "dB(A)", zero=False, decibels=True),
        "y": Side("CADR", "m³/h"),
        **more,
    }
    return ScatterFigure(
        points=points
        or (
            point("Alder, low", 32.0, 80.0),
            point("Alder, high", 48.0, 182.0),
            point("Birch, high", 52.0, 245.0, rated=False),
        ),
        **named,
    )


def curve(**more: Any) -> RunCurve:
    """Return a run of two instruments fitted from minute 4 to minute 10."""
    times = tuple(float(t) for t in range(13))
    share = tuple(exp(-0.1 * (t - 4)) for t in times)
    made = RunCurve(
        fraction="pm2_5",
        unit="ug/m3",
        elapsed_min=times,
        sensors=(
            SensorCurve("bench-a", tuple(200 * v + 1.0 for v in share), 1.0, 200.0),
            SensorCurve("bench-b", (*(150 * v for v in share[:-1]), None), 0.0, None),
        ),
        combined=(*share[:6], None, *share[7:]),
        residuals=(*(None,) * 4, 0.01, 0.02, None, -0.03, 0.0, 0.01, 0.0, None, None),
        start_min=4.0,
        end_min=10.0,
        decay_per_h=6.0,
        decay_low=5.8,
        decay_high=6.3,
        target=0.1,
    )
    return replace(made, **more)


def result(**fields: Any) -> ResultRow:
    """Return a result with what a test cares for."""
    named: dict[str, Any] = {
        "device": "alder",
        "filter": "fine",
        "speed": "high",
        "method": "decay-a",
        "fraction": "pm2_5",
        "runs": 2,
        "run_ids": ("r1", "r2"),
        "validity": "rated",
        "flags": (),
        **fields,
    }
    return ResultRow(**named)


def texts(rows: Sequence[dict[str, Any]]) -> list[str]:
    """Return what rows of words say, the lines of each joined."""
    return [" ".join(row["text"]) for row in rows]


def boxes(
    rows: Sequence[dict[str, Any]], em: float
) -> list[tuple[float, float, float, float]]:
    """Return left, top, right and bottom of words, px, for letters of that size."""
    found = []
    for row in rows:
        wide = max(width_em(line) for line in row["text"]) * em
        last = row["py"] + 1.25 * em * (len(row["text"]) - 1)
        found.append(
            (row["px"], row["py"] - 0.5 * em, row["px"] + wide, last + 0.5 * em)
        )
    return found


def overlap(
    one: tuple[float, float, float, float], other: tuple[float, float, float, float]
) -> bool:
    """Return whether two rectangles share area."""
    return (
        one[0] < other[2]
        and other[0] < one[2]
        and one[1] < other[3]
        and other[1] < one[3]
    )
