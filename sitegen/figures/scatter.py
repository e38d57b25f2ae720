"""Two quantities of several configurations against each other, with their intervals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from sitegen.figures.axes import Axis, linear
from sitegen.figures.chart import (
    Plot,
    Row,
    as_is,
    filled,
    named,
    plot,
    scaled_x,
    scaled_y,
    template,
    text_layer,
    thick,
)
from sitegen.figures.key import Named, key_height, key_layers, key_rows
from sitegen.figures.labels import Box, width_em
from sitegen.figures.numbers import (
    Words,
    limits,
    middle,
    plain,
    with_unit,
    within_sentence,
)
from sitegen.figures.theme import INK, SHEET, WIDE, Frame, colour

POINT_EM = 0.45
"""Half the room that a point takes, in em."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A value with the limits of its 95 % interval.

    Attributes:
        value: the value.
        low: lower limit, or None.
        high: upper limit, or None.
    """

    value: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class ScatterPoint:
    """One configuration.

    Attributes:
        label: its name.
        x: what stands on the horizontal axis.
        y: what stands on the vertical axis.
        rated: whether its result is rated; if not, its mark is hollow.
        named: whether its name stands beside it; where points are many, only those
            are named that no other beats on both counts.
    """

    label: str
    x: Measure
    y: Measure
    rated: bool = True
    named: bool = True


@dataclass(frozen=True, slots=True)
class Side:
    """One axis.

    Attributes:
        label: the quantity, a message id.
        unit: its unit, as printed, or ``""``.
        zero: whether the axis begins at zero.
        decibels: whether values are read to half a decibel.
    """

    label: str
    unit: str = ""
    zero: bool = True
    decibels: bool = False


@dataclass(frozen=True, slots=True)
class ScatterFigure:
    """Two quantities against each other.

    Attributes:
        title: title of the figure.
        points: what it shows, in order.
        x: horizontal axis.
        y: vertical axis.
        description: sentence that the text alternative begins with, or ``""``.
        decimal: decimal sign of the page's language.
        credit: line under a still.
        trade_off: corners of the line along what no other beats on both counts, in
            the axes' units, by the horizontal one; empty where there is none.
    """

    title: str
    points: tuple[ScatterPoint, ...]
    x: Side
    y: Side
    description: str = ""
    decimal: str = "."
    credit: str = ""
    trade_off: tuple[tuple[float, float], ...] = ()


@cache
def _template() -> str:
    import altair as alt

    edge = (
        alt.Chart(named("edge"))
        .mark_line(
            interpolate="linear",
            stroke=colour(1),
            strokeDash=[5, 4],
            strokeWidth=thick(1.25),
        )
        .encode(x=scaled_x("x"), y=scaled_y("y"), order=alt.Order("at:Q"))
    )
    across = (
        alt.Chart(named("across"))
        .mark_rule(stroke=colour(0), strokeWidth=thick(1.25), strokeOpacity=0.65)
        .encode(x=scaled_x("low"), x2=alt.X2("high"), y=scaled_y("y"))
    )
    upright = (
        alt.Chart(named("upright"))
        .mark_rule(stroke=colour(0), strokeWidth=thick(1.25), strokeOpacity=0.65)
        .encode(x=scaled_x("x"), y=scaled_y("low"), y2=alt.Y2("high"))
    )
    points = (
        alt.Chart(named("points"))
        .mark_point(
            shape="circle",
            filled=True,
            opacity=1,
            size=alt.expr("52*stroke*stroke"),
            strokeWidth=thick(1.75),
        )
        .encode(
            x=scaled_x("x"),
            y=scaled_y("y"),
            fill=as_is("Fill", "fill"),
            stroke=as_is("Stroke", "ring"),
            tooltip=[
                alt.Tooltip("label", type="nominal", title=" "),
                alt.Tooltip("said_x", type="nominal", title="@x_title"),
                alt.Tooltip("said_y", type="nominal", title="@y_title"),
            ],
        )
    )
    return template(
        edge,
        across,
        upright,
        points,
        text_layer("labels", "left"),
        *key_layers(samples=False),
    )


def _drawn(measures: Sequence[Measure], side: Side) -> list[Measure]:
    """Return the measures as they are drawn.

    Where no value is negative, an interval that reaches below nought ends there: it
    would press all the others together.
    """
    if not side.zero or any(each.value < 0 for each in measures):
        return list(measures)
    return [
        each if each.low is None else replace(each, low=max(each.low, 0.0))
        for each in measures
    ]


def _cut(figure: ScatterFigure) -> ScatterFigure:
    """Return a figure with its intervals as they are drawn."""
    across = _drawn([point.x for point in figure.points], figure.x)
    upright = _drawn([point.y for point in figure.points], figure.y)
    points = zip(figure.points, across, upright, strict=True)
    return replace(
        figure, points=tuple(replace(point, x=x, y=y) for point, x, y in points)
    )


def _axis(measures: Sequence[Measure], side: Side, count: int) -> Axis:
    found = [
        limit
        for each in _drawn(measures, side)
        for limit in (each.value, each.low, each.high)
        if limit is not None
    ]
    return linear(found, count=count, zero=side.zero)


def axes_of(figure: ScatterFigure, frame: Frame) -> tuple[Axis, Axis]:
    """Return the axes."""
    count = 4 if frame.narrow else 6
    return (
        _axis([point.x for point in figure.points], figure.x, count),
        _axis([point.y for point in figure.points], figure.y, 5),
    )


def spec(
    figure: ScatterFigure, frame: Frame = WIDE, words: Words = plain
) -> dict[str, Any]:
    """Return the chart's description (Vega-Lite) with its data put in.

    Args:
        figure: what it shows.
        frame: the sheet that it is drawn on.
        words: the interface's words.
    """
    em = frame.text_px
    high_em = 19.0 if frame.narrow else 23.0
    x, y = axes_of(figure, frame)
    shown = [point for point in figure.points if point.named]
    names = [point.label for point in shown]
    below = 3.4 * em

    def sheet(key: float) -> Plot:
        return plot(
            frame,
            left=3.6 * em,
            top=2.4 * em,
            right=1.2 * em,
            bottom=below + key,
            height=high_em * em,
        )

    area = sheet(0.0)
    cut = _cut(figure)
    places = placed(cut, names, (x, y), area, em)
    key: list[Row] = []
    if places is None:
        named_points = [Named(name, 0) for name in names]
        area = sheet(key_height(named_points, frame, samples=False))
        names = [str(at + 1) for at in range(len(names))]
        places = placed(cut, names, (x, y), area, em, whole=False)
        key = key_rows(named_points, frame, area, below, samples=False)
    rows = _rows(figure, words)
    rows["key"] = key
    rows["labels"] = [
        {"px": round(px, 2), "py": round(py, 2), "text": [name], "ink": INK}
        for name, (px, py) in zip(names, places or (), strict=True)
    ]
    return filled(
        _template(),
        frame=frame,
        area=area,
        x=x,
        y=y,
        titles=(
            with_unit(words(figure.x.label), words(figure.x.unit)),
            with_unit(words(figure.y.label), words(figure.y.unit)),
        ),
        rows=rows,
        decimal=figure.decimal,
        head=(figure.title, figure.credit),
    )


def placed(
    figure: ScatterFigure,
    names: Sequence[str],
    axes: tuple[Axis, Axis],
    area: Plot,
    em: float,
    *,
    whole: bool = True,
) -> list[tuple[float, float]] | None:
    """Return left edge and middle of each name, px, or None where they do not fit.

    Args:
        figure: what it shows.
        names: names of its points.
        axes: horizontal and vertical axis.
        area: the plot.
        em: size of type, px.
        whole: whether every name must stand free; else the least bad place is taken.
    """
    x, y = axes
    half = POINT_EM * em
    every = [
        (area.x(x, point.x.value), area.y(y, point.y.value)) for point in figure.points
    ]
    taken = [Box(cx - half, cy - half, cx + half, cy + half) for cx, cy in every]
    centres = [
        centre
        for centre, point in zip(every, figure.points, strict=True)
        if point.named
    ]
    bars = [
        *(_across(point, axes, area) for point in figure.points),
        *(_upright(point, axes, area) for point in figure.points),
    ]
    sheet = Box(-0.5 * em, -0.8 * em, area.width + 1.0 * em, area.height + 0.5 * em)
    found: list[tuple[float, float]] = []
    for (cx, cy), name in zip(centres, names, strict=True):
        wide = width_em(name) * em
        best: tuple[int, Box] | None = None
        for box in _around(cx, cy, wide, em):
            if not box.within(sheet):
                continue
            cost = 10 * sum(box.meets(other) for other in taken)
            cost += sum(box.meets(other) for other in bars)
            if best is None or cost < best[0]:
                best = (cost, box)
        if best is None or (whole and best[0] >= 2):
            if whole:
                return None
            box = Box(cx + half, cy - half, cx + half + wide, cy + half)
            best = (0, box)
        taken.append(best[1])
        found.append((best[1].left, (best[1].top + best[1].bottom) / 2))
    return found


def _around(cx: float, cy: float, wide: float, em: float) -> list[Box]:
    """Return the places around a point where its name may stand, best first."""
    gap, up = 0.6 * em, 0.9 * em
    places = (
        (cx + gap, cy),
        (cx + gap, cy - up),
        (cx + gap, cy + up),
        (cx - gap - wide, cy),
        (cx - gap - wide, cy - up),
        (cx - gap - wide, cy + up),
        (cx - wide / 2, cy - 1.1 * em),
        (cx - wide / 2, cy + 1.1 * em),
    )
    return [Box(px, py - 0.55 * em, px + wide, py + 0.55 * em) for px, py in places]


def _across(point: ScatterPoint, axes: tuple[Axis, Axis], area: Plot) -> Box:
    low, high = _limits(point.x)
    level = area.y(axes[1], point.y.value)
    return Box(area.x(axes[0], low), level - 1, area.x(axes[0], high), level + 1)


def _upright(point: ScatterPoint, axes: tuple[Axis, Axis], area: Plot) -> Box:
    low, high = _limits(point.y)
    across = area.x(axes[0], point.x.value)
    return Box(across - 1, area.y(axes[1], high), across + 1, area.y(axes[1], low))


def _limits(measure: Measure) -> tuple[float, float]:
    low = measure.value if measure.low is None else measure.low
    return low, measure.value if measure.high is None else measure.high


def _rows(figure: ScatterFigure, words: Words) -> dict[str, list[Row]]:
    rows: dict[str, list[Row]] = {"across": [], "upright": [], "points": []}
    rows["edge"] = [
        {"x": x, "y": y, "at": at} for at, (x, y) in enumerate(figure.trade_off)
    ]
    some = not all(point.named for point in figure.points)
    # What stands out is drawn last, over what it hides.
    both = zip(figure.points, _cut(figure).points, strict=True)
    for point, cut in sorted(both, key=lambda pair: some and pair[0].named):
        ink = colour(int(some and point.named))
        x, y = point.x, point.y
        if cut.x.low is not None and x.high is not None:
            rows["across"].append({"low": cut.x.low, "high": x.high, "y": y.value})
        if cut.y.low is not None and y.high is not None:
            rows["upright"].append({"low": cut.y.low, "high": y.high, "x": x.value})
        rows["points"].append(
            {
                "x": x.value,
                "y": y.value,
                "fill": ink if point.rated else SHEET,
                "ring": ink,
                "label": point.label,
                "said_x": _said(x, figure.x, words, figure.decimal),
                "said_y": _said(y, figure.y, words, figure.decimal),
                "spoken_x": _spoken(x, figure.x, words, figure.decimal),
                "spoken_y": _spoken(y, figure.y, words, figure.decimal),
            }
        )
    return rows


def _value(measure: Measure, side: Side, decimal: str) -> str:
    return middle(
        measure.value, measure.low, measure.high, decimal, decibels=side.decibels
    )


def _said(measure: Measure, side: Side, words: Words, decimal: str) -> str:
    """Return the value's interval, or the value where it has none."""
    return limits(
        measure.value,
        measure.low,
        measure.high,
        words,
        decimal,
        decibels=side.decibels,
    )


def _spoken(measure: Measure, side: Side, words: Words, decimal: str) -> str:
    """Return a value with its name, unit and interval."""
    value = _with(_value(measure, side, decimal), words(side.unit))
    if measure.low is None or measure.high is None:
        return words("{label} {value}", label=words(side.label), value=value)
    return words(
        "{label} {value}, 95 % interval {interval}",
        label=words(side.label),
        value=value,
        interval=_said(measure, side, words, decimal),
    )


def description(figure: ScatterFigure, words: Words = plain) -> str:
    """Return the text alternative: both values of every point."""
    x_label, y_label = words(figure.x.label), words(figure.y.label)
    said = [
        figure.description
        or words("{y} against {x}.", y=y_label, x=within_sentence(x_label, words))
    ]
    said += [
        words(
            "{label}: {y} at {x}.",
            label=point.label,
            y=_with(_value(point.y, figure.y, figure.decimal), words(figure.y.unit)),
            x=_with(_value(point.x, figure.x, figure.decimal), words(figure.x.unit)),
        )
        for point in figure.points
        if point.named
    ]
    unnamed = sum(not point.named for point in figure.points)
    if unnamed:
        said.append(
            words.plural(
                "{n} more is beaten by one of these on both counts.",
                "{n} more are each beaten by one of these on both counts.",
                unnamed,
            )
        )
    return " ".join(said)


def _with(value: str, unit: str) -> str:
    return f"{value} {unit}" if unit else value


def caption(figure: ScatterFigure, words: Words = plain) -> str:
    """Return what the reader must know of how it is drawn."""
    said = []
    if any(
        point.x.low is not None or point.y.low is not None for point in figure.points
    ):
        said.append(words("Bars: 95 % intervals."))
    if _cut(figure) != figure:
        said.append(words("A bar that ends at nought goes on below it."))
    if any(not point.rated for point in figure.points):
        said.append(words("Hollow marks: results that are not rated."))
    if figure.trade_off:
        said.append(
            words(
                "Dashed: the best trade-offs, which nothing shown beats on both counts."
            )
        )
    if not all(point.named for point in figure.points):
        said.append(
            words(
                "Named, in a colour of their own: those that no other beats on both "
                "counts."
            )
        )
    return " ".join(said)


def table(
    figure: ScatterFigure, words: Words = plain
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return name, both values and both intervals of every point."""
    between = words("95 % interval")
    header = (
        words("Configuration"),
        with_unit(words(figure.x.label), words(figure.x.unit)),
        between,
        with_unit(words(figure.y.label), words(figure.y.unit)),
        between,
    )
    rows = []
    for point in figure.points:
        cells = [point.label]
        for measure, side in ((point.x, figure.x), (point.y, figure.y)):
            cells.append(_value(measure, side, figure.decimal))
            known = measure.low is not None and measure.high is not None
            cells.append(_said(measure, side, words, figure.decimal) if known else "")
        rows.append(tuple(cells))
    return header, tuple(rows)
