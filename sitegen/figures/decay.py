"""Decay curves overlaid: what is left of the aerosol against time.

The middle run of a configuration is drawn strongly, its repeats thinly, its fit as a
fine line in its 95 % band. Every line has its name, or the number of its name, at
its end.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from sitegen.figures.axes import Axis, linear, logarithmic
from sitegen.figures.chart import (
    Row,
    as_is,
    filled,
    named,
    plot,
    scaled_x,
    scaled_y,
    template,
    thick,
)
from sitegen.figures.key import (
    Named,
    key_height,
    key_layers,
    key_rows,
    numbered,
    planned,
)
from sitegen.figures.labels import wrapped
from sitegen.figures.lines import (
    Ending,
    ending_layers,
    ending_rows,
    floor_layer,
    hover_layer,
    line_layer,
    numbers_at_ends,
    right_of,
)
from sitegen.figures.numbers import Words, message, number, plain, with_unit
from sitegen.figures.theme import MARK, WIDE, Frame, colour, dash
from sitegen.figures.thin import every, thinned

LOWEST = 0.001
"""Least share of the start that a logarithmic axis goes down to."""


STRAY = 1.08
"""Share of the start up to which readings may stand out above a linear axis."""
EARLY = 0.8
"""Share of the time axis before which a line ends early."""


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
        lines: the lines.
        target: share of the start that counts as cleared, or None.
        description: sentence that the text alternative begins with, or ``""``.
        x_label: name of the time axis, a message id; it carries minutes.
        y_label: name of the other axis, a message id; it carries per cent.
        scale: ``log`` or ``linear``.
        decimal: decimal sign of the page's language.
        credit: line under a still.
    """

    title: str
    lines: tuple[DecayLine, ...]
    target: float | None
    description: str = ""
    x_label: str = message("Time since the start")
    y_label: str = message("Share of the start's concentration")
    scale: Literal["log", "linear"] = "log"
    decimal: str = "."
    credit: str = ""


@cache
def _template() -> str:
    import altair as alt

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
    return template(
        band,
        target,
        line_layer("repeats", 1, 0.55),
        line_layer("fits", 0.9, 0.9),
        line_layer("middles", 2),
        floor_layer(),
        hover_layer("middles"),
        *ending_layers(),
        *key_layers(samples=True),
    )


def spec(
    figure: DecayFigure, frame: Frame = WIDE, words: Words = plain
) -> dict[str, Any]:
    """Return the chart's description (Vega-Lite) with its data put in.

    Args:
        figure: what it shows.
        frame: the sheet that it is drawn on.
        words: the interface's words.
    """
    em = frame.text_px
    high_em = 20.0 if frame.narrow else 22.0
    known = list(named_lines(figure))
    names = [Named(line.label, line.index) for line in known]
    x, y = axes_of(figure, frame)
    endings = [_ending(line) for line in known]
    # Where lines end far apart, leaders would run across the plot: numbers instead.
    early = len(known) > 1 and min(e.t for e in endings) < EARLY * x.high
    if early:
        plan = numbered(len(names))
    else:
        plan = planned([n.text for n in names], frame, 0.27, high_em - 3)
    target = _target_text(figure, words)
    target_lines = wrapped(target, 0.2 * frame.width / em, 3) if target else []
    aside = [] if early else list(plan.beside)
    aside += [tuple(target_lines)] if target else []
    below = 3.4 * em
    key = key_height(names, frame, samples=True) if plan.keyed else 0.0
    area = plot(
        frame,
        left=3.0 * em,
        top=2.4 * em,
        right=right_of(aside, frame),
        bottom=below + key,
        height=high_em * em,
    )
    rows = _rows(figure, y, frame)
    named_aside = [] if early else list(endings)
    if target and figure.target is not None:
        rows["target"] = [{"y": 100 * figure.target}]
        named_aside.append(Ending(target, 0, 0, 100 * figure.target, MARK, led=False))
    rows.update(ending_rows(named_aside, aside, frame, area, (x, y)))
    if early:
        rows["labels"] += numbers_at_ends(endings, frame, area, (x, y))
    rows["key"] = (
        key_rows(names, frame, area, below, samples=True) if plan.keyed else []
    )
    return filled(
        _template(),
        frame=frame,
        area=area,
        x=x,
        y=y,
        titles=(
            with_unit(words(figure.x_label), "min"),
            with_unit(words(figure.y_label), "%"),
        ),
        rows=rows,
        decimal=figure.decimal,
        head=(figure.title, figure.credit),
    )


def _target_text(figure: DecayFigure, words: Words) -> str:
    if figure.target is None:
        return ""
    percent = number(100 * figure.target, figure.decimal, 2)
    return words("target {percent} %", percent=percent).replace(" %", "\u00a0%")


def axes_of(figure: DecayFigure, frame: Frame) -> tuple[Axis, Axis]:
    """Return the axes of minutes and of per cent."""
    times = [t for line in figure.lines for t in line.t_min]
    count = 4 if frame.narrow else 6
    x = linear(times, count=count, zero=True, round_ends=False)
    shares = [v for line in figure.lines for v in line.value if v is not None]
    if figure.target is not None:
        shares.append(figure.target)
    if figure.scale == "linear":
        # A first reading just above the start would otherwise add an empty tick.
        tops = [100.0 if 1.0 < v <= STRAY else 100 * v for v in shares]
        return x, linear(tops, count=5, zero=True)
    return x, logarithmic([100 * v for v in shares], top=100, lowest=100 * LOWEST)


def _rows(figure: DecayFigure, y: Axis, frame: Frame) -> dict[str, list[Row]]:
    """Return the data of every layer but the labels; shares become per cent."""
    rows: dict[str, list[Row]] = {
        name: []
        for name in ("bands", "repeats", "fits", "middles", "floored", "target")
    }
    names = {"middle": "middles", "repeat": "repeats", "fit": "fits"}
    for at, line in enumerate(figure.lines):
        look = {"line": at, "colour": colour(line.index), "label": line.label}
        dashes = [1, 0] if line.role == "fit" else dash(line.index, frame.stroke)
        for place in drawn_points(line):
            share, t = line.value[place], round(line.t_min[place], 3)
            percent = None if share is None else 100 * share
            if percent is not None and y.log and percent < y.low:
                percent = y.low
                if line.role != "fit":
                    rows["floored"].append({"t": t, "y": y.low, **look})
            shown = None if percent is None else float(f"{percent:.4g}")
            rows[names[line.role]].append({"t": t, "y": shown, "dash": dashes, **look})
        for place in every(len(line.band_low), 40):
            rows["bands"].append(
                {
                    "t": round(line.t_min[place], 3),
                    "low": _held(100 * line.band_low[place], y),
                    "high": _held(100 * line.band_high[place], y),
                    **look,
                }
            )
    return rows


def _held(percent: float, y: Axis) -> float:
    """Return an edge of a band kept on the axis."""
    return float(f"{min(max(percent, y.low), y.high):.4g}")


def drawn_points(line: DecayLine) -> list[int]:
    """Return which points of a line are drawn."""
    if line.role == "fit":
        return every(len(line.t_min), 40)
    return thinned(line.value, 160 if line.role == "middle" else 80)


def named_lines(figure: DecayFigure) -> Iterator[DecayLine]:
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


def last_known(line: DecayLine) -> tuple[float, float]:
    """Return time and share of a line's last reading that is not missing."""
    return next(
        (t, v)
        for t, v in zip(reversed(line.t_min), reversed(line.value), strict=True)
        if v is not None
    )


def _ending(line: DecayLine) -> Ending:
    t, share = last_known(line)
    return Ending(line.label, line.index, t, 100 * share)
