"""One quantity of several configurations: values with their intervals, in order."""

from __future__ import annotations

import math
from dataclasses import dataclass
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
    template,
    text_layer,
    thick,
)
from sitegen.figures.labels import LEADING, width_em, wrapped
from sitegen.figures.numbers import Words, limits, middle, plain, with_unit
from sitegen.figures.theme import INK, SHEET, SOFT, WIDE, Frame, colour


@dataclass(frozen=True, slots=True)
class RankedRow:
    """One configuration.

    Attributes:
        label: its name.
        value: the value.
        low: lower limit of its 95 % interval, or None.
        high: upper limit, or None.
        rated: whether its result is rated; if not, its mark is hollow.
    """

    label: str
    value: float
    low: float | None = None
    high: float | None = None
    rated: bool = True


@dataclass(frozen=True, slots=True)
class RankedFigure:
    """Values of one quantity, in the order given.

    Attributes:
        title: title of the figure.
        rows: what it shows, in order.
        left_out: how many more there are that it does not show.
        label: the quantity, a message id.
        unit: its unit, as printed, or ``""``.
        from_zero: whether the axis begins at zero.
        decibels: whether values are read to half a decibel.
        description: sentence that the text alternative begins with, or ``""``.
        decimal: decimal sign of the page's language.
        credit: line under a still.
    """

    title: str
    rows: tuple[RankedRow, ...]
    label: str
    unit: str = ""
    left_out: int = 0
    from_zero: bool = True
    decibels: bool = False
    description: str = ""
    decimal: str = "."
    credit: str = ""


@cache
def _template() -> str:
    import altair as alt

    guide = (
        alt.Chart(named("guides"))
        .mark_rule(stroke="var(--line)", strokeWidth=thick(1))
        .encode(
            x=as_is("X", "from_x"),
            x2=as_is("X2", "to_x"),
            y=as_is("Y", "py"),
        )
    )
    bars = (
        alt.Chart(named("bars"))
        .mark_rule(stroke=colour(0), strokeWidth=thick(6), strokeOpacity=0.4)
        .encode(x=scaled_x("low"), x2=alt.X2("high"), y=as_is("Y", "py"))
    )
    beyond = (
        alt.Chart(named("beyond"))
        .mark_point(
            shape="triangle-left",
            filled=True,
            fill=colour(0),
            opacity=1,
            size=alt.expr("60*stroke*stroke"),
        )
        .encode(x=as_is("X", "px"), y=as_is("Y", "py"))
    )
    dots = (
        alt.Chart(named("dots"))
        .mark_point(
            shape="circle",
            filled=True,
            opacity=1,
            size=alt.expr("60*stroke*stroke"),
            stroke=colour(0),
            strokeWidth=thick(1.75),
        )
        .encode(
            x=scaled_x("value"),
            y=as_is("Y", "py"),
            fill=as_is("Fill", "fill"),
            tooltip=[
                alt.Tooltip("label", type="nominal", title=" "),
                alt.Tooltip("said", type="nominal", title="@x_title"),
            ],
        )
    )
    return template(
        guide,
        bars,
        beyond,
        dots,
        text_layer("names", "left"),
        text_layer("values", "left"),
        text_layer("heads", "left"),
    )


def _least(figure: RankedFigure) -> float:
    """Return what the axis does not go below.

    Where no value is negative, an interval that reaches below nought ends there with an
    arrow: it would press all the others together.
    """
    held = figure.from_zero and all(row.value >= 0 for row in figure.rows)
    return 0.0 if held else -math.inf


def _axis(figure: RankedFigure, frame: Frame) -> Axis:
    least = _least(figure)
    found = [
        max(limit, least)
        for row in figure.rows
        for limit in (row.value, row.low, row.high)
        if limit is not None
    ]
    count = 3 if frame.narrow else 5
    return linear(found, count=count, zero=figure.from_zero)


def _said(figure: RankedFigure, row: RankedRow, words: Words) -> str:
    """Return the text at the right of a row: its interval, else its value."""
    return limits(
        row.value, row.low, row.high, words, figure.decimal, decibels=figure.decibels
    )


def _value(figure: RankedFigure, row: RankedRow) -> str:
    return middle(
        row.value, row.low, row.high, figure.decimal, decibels=figure.decibels
    )


def spec(
    figure: RankedFigure, frame: Frame = WIDE, words: Words = plain
) -> dict[str, Any]:
    """Return the chart's description (Vega-Lite) with its data put in.

    Args:
        figure: what it shows.
        frame: the sheet that it is drawn on.
        words: the interface's words.
    """
    em = frame.text_px
    narrow = frame.narrow
    said = [_said(figure, row, words) for row in figure.rows]
    bounded = any(row.low is not None for row in figure.rows)
    head = (
        words("95 % interval")
        if bounded
        else with_unit("", words(figure.unit)).lstrip(", ")
    )
    right = max(width_em(text) for text in (*said, head)) * em + 1.9 * em
    # On a phone a name stands over its bar, else at its left.
    room = frame.width / em if narrow else 0.34 * frame.width / em
    names = [wrapped(row.label, room - 0.5, 2) for row in figure.rows]
    name_em = max((width_em(line) for name in names for line in name), default=0.0)
    left = 1.4 * em if narrow else (name_em + 1.0) * em
    if frame.titled:
        left += 0.4 * em
    lines = max((len(name) for name in names), default=1)
    row_em = _row_em(frame, lines, narrow=narrow, count=len(figure.rows))
    area = plot(
        frame,
        left=left,
        top=1.9 * em,
        right=right,
        bottom=3.4 * em,
        height=row_em * em * max(len(figure.rows), 1),
    )
    x = _axis(figure, frame)
    rows = _rows(figure, names, said, area, frame, words, narrow=narrow)
    rows["heads"] = [
        {
            "px": round(area.width + 1.2 * em, 2),
            "py": round(-1.0 * em, 2),
            "text": [head],
            "ink": SOFT,
        }
    ]
    return filled(
        _template(),
        frame=frame,
        area=area,
        x=x,
        y=None,
        titles=(with_unit(words(figure.label), words(figure.unit)), ""),
        rows=rows,
        decimal=figure.decimal,
        head=(figure.title, figure.credit),
    )


def _spoken(figure: RankedFigure, row: RankedRow, said: str, words: Words) -> str:
    """Return a row's value with its unit, and its interval."""
    value = f"{_value(figure, row)} {words(figure.unit)}".rstrip()
    if row.low is None or row.high is None:
        return value
    return words("{value}, 95 % interval {interval}", value=value, interval=said)


def _row_em(frame: Frame, lines: int, *, narrow: bool, count: int) -> float:
    """Return the height of a row, em; a frame of fixed height shares it out."""
    if frame.height:
        return (frame.height / frame.text_px - 9) / max(count, 1)
    return LEADING * lines + (1.7 if narrow else 0.9)


def _rows(
    figure: RankedFigure,
    names: list[list[str]],
    said: list[str],
    area: Plot,
    frame: Frame,
    words: Words,
    *,
    narrow: bool,
) -> dict[str, list[Row]]:
    em = frame.text_px
    rows: dict[str, list[Row]] = {
        name: [] for name in ("guides", "bars", "beyond", "dots", "names", "values")
    }
    each = area.height / max(len(figure.rows), 1)
    least = _least(figure)
    for at, (row, name, text) in enumerate(zip(figure.rows, names, said, strict=True)):
        top = at * each
        middle = top + each / 2
        lines = (len(name) - 1) * LEADING * em
        first = middle - lines / 2
        if narrow:
            first = top + 0.75 * em
            middle = first + lines + 1.25 * em
        py = round(middle, 2)
        rows["guides"].append(
            {"from_x": 0, "to_x": round(area.width, 2), "py": py},
        )
        if row.low is not None and row.high is not None:
            low = max(row.low, least)
            rows["bars"].append({"low": low, "high": row.high, "py": py})
            if row.low < least:
                rows["beyond"].append({"px": 0.0, "py": py})
        rows["dots"].append(
            {
                "value": row.value,
                "py": py,
                "fill": colour(0) if row.rated else SHEET,
                "label": row.label,
                "said": text,
                "spoken": _spoken(figure, row, text, words),
            }
        )
        rows["names"].append(
            {
                "px": round((em if frame.titled else 0) - area.left, 2),
                "py": round(first, 2),
                "text": name,
                "ink": INK,
            }
        )
        rows["values"].append(
            {
                "px": round(area.width + 1.2 * em, 2),
                "py": py,
                "text": [text],
                "ink": INK,
            }
        )
    return rows


def description(figure: RankedFigure, words: Words = plain) -> str:
    """Return the text alternative: every value with its interval."""
    label = words(figure.label)
    said = [figure.description or words("{label}, in order.", label=label)]
    for row in figure.rows:
        value = _value(figure, row)
        if row.low is None or row.high is None:
            text = words(
                "{label}: {value} {unit}.",
                label=row.label,
                value=value,
                unit=words(figure.unit),
            )
        else:
            text = words(
                "{label}: {value} {unit}, 95 % interval {interval}.",
                label=row.label,
                value=value,
                unit=words(figure.unit),
                interval=_said(figure, row, words),
            )
        said.append(text.replace(" .", ".").replace(" ,", ","))
    return " ".join(said)


def caption(figure: RankedFigure, words: Words = plain) -> str:
    """Return what the reader must know of how it is drawn."""
    said = []
    if any(row.low is not None for row in figure.rows):
        said.append(words("Bars: 95 % intervals."))
    least = _least(figure)
    if any(row.low is not None and row.low < least for row in figure.rows):
        said.append(words("An arrow: the interval goes on below nought."))
    if any(not row.rated for row in figure.rows):
        said.append(words("Hollow marks: results that are not rated."))
    if figure.left_out:
        said.append(
            words.plural(
                "{n} more is in the table.",
                "{n} more are in the table.",
                figure.left_out,
            )
        )
    return " ".join(said)


def table(
    figure: RankedFigure, words: Words = plain
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return name, value and interval of every row."""
    header = (
        words("Configuration"),
        with_unit(words(figure.label), words(figure.unit)),
        words("95 % interval"),
    )
    rows = tuple(
        (
            row.label,
            _value(figure, row),
            "" if row.low is None or row.high is None else _said(figure, row, words),
        )
        for row in figure.rows
    )
    return header, rows
