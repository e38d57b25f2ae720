"""Residuals of a fit: how far each reading lies from the fitted line."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import sqrt
from typing import Any

from sitegen.figures.axes import Axis, linear
from sitegen.figures.chart import (
    Row,
    filled,
    named,
    plot,
    scaled_x,
    scaled_y,
    template,
    text_layer,
    thick,
)
from sitegen.figures.numbers import Words, number, plain, with_unit
from sitegen.figures.theme import INK, SOFT, WIDE, Frame, colour
from sitegen.figures.thin import every, thinned

LIMIT = 300
"""Points drawn at the most."""


@dataclass(frozen=True, slots=True)
class ResidualFigure:
    """Residuals of the natural logarithm of the concentration.

    Attributes:
        title: title of the figure.
        t_min: elapsed time of the fitted part, minutes, increasing.
        value: residual of ln C at each time; None where there is a gap.
        description: sentence that the text alternative begins with, or ``""``.
        decimal: decimal sign of the page's language.
        credit: line under a still.
    """

    title: str
    t_min: tuple[float, ...]
    value: tuple[float | None, ...]
    description: str = ""
    decimal: str = "."
    credit: str = ""


@cache
def _template() -> str:
    import altair as alt

    spread = (
        alt.Chart(named("spread"))
        .mark_rule(stroke=SOFT, strokeDash=[4, 3], strokeWidth=thick(1))
        .encode(y=scaled_y("y"))
    )
    zero = (
        alt.Chart(named("zero"))
        .mark_rule(stroke=INK, strokeWidth=thick(1))
        .encode(y=scaled_y("y"))
    )
    points = (
        alt.Chart(named("points"))
        .mark_point(
            shape="circle",
            filled=True,
            fill=colour(0),
            size=alt.expr("16*stroke*stroke"),
            opacity=0.85,
        )
        .encode(
            x=scaled_x("t"),
            y=scaled_y("y"),
            tooltip=[
                alt.Tooltip("t", type="quantitative", title="@x_title", format=".3~r"),
                alt.Tooltip("y", type="quantitative", title="@y_title", format=".2~r"),
            ],
        )
    )
    return template(
        spread,
        zero,
        points,
        text_layer("marks", "left"),
    )


def deviation(figure: ResidualFigure) -> float:
    """Return the standard deviation of the residuals about zero; 0 for none."""
    known = [value for value in figure.value if value is not None]
    if not known:
        return 0.0
    return sqrt(sum(value * value for value in known) / len(known))


def _axes(figure: ResidualFigure, frame: Frame) -> tuple[Axis, Axis]:
    x = linear(figure.t_min, count=4 if frame.narrow else 6, round_ends=False)
    known = [abs(value) for value in figure.value if value is not None]
    far = max([*known, 2.2 * deviation(figure)], default=0.0) or 0.01
    return x, linear([-far, far], count=4)


def spec(
    figure: ResidualFigure, frame: Frame = WIDE, words: Words = plain
) -> dict[str, Any]:
    """Return the chart's description (Vega-Lite) with its data put in.

    Args:
        figure: what it shows.
        frame: the sheet that it is drawn on.
        words: the interface's words.
    """
    em = frame.text_px
    area = plot(
        frame,
        left=3.4 * em,
        top=2.4 * em,
        right=3.0 * em,
        bottom=3.4 * em,
        height=(11.0 if frame.narrow else 10.0) * em,
    )
    x, y = _axes(figure, frame)
    s = deviation(figure)
    rows: dict[str, list[Row]] = {
        "zero": [{"y": 0}],
        "spread": [{"y": float(f"{sign * 2 * s:.4g}")} for sign in (1, -1) if s],
        "points": [
            {"t": round(figure.t_min[at], 3), "y": float(f"{value:.4g}")}
            for at in thinned(figure.value, LIMIT)
            if (value := figure.value[at]) is not None
        ],
    }
    rows["marks"] = [
        {
            "px": round(area.width + 0.5 * em, 2),
            "py": round(area.y(y, sign * 2 * s), 2),
            "text": [f"{'+' if sign > 0 else '−'}2 s"],
            "ink": SOFT,
        }
        for sign in (1, -1)
        if s
    ]
    return filled(
        _template(),
        frame=frame,
        area=area,
        x=x,
        y=y,
        titles=(
            with_unit(words("Elapsed time"), "min"),
            words("Residual of ln C"),
        ),
        rows=rows,
        decimal=figure.decimal,
        head=(figure.title, figure.credit),
    )


def description(figure: ResidualFigure, words: Words = plain) -> str:
    """Return the text alternative in whole sentences."""
    known = [value for value in figure.value if value is not None]
    said = [figure.description or words("Residuals of the fitted line against time.")]
    if known:
        said.append(
            words(
                "Standard deviation {s}; lowest {low}, highest {high}.",
                s=number(deviation(figure), figure.decimal, 2),
                low=number(min(known), figure.decimal, 2),
                high=number(max(known), figure.decimal, 2),
            )
        )
    return " ".join(said)


def caption(figure: ResidualFigure, words: Words = plain) -> str:
    """Return what the reader must know of how it is drawn."""
    s = deviation(figure)
    if not s:
        return ""
    return words(
        "Natural logarithm of reading over fit: 0.05 is a reading about 5 % above the"
        " line. Dashed: twice the standard deviation, s = {s}.",
        s=number(s, figure.decimal, 2),
    )


def table(
    figure: ResidualFigure, words: Words = plain
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return about twenty residuals, evenly over the fitted part."""
    header = (with_unit(words("Elapsed time"), "min"), words("Residual of ln C"))
    rows = tuple(
        (
            number(figure.t_min[at], figure.decimal),
            number(figure.value[at], figure.decimal, 2),
        )
        for at in every(len(figure.t_min), 21)
    )
    return header, rows


__all__ = ["ResidualFigure", "caption", "description", "spec", "table"]
