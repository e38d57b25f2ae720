"""Decay curves overlaid: what is left of the aerosol against time.

The middle run of a configuration is drawn strongly, its repeats thinly, its fit as a
fine line in its 95 % band. Every line has its name at its end.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from sitegen.figures.axes import Axis, linear, logarithmic
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
from sitegen.figures.labels import LEADING, spread, width_em, wrapped
from sitegen.figures.numbers import Words, number
from sitegen.figures.theme import INK, MARK, WIDE, Frame, colour, dash
from sitegen.figures.thin import every, thinned

LOWEST = 0.001
"""Least share of the start that a logarithmic axis goes down to."""


@dataclass(frozen=True, slots=True)
class DecayLine:
    """One line of a decay figure.

    Attributes:
        label: its name; lines of one ``index`` share it.
        role: ``middle`` (strong), ``repeat`` (thin) or ``fit`` (fine, with its band).
        t_min: minutes since the start, increasing.
        value: share of the start's concentration, C/C0; None where there is a gap.
        band_low: lower edge of the 95 % band at each time, or empty.
        band_high: upper edge of the 95 % band, or empty.
        index: which series it belongs to: colour and dash; from 0.
    """

    label: str
    role: Literal["middle", "repeat", "fit"]
    t_min: tuple[float, ...]
    value: tuple[float | None, ...]
    band_low: tuple[float, ...] = ()
    band_high: tuple[float, ...] = ()
    index: int = 0


@dataclass(frozen=True, slots=True)
class DecayFigure:
    """Decay curves in one room under one method.

    Attributes:
        title: title of the figure.
        description: sentence that the text alternative begins with, or ``""``.
        target: share of the start that counts as cleared, or None.
        target_label: what stands at the target's rule.
        lines: the lines, in the order of the legend that there is none of.
        x_label: title of the time axis.
        y_label: title of the other axis; it carries per cent of the start.
        scale: ``log`` or ``linear``.
        decimal: decimal sign of the page's language.
        credit: line under a still.
    """

    title: str
    description: str
    target: float | None
    target_label: str
    lines: tuple[DecayLine, ...]
    x_label: str
    y_label: str
    scale: Literal["log", "linear"] = "log"
    decimal: str = "."
    credit: str = ""


@cache
def _template() -> str:
    import altair as alt

    def lines(name: str, width: float, opacity: float) -> Any:
        return (
            alt.Chart(named(name))
            .mark_line(
                strokeWidth=thick(width), strokeOpacity=opacity, strokeJoin="round"
            )
            .encode(
                x=scaled_x("t"),
                y=scaled_y("y"),
                detail=alt.Detail("line", type="nominal"),
                stroke=as_is("Stroke", "colour"),
                strokeDash=as_is("StrokeDash", "dash"),
                tooltip=[
                    alt.Tooltip("label", type="nominal", title=" "),
                    alt.Tooltip("t", type="quantitative", title="@x_title"),
                    alt.Tooltip(
                        "y", type="quantitative", title="@y_title", format=".3~r"
                    ),
                ],
            )
        )

    band = (
        alt.Chart(named("bands"))
        .mark_area(fillOpacity=0.16)
        .encode(
            x=scaled_x("t"),
            y=scaled_y("low"),
            y2=alt.Y2("high"),
            detail=alt.Detail("line", type="nominal"),
            fill=as_is("Fill", "colour"),
        )
    )
    target = (
        alt.Chart(named("target"))
        .mark_rule(stroke=MARK, strokeDash=[2, 3], strokeWidth=thick(1.25))
        .encode(y=scaled_y("y"))
    )
    floor = (
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
    leader = (
        alt.Chart(named("labels"))
        .mark_rule(strokeWidth=thick(1.25))
        .encode(
            x=as_is("X", "from_x"),
            x2=as_is("X2", "to_x"),
            y=as_is("Y", "from_y"),
            y2=as_is("Y2", "to_y"),
            stroke=as_is("Stroke", "colour"),
        )
    )
    return template(
        band,
        target,
        lines("repeats", 1, 0.55),
        lines("fits", 0.9, 0.9),
        lines("middles", 2, 1),
        floor,
        leader,
        text_layer("labels", "left"),
        text_layer("target", "left"),
    )


def spec(figure: DecayFigure, frame: Frame = WIDE) -> dict[str, Any]:
    """Return the chart's description (Vega-Lite) with its data put in."""
    em = frame.text_px
    endings = [_Ending(line) for line in _named_lines(figure)]
    names = [ending.line.label for ending in endings]
    if figure.target is not None:
        names.append(figure.target_label)
    room = 0.26 if frame.name == "narrow" else 0.25
    widest = max((width_em(name) for name in names), default=0.0)
    label_em = min(widest, room * frame.width / em)
    area = plot(
        frame,
        left=3.0 * em,
        top=2.4 * em,
        right=label_em * em + 1.7 * em,
        bottom=3.4 * em,
        height=(21.0 if frame.name == "narrow" else 22.0) * em,
    )
    x, y = _axes(figure, frame)
    rows = _rows(figure, y)
    rows.update(_labels(figure, endings, frame, area, (x, y), label_em))
    return filled(
        _template(),
        frame=frame,
        area=area,
        x=x,
        y=y,
        titles=(figure.x_label, figure.y_label),
        rows=rows,
        decimal=figure.decimal,
        head=(figure.title, figure.credit),
    )


def _axes(figure: DecayFigure, frame: Frame) -> tuple[Axis, Axis]:
    times = [t for line in figure.lines for t in line.t_min]
    count = 4 if frame.name == "narrow" else 6
    x = linear(times, count=count, zero=True, round_ends=False)
    shares = [v for line in figure.lines for v in line.value if v is not None]
    if figure.target is not None:
        shares.append(figure.target)
    if figure.scale == "linear":
        return x, linear([100 * v for v in shares], count=5, zero=True)
    return x, logarithmic([100 * v for v in shares], top=100, lowest=100 * LOWEST)


def _rows(figure: DecayFigure, y: Axis) -> dict[str, list[Row]]:
    """Return the data of every layer but the labels; shares become per cent."""
    rows: dict[str, list[Row]] = {
        name: [] for name in ("bands", "repeats", "fits", "middles", "floored")
    }
    names = {"middle": "middles", "repeat": "repeats", "fit": "fits"}
    for at, line in enumerate(figure.lines):
        look = {"line": at, "colour": colour(line.index), "label": line.label}
        dashes = [1, 0] if line.role == "fit" else dash(line.index)
        for place in _drawn(line):
            share, t = line.value[place], round(line.t_min[place], 4)
            percent = None if share is None else 100 * share
            if percent is not None and y.log and percent < y.low:
                percent = y.low
                if line.role != "fit":
                    rows["floored"].append({"t": t, "y": y.low, **look})
            shown = None if percent is None else float(f"{percent:.5g}")
            rows[names[line.role]].append({"t": t, "y": shown, "dash": dashes, **look})
        for place in every(len(line.band_low), 40):
            rows["bands"].append(
                {
                    "t": round(line.t_min[place], 4),
                    "low": _held(100 * line.band_low[place], y),
                    "high": _held(100 * line.band_high[place], y),
                    **look,
                }
            )
    return rows


def _held(percent: float, y: Axis) -> float:
    """Return an edge of a band kept on the axis."""
    return float(f"{min(max(percent, y.low), y.high):.5g}")


def _drawn(line: DecayLine) -> list[int]:
    if line.role == "fit":
        return every(len(line.t_min), 40)
    return thinned(line.value, 160 if line.role == "middle" else 80)


def _named_lines(figure: DecayFigure) -> Iterator[DecayLine]:
    """Yield the line of each series that bears its name: middle, else any first."""
    strength = {"middle": 0, "fit": 1, "repeat": 2}
    best: dict[int, DecayLine] = {}
    for line in figure.lines:
        held = best.get(line.index)
        if any(v is not None for v in line.value) and (
            held is None or strength[line.role] < strength[held.role]
        ):
            best[line.index] = line
    yield from best.values()


class _Ending:
    """The last reading of a line, where its name goes.

    Attributes:
        line: the line.
        t_min: time of its last reading, min.
        share: its last reading; the middle of the last few, which steadies the place.
    """

    __slots__ = ("line", "share", "t_min")

    def __init__(self, line: DecayLine) -> None:
        known = [
            (t, v) for t, v in zip(line.t_min, line.value, strict=True) if v is not None
        ]
        self.line = line
        self.t_min, self.share = known[-1]


def _labels(
    figure: DecayFigure,
    endings: list[_Ending],
    frame: Frame,
    area: Plot,
    axes: tuple[Axis, Axis],
    label_em: float,
) -> dict[str, list[Row]]:
    """Return the rows of names at line ends and at the target's rule."""
    x, y = axes
    em = frame.text_px
    texts = [wrapped(ending.line.label, label_em) for ending in endings]
    places = [area.y(y, max(100 * ending.share, y.low)) for ending in endings]
    target: list[Row] = []
    if figure.target is not None:
        texts.append(wrapped(figure.target_label, label_em))
        places.append(area.y(y, 100 * figure.target))
        target = [{"y": 100 * figure.target}]
    heights = [LEADING * em * len(text) + 0.2 * em for text in texts]
    centres = spread(places, heights, -0.6 * em, area.height + 0.6 * em)
    rows: list[Row] = []
    px = area.width + 1.3 * em
    for ending, text, place, middle in zip(
        endings, texts, places, centres, strict=False
    ):
        rows.append(
            {
                "px": round(px, 2),
                "py": round(middle - LEADING * em * (len(text) - 1) / 2, 2),
                "text": text,
                "ink": INK,
                "colour": colour(ending.line.index),
                "from_x": round(area.x(x, ending.t_min) + 0.25 * em, 2),
                "from_y": round(place, 2),
                "to_x": round(px - 0.35 * em, 2),
                "to_y": round(middle, 2),
            }
        )
    for row in target:
        middle = centres[-1] - LEADING * em * (len(texts[-1]) - 1) / 2
        row.update(px=round(px, 2), py=round(middle, 2), text=texts[-1], ink=MARK)
    return {"labels": rows, "target": target}


def cleared_min(line: DecayLine, target: float) -> float | None:
    """Return when a line first comes down to ``target``, min, or None if it does not.

    Between two readings the share is taken to fall exponentially.
    """
    from math import log

    before: tuple[float, float] | None = None
    for t, share in zip(line.t_min, line.value, strict=True):
        if share is None:
            continue
        if share <= target:
            if before is None or share <= 0:
                return t
            t0, share0 = before
            return t0 + (t - t0) * log(share0 / target) / log(share0 / share)
        before = (t, share)
    return None


def description(figure: DecayFigure, words: Words) -> str:
    """Return the text alternative: what each line comes to, in whole sentences."""
    said = [figure.description] if figure.description else []
    if not figure.description:
        said.append(words("What is left of the aerosol, against time."))
    parts = []
    for line in _named_lines(figure):
        ending = _Ending(line)
        cleared = None if figure.target is None else cleared_min(line, figure.target)
        if cleared is not None and figure.target is not None:
            share, t = figure.target, cleared
        else:
            share, t = ending.share, ending.t_min
        parts.append(
            words("{label}: {percent} % left after {minutes} min").format(
                label=line.label,
                percent=number(100 * share, figure.decimal, 2),
                minutes=number(t, figure.decimal, 2),
            )
        )
    if parts:
        said.append("; ".join(parts) + ".")
    return " ".join(said)


def caption(figure: DecayFigure, words: Words) -> str:
    """Return what the reader must know of how it is drawn, or ``""``."""
    said = []
    if any(line.role == "repeat" for line in figure.lines):
        said.append(words("Strong lines are the middle run, thin lines its repeats."))
    if any(line.band_low for line in figure.lines):
        said.append(words("Shaded: 95 % band of the fit."))
    if any(len(_drawn(line)) < len(line.t_min) for line in figure.lines):
        said.append(
            words("Fewer points are drawn than were read; the data have them all.")
        )
    _, y = _axes(figure, WIDE)
    low = [
        v
        for line in figure.lines
        if line.role != "fit"
        for v in line.value
        if v is not None
    ]
    if y.log and any(100 * v < y.low for v in low):
        said.append(
            words(
                "Triangles mark readings at or under {percent} %, drawn there."
            ).format(percent=number(y.low, figure.decimal))
        )
    return " ".join(said)


def table(
    figure: DecayFigure, words: Words
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return the numbers at round times: one column a run, per cent of the start."""
    lines = [line for line in figure.lines if line.role != "fit"]
    x, _ = _axes(figure, WIDE)
    step = x.ticks[1] - x.ticks[0] if len(x.ticks) > 1 else x.high
    header = [figure.x_label]
    seen: dict[str, int] = {}
    for line in lines:
        seen[line.label] = seen.get(line.label, 0) + 1
        name = words("{label}, repeat {number}") if seen[line.label] > 1 else "{label}"
        header.append(
            name.format(label=line.label, number=seen[line.label] - 1) + ", %"
        )
    rows = []
    for tick in x.ticks:
        cells = [_near(line, tick, step / 4) for line in lines]
        if any(cell is not None for cell in cells):
            shown = [
                number(None if cell is None else 100 * cell, figure.decimal)
                for cell in cells
            ]
            rows.append((number(tick, figure.decimal), *shown))
    return tuple(header), tuple(rows)


def _near(line: DecayLine, t_min: float, within: float) -> float | None:
    """Return the reading nearest to a time, if one is near enough."""
    near = [
        (abs(t - t_min), v)
        for t, v in zip(line.t_min, line.value, strict=True)
        if v is not None and abs(t - t_min) <= within
    ]
    return min(near)[1] if near else None


__all__ = ["DecayFigure", "DecayLine", "caption", "description", "spec", "table"]
