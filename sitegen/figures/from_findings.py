"""From findings to figures: which numbers a figure shows, and in which unit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp
from types import MappingProxyType
from typing import Literal

from sitegen.figures.decay import DecayFigure, DecayLine
from sitegen.figures.numbers import message
from sitegen.figures.ranked import RankedFigure, RankedRow
from sitegen.figures.residuals import ResidualFigure
from sitegen.figures.run import RunFigure, RunLine
from sitegen.figures.scatter import Measure, ScatterFigure, ScatterPoint, Side
from sitegen.findings.unbeaten import unbeaten
from sitegen.findings.views import ResultRow, RunCurve
from sitegen.measure.units import CFM_M3H
from sitegen.model import QUANTITIES

MOST_BANDS = 3
"""Series beyond which fits and their bands would hide the readings."""
MOST_NAMED = 24
"""Points in a scatter beyond which only those are named that no other beats."""
_POINTS = 60

UNITS: Mapping[str, str] = MappingProxyType(
    {"ug/m3": "µg/m³", "1/cm3": "1/cm³", "1/L": "1/L", "counts": message("counts")}
)
"""Units of readings as records write them, and as axes have them."""


@dataclass(frozen=True, slots=True)
class CurveLine:
    """One run of a configuration in a decay figure.

    Attributes:
        label: name of the configuration; its runs share it.
        role: ``middle`` or ``repeat``.
        curve: what was read.
    """

    label: str
    role: Literal["middle", "repeat"]
    curve: RunCurve


def decay_figure(lines: Sequence[CurveLine], title: str) -> DecayFigure:
    """Return the decay of some configurations, all from their own start on.

    The middle run of each has its fit and the fit's 95 % band, where the series are
    few enough for bands to be read.
    """
    order = list(dict.fromkeys(line.label for line in lines))
    made: list[DecayLine] = []
    for line in lines:
        index = order.index(line.label)
        made.append(_readings(line, index))
        if line.role == "middle" and len(order) <= MOST_BANDS:
            made += _fit(line, index)
    targets = {line.curve.target for line in lines}
    return DecayFigure(
        title=title,
        lines=tuple(made),
        target=targets.pop() if len(targets) == 1 else None,
    )


def _readings(line: CurveLine, index: int) -> DecayLine:
    curve = line.curve
    inside = [
        (t - curve.start_min, share)
        for t, share in zip(curve.elapsed_min, curve.combined, strict=True)
        if curve.start_min <= t <= curve.end_min
    ]
    return DecayLine(
        label=line.label,
        role=line.role,
        t_min=tuple(t for t, _ in inside),
        value=tuple(share for _, share in inside),
        index=index,
    )


def _fit(line: CurveLine, index: int) -> list[DecayLine]:
    curve = line.curve
    if curve.decay_per_h is None:
        return []
    low, high = curve.decay_low, curve.decay_high
    span = curve.end_min - curve.start_min
    times = tuple(span * at / (_POINTS - 1) for at in range(_POINTS))

    def shares(rate_per_h: float) -> tuple[float, ...]:
        return tuple(exp(-rate_per_h * t / 60.0) for t in times)

    return [
        DecayLine(
            label=line.label,
            role="fit",
            t_min=times,
            value=shares(curve.decay_per_h),
            band_low=() if high is None else shares(high),
            band_high=() if low is None else shares(low),
            index=index,
        )
    ]


def run_figure(
    curve: RunCurve,
    events: Sequence[tuple[float, str]],
    title: str,
    names: Mapping[str, str] | None = None,
) -> RunFigure:
    """Return the readings of a run with its fit, as each instrument would read it.

    Args:
        curve: what was read and fitted.
        events: minute and kind of each event.
        title: title of the figure.
        names: id of an instrument to its name.
    """
    known = names or {}
    rate = None
    if curve.decay_per_h is not None:
        rate = (curve.decay_per_h, curve.decay_low, curve.decay_high)
    return RunFigure(
        title=title,
        lines=tuple(
            RunLine(
                label=known.get(sensor.instrument, sensor.instrument),
                t_min=curve.elapsed_min,
                value=sensor.values,
                fit_t_min=() if sensor.start is None else _fitted_times(curve),
                fit=_fitted(curve, sensor.start, sensor.zero_offset),
            )
            for sensor in curve.sensors
        ),
        unit=UNITS.get(curve.unit, curve.unit),
        window_min=None if rate is None else (curve.start_min, curve.end_min),
        events=tuple(events),
        rate_per_h=rate,
    )


def _fitted_times(curve: RunCurve) -> tuple[float, ...]:
    span = curve.end_min - curve.start_min
    return tuple(curve.start_min + span * at / (_POINTS - 1) for at in range(_POINTS))


def _fitted(
    curve: RunCurve, start: float | None, zero_offset: float
) -> tuple[float, ...]:
    rate = curve.decay_per_h
    if start is None or rate is None:
        return ()
    return tuple(
        zero_offset + start * exp(-rate * (t - curve.start_min) / 60.0)
        for t in _fitted_times(curve)
    )


def residual_figure(curve: RunCurve, title: str) -> ResidualFigure:
    """Return the residuals of a run's fitted part."""
    inside = [
        (t, value)
        for t, value in zip(curve.elapsed_min, curve.residuals, strict=True)
        if curve.start_min <= t <= curve.end_min
    ]
    return ResidualFigure(
        title=title,
        t_min=tuple(t for t, _ in inside),
        value=tuple(value for _, value in inside),
    )


def ranked_figure(
    rows: Sequence[tuple[str, ResultRow]],
    quantity: str,
    title: str,
    units: str = "metric",
    currency: str = "",
    sets: Mapping[str, str] | None = None,
    most: int = 24,
) -> RankedFigure:
    """Return one quantity of some configurations, the better end first.

    Args:
        rows: name and result of each; those without the quantity are left out.
        quantity: name of the quantity.
        title: title of the figure.
        units: ``metric`` or ``us``.
        currency: currency of the archive.
        sets: name of the comparable set of each method, where several sets meet; each
            set stands by itself.
        most: rows shown at the most.
    """
    measured = [(name, row, _measure(row, quantity, units)) for name, row in rows]
    sign = 1 if QUANTITIES[quantity].better == "up" else -1
    known = sets or {}
    measured = sorted(
        (each for each in measured if each[2] is not None),
        key=lambda each: (
            known.get(each[1].method, ""),
            -sign * (each[2].value if each[2] else 0.0),
        ),
    )
    left_out = max(0, len(measured) - most)
    measured = measured[:most]
    return RankedFigure(
        title=title,
        left_out=left_out,
        rows=tuple(
            RankedRow(
                label=_set_named(name, row, known),
                value=found.value,
                low=found.low,
                high=found.high,
                rated=row.validity != "not_rated",
            )
            for name, row, found in measured
            if found is not None
        ),
        label=QUANTITIES[quantity].label,
        unit=_unit(quantity, units, currency),
        # A level of nought decibels is no absence of sound: its axis begins nearby.
        from_zero=QUANTITIES[quantity].rounding != "sound",
        decibels=QUANTITIES[quantity].rounding == "sound",
    )


def _set_named(name: str, row: ResultRow, sets: Mapping[str, str]) -> str:
    """Return a configuration's name with its comparable set, where several meet."""
    found = sets.get(row.method, "")
    return f"{name} ({found})" if found else name


def scatter_figure(
    rows: Sequence[tuple[str, ResultRow]],
    x: str,
    y: str,
    title: str,
    units: str = "metric",
    currency: str = "",
    sets: Mapping[str, str] | None = None,
) -> ScatterFigure:
    """Return two quantities of some configurations against each other.

    Args:
        rows: name and result of each; those without both quantities are left out.
        x: quantity of the horizontal axis.
        y: quantity of the vertical axis.
        title: title of the figure.
        units: ``metric`` or ``us``.
        currency: currency of the archive.
        sets: name of the comparable set of each method, where several sets meet; only
            within a set is one said to be beaten by another. What is not told from
            zero beats none.
    """
    known = sets or {}
    groups: dict[str, list[ResultRow]] = {}
    for _, row in rows:
        groups.setdefault(known.get(row.method, ""), []).append(row)
    best = {row for members in groups.values() for row in unbeaten(members, x, y)}
    drawn = [
        (name, row, across, up)
        for name, row in rows
        if (across := _measure(row, x, units)) is not None
        and (up := _measure(row, y, units)) is not None
    ]
    points = [
        ScatterPoint(
            _set_named(name, row, known),
            across,
            up,
            row.validity != "not_rated",
            named=len(drawn) <= MOST_NAMED or row in best,
        )
        for name, row, across, up in drawn
    ]
    edge = [(across.value, up.value) for _, row, across, up in drawn if row in best]
    return ScatterFigure(
        title=title,
        points=tuple(points),
        x=_side(x, units, currency),
        y=_side(y, units, currency),
        trade_off=_stairs(edge, x) if len(groups) == 1 else (),
    )


def _stairs(
    edge: Sequence[tuple[float, float]], x: str
) -> tuple[tuple[float, float], ...]:
    """Return the corners of the stairs along unbeaten points, empty for fewer than 2.

    Between two of them what can be had is no better than the one that is at least as
    good on the horizontal quantity.
    """
    places = sorted(set(edge))
    if len(places) < 2:
        return ()
    corners = [places[0]]
    for (x0, y0), (x1, y1) in pairwise(places):
        turn = (x0, y1) if QUANTITIES[x].better == "up" else (x1, y0)
        corners += [turn, (x1, y1)]
    return tuple(corners)


def _side(quantity: str, units: str, currency: str) -> Side:
    sound = QUANTITIES[quantity].rounding == "sound"
    return Side(
        label=QUANTITIES[quantity].label,
        unit=_unit(quantity, units, currency),
        zero=not sound,
        decibels=sound,
    )


def _unit(quantity: str, units: str, currency: str) -> str:
    known = QUANTITIES[quantity]
    if known.unit == "currency":
        return currency
    return known.us_unit if units == "us" and known.us_unit else known.unit


def _measure(row: ResultRow, quantity: str, units: str) -> Measure | None:
    """Return a quantity of a result with its limits, in the reader's unit."""
    known = QUANTITIES[quantity]
    value = getattr(row, quantity)
    if value is None:
        return None
    factor = 1.0
    if units == "us" and known.us_unit:
        factor = 1.0 / CFM_M3H
    low = getattr(row, known.low) if known.low else None
    high = getattr(row, known.high) if known.high else None
    return Measure(
        value * factor,
        None if low is None else low * factor,
        None if high is None else high * factor,
    )
