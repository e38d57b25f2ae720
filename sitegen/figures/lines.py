"""What figures of lines over time share: layers, and names at the lines' ends."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sitegen.figures.axes import Axis
from sitegen.figures.chart import (
    Plot,
    Row,
    as_is,
    named,
    scaled_x,
    scaled_y,
    text_layer,
    thick,
)
from sitegen.figures.labels import LEADING, spread, width_em
from sitegen.figures.theme import INK, Frame, colour

LEADER_EM = 1.3
"""Room between a plot and the names beside it, in em."""


@dataclass(frozen=True, slots=True)
class Ending:
    """The end of a line, where its name goes.

    Attributes:
        text: its name.
        index: which series it is; from 0.
        t: time of its last reading, in the unit of the axis.
        value: its last reading, in the unit of the axis.
        ink: colour of the name.
        led: whether a short line leads from the end to the name.
    """

    text: str
    index: int
    t: float
    value: float
    ink: str = INK
    led: bool = True


def line_layer(name: str, width: float, opacity: float = 1) -> Any:
    """Return a layer of lines: rows of ``t``, ``y``, ``line`` and their look."""
    import altair as alt

    return (
        alt.Chart(named(name))
        .mark_line(strokeWidth=thick(width), strokeOpacity=opacity, strokeJoin="round")
        .encode(
            x=scaled_x("t"),
            y=scaled_y("y"),
            detail=alt.Detail("line", type="nominal"),
            stroke=as_is("Stroke", "colour"),
            strokeDash=as_is("StrokeDash", "dash"),
        )
    )


def hover_layer(name: str) -> Any:
    """Return a layer of unseen points that say their reading when pointed at."""
    import altair as alt

    return (
        alt.Chart(named(name))
        .mark_point(filled=True, fill=INK, opacity=0, size=alt.expr("120"))
        .encode(
            x=scaled_x("t"),
            y=scaled_y("y"),
            tooltip=[
                alt.Tooltip("label", type="nominal", title=" "),
                alt.Tooltip("t", type="quantitative", title="@x_title", format=".3~r"),
                alt.Tooltip("y", type="quantitative", title="@y_title", format=".3~r"),
            ],
        )
    )


def floor_layer() -> Any:
    """Return the layer of readings too low for the axis, rows ``floored``."""
    import altair as alt

    return (
        alt.Chart(named("floored"))
        .mark_point(
            shape="triangle-down",
            filled=False,
            size=alt.expr("26*stroke*stroke"),
            strokeWidth=thick(1.25),
            opacity=1,
        )
        .encode(x=scaled_x("t"), y=scaled_y("y"), stroke=as_is("Stroke", "colour"))
    )


def ending_layers() -> tuple[Any, Any]:
    """Return the layers of names at line ends, rows ``leaders`` and ``labels``."""
    import altair as alt

    leader = (
        alt.Chart(named("leaders"))
        .mark_rule(strokeWidth=thick(1.25))
        .encode(
            x=as_is("X", "from_x"),
            x2=as_is("X2", "to_x"),
            y=as_is("Y", "from_y"),
            y2=as_is("Y2", "to_y"),
            stroke=as_is("Stroke", "colour"),
        )
    )
    return leader, text_layer("labels", "left")


def ending_rows(
    endings: Sequence[Ending],
    texts: Sequence[Sequence[str]],
    frame: Frame,
    area: Plot,
    axes: tuple[Axis, Axis],
) -> dict[str, list[Row]]:
    """Return the rows of names at line ends, none over another.

    Args:
        endings: where the lines end.
        texts: for each the lines of text that name it.
        frame: the sheet.
        area: the plot.
        axes: axis of time and axis of the readings.
    """
    x, y = axes
    em = frame.text_px
    places = [
        area.y(y, min(max(ending.value, y.low), y.high) if y.log else ending.value)
        for ending in endings
    ]
    heights = [LEADING * em * len(text) + 0.2 * em for text in texts]
    centres = spread(places, heights, -0.6 * em, area.height + 0.6 * em)
    px = area.width + LEADER_EM * em
    leaders: list[Row] = []
    labels: list[Row] = []
    for ending, text, place, middle in zip(
        endings, texts, places, centres, strict=True
    ):
        labels.append(
            {
                "px": round(px, 2),
                "py": round(middle - LEADING * em * (len(text) - 1) / 2, 2),
                "text": list(text),
                "ink": ending.ink,
            }
        )
        if ending.led:
            leaders.append(
                {
                    "colour": colour(ending.index),
                    "from_x": round(area.x(x, ending.t) + 0.25 * em, 2),
                    "from_y": round(place, 2),
                    "to_x": round(px - 0.35 * em, 2),
                    "to_y": round(middle, 2),
                }
            )
    return {"labels": labels, "leaders": leaders}


def numbers_at_ends(
    endings: Sequence[Ending], frame: Frame, area: Plot, axes: tuple[Axis, Axis]
) -> list[Row]:
    """Return rows of ``labels``: each line's number right at its end, inside the plot.

    Numbers that would stand on each other are moved apart, up or down.

    Args:
        endings: where the lines end, in the order of their numbers.
        frame: the sheet.
        area: the plot.
        axes: axis of time and axis of the readings.
    """
    x, y = axes
    em = frame.text_px
    across = [area.x(x, ending.t) + 0.45 * em for ending in endings]
    down = [area.y(y, max(ending.value, y.low)) for ending in endings]
    order = sorted(range(len(endings)), key=lambda at: across[at])
    groups: list[list[int]] = []
    for at in order:
        if groups and across[at] - across[groups[-1][-1]] < 1.2 * em:
            groups[-1].append(at)
        else:
            groups.append([at])
    for group in groups:
        wanted = [down[at] for at in group]
        places = spread(wanted, [1.1 * em] * len(group), 0, area.height + 0.8 * em)
        for at, place in zip(group, places, strict=True):
            down[at] = place
    return [
        {
            "px": round(across[at], 2),
            "py": round(down[at], 2),
            "text": [str(at + 1)],
            "ink": INK,
        }
        for at in range(len(endings))
    ]


def right_of(texts: Iterable[Sequence[str]], frame: Frame) -> float:
    """Return the margin that texts beside a plot need, px."""
    widest = max((width_em(line) for lines in texts for line in lines), default=0.0)
    return (widest + LEADER_EM + 0.4) * frame.text_px
