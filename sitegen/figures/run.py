"""One run's readings: what each instrument logged, what was fitted, what happened.

Readings stand on a logarithmic axis, on which a constant decay rate is a straight
line. The fitted part is shaded; events are rules with their names above the plot.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from sitegen.figures.axes import Axis, linear, logarithmic
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
from sitegen.figures.key import Named, key_height, key_layers, key_rows, planned
from sitegen.figures.labels import LEADING, width_em
from sitegen.figures.lines import (
    Ending,
    ending_layers,
    ending_rows,
    floor_layer,
    hover_layer,
    line_layer,
    right_of,
)
from sitegen.figures.numbers import Words, listed, message, number, plain, with_unit
from sitegen.figures.theme import ACCENT, INK, SOFT, WIDE, Frame, colour, dash
from sitegen.figures.thin import every, thinned

DECADES = 4
"""Decades under the highest reading that the axis goes down at the most."""

EVENTS: Mapping[str, str] = MappingProxyType(
    {
        "injected": message("aerosol in"),
        "mixing_on": message("mixing on"),
        "mixing_off": message("mixing off"),
        "device_on": message("cleaner on"),
        "device_off": message("cleaner off"),
        "door": message("door"),
        "other": message("other event"),
    }
)
"""Names of events, message ids."""


@dataclass(frozen=True, slots=True)
class RunLine:
    """What one instrument read, and what was fitted to it.

    Attributes:
        label: the instrument's name.
        t_min: elapsed time, minutes, increasing.
        value: readings as logged; None where there is a gap.
        fit_t_min: times of the fitted curve, minutes, or empty.
        fit: the fitted curve in the unit of the readings.
    """

    label: str
    t_min: tuple[float, ...]
    value: tuple[float | None, ...]
    fit_t_min: tuple[float, ...] = ()
    fit: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class RunFigure:
    """The readings of one run.

    Attributes:
        title: title of the figure.
        lines: one an instrument.
        unit: unit of the readings, as printed.
        window_min: first and last minute of the fitted part, or None.
        events: minute and kind of each event; kinds are the keys of `EVENTS`.
        rate_per_h: fitted decay rate and its 95 % limits, 1/h, or None.
        description: sentence that the text alternative begins with, or ``""``.
        decimal: decimal sign of the page's language.
        credit: line under a still.
    """

    title: str
    lines: tuple[RunLine, ...]
    unit: str
    window_min: tuple[float, float] | None
    events: tuple[tuple[float, str], ...] = ()
    rate_per_h: tuple[float, float | None, float | None] | None = None
    description: str = ""
    decimal: str = "."
    credit: str = ""


@cache
def _template() -> str:
    import altair as alt

    window = (
        alt.Chart(named("window"))
        .mark_rect(fill=ACCENT, fillOpacity=0.09)
        .encode(
            x=scaled_x("from"),
            x2=alt.X2("to"),
            y=as_is("Y", "top"),
            y2=as_is("Y2", "bottom"),
        )
    )
    rule = (
        alt.Chart(named("events"))
        .mark_rule(stroke=SOFT, strokeWidth=thick(1))
        .encode(x=scaled_x("t"), y=as_is("Y", "top"), y2=as_is("Y2", "bottom"))
    )
    return template(
        window,
        rule,
        line_layer("readings", 1.5, 0.9),
        line_layer("fits", 1.6),
        floor_layer(),
        hover_layer("readings"),
        *ending_layers(),
        text_layer("event_names", "left"),
        *key_layers(samples=True),
    )


def axes_of(figure: RunFigure, frame: Frame) -> tuple[Axis, Axis]:
    """Return the axes of minutes and of readings."""
    times = [t for line in figure.lines for t in line.t_min]
    times += [at for at, _ in figure.events]
    x = linear(times, count=4 if frame.narrow else 6, round_ends=False)
    values = [v for line in figure.lines for v in line.value if v is not None]
    top = max(values, default=1.0)
    top = top if top > 0 else 1.0
    return x, logarithmic(values, top=top * 1.15, lowest=top * 10.0**-DECADES)


def spec(
    figure: RunFigure, frame: Frame = WIDE, words: Words = plain
) -> dict[str, Any]:
    """Return the chart's description (Vega-Lite) with its data put in.

    Args:
        figure: what it shows.
        frame: the sheet that it is drawn on.
        words: the interface's words.
    """
    em = frame.text_px
    high_em = 18.0
    known = [
        (at, line)
        for at, line in enumerate(figure.lines)
        if any(v is not None for v in line.value)
    ]
    names = [Named(line.label, at) for at, line in known]
    plan = planned([name.text for name in names], frame, 0.25, high_em)
    below = 3.4 * em
    key = key_height(names, frame, samples=True) if plan.keyed else 0.0
    right = right_of(plan.beside, frame)
    width = frame.width - 3.4 * em - right - (2 * em if frame.titled else 0)
    x, y = axes_of(figure, frame)
    tags = _tags(figure, words, x, width, right, em)
    rows_up = max((row for *_, row in tags), default=-1) + 1
    area = plot(
        frame,
        left=3.4 * em,
        top=(2.2 + LEADING * rows_up + (0.5 if rows_up else 0)) * em,
        right=right,
        bottom=below + key,
        height=high_em * em,
    )
    rows = _rows(figure, y, frame)
    rows.update(_marks(figure, area, tags, em))
    endings = [_ending(line, at) for at, line in known]
    rows.update(ending_rows(endings, plan.beside, frame, area, (x, y)))
    rows["key"] = (
        key_rows(names, frame, area, below, samples=True) if plan.keyed else []
    )
    made = filled(
        _template(),
        frame=frame,
        area=area,
        x=x,
        y=y,
        titles=(
            with_unit(words("Elapsed time"), "min"),
            with_unit(words("Concentration"), words(figure.unit)),
        ),
        rows=rows,
        decimal=figure.decimal,
        head=(figure.title, figure.credit),
    )
    # The title stands above the names of the events, not among them.
    made["config"]["axisY"]["titleY"] = -(LEADING * rows_up + 1.1) * em
    return made


def _rows(figure: RunFigure, y: Axis, frame: Frame) -> dict[str, list[Row]]:
    rows: dict[str, list[Row]] = {"readings": [], "fits": [], "floored": []}
    for at, line in enumerate(figure.lines):
        look = {"line": at, "colour": colour(at), "label": line.label}
        for place in thinned(line.value):
            value, t = line.value[place], round(line.t_min[place], 3)
            if value is not None and value < y.low:
                rows["floored"].append({"t": t, "y": y.low, **look})
                value = y.low
            shown = None if value is None else float(f"{value:.4g}")
            rows["readings"].append(
                {"t": t, "y": shown, "dash": dash(at, frame.stroke), **look}
            )
        for place in every(len(line.fit), 40):
            if line.fit[place] >= y.low:
                rows["fits"].append(
                    {
                        "t": round(line.fit_t_min[place], 3),
                        "y": float(f"{line.fit[place]:.4g}"),
                        "dash": [1, 0],
                        **look,
                        "colour": INK,
                    }
                )
    return rows


def _tags(
    figure: RunFigure, words: Words, x: Axis, width: float, right: float, em: float
) -> list[tuple[float, str, float, int]]:
    """Return minute, name, left edge in px and row (0 lowest) of each event's name.

    A name stands right of its rule where there is room, else left of it. A rule runs
    from its name down through all lower rows, so that a tag stands above every tag
    that it reaches over: no two names overlap and no rule crosses a name.

    Args:
        figure: what it shows.
        words: the interface's words.
        x: axis of minutes.
        width: width of the plot, px.
        right: room at its right, px.
        em: size of type, px.
    """
    aside, gap = 0.25 * em, 0.6 * em
    rightward: list[tuple[float, str, float, float]] = []
    leftward: list[tuple[float, str, float, float]] = []
    edge = width + right - aside
    for at, what in sorted(figure.events, reverse=True):
        text = words(EVENTS.get(what, what))
        rule = x.share(at) * width
        reach = aside + width_em(text) * em
        if rule + reach <= edge:
            rightward.append((at, text, rule, rule + reach))
        else:
            leftward.append((at, text, rule - reach, rule))
            # A name further left must not reach over this rule.
            edge = rule - gap
    tags: list[tuple[float, str, float, int]] = []
    taken: list[tuple[float, float, int]] = []
    for at, text, start, end in [*rightward, *reversed(leftward)]:
        under = [
            row for low, high, row in taken if low < end + gap and start < high + gap
        ]
        row = max(under, default=-1) + 1
        taken.append((start, end, row))
        to_right = (at, text, start, end) in rightward
        tags.append((at, text, start + aside if to_right else start, row))
    return sorted(tags)


def _marks(
    figure: RunFigure,
    area: Plot,
    tags: Sequence[tuple[float, str, float, int]],
    em: float,
) -> dict[str, list[Row]]:
    """Return the rows of the fitted part and of the events."""
    events: list[Row] = []
    texts: list[Row] = []
    for at, text, left, row in tags:
        base = -(0.5 + LEADING * (row + 0.5)) * em
        events.append(
            {"t": at, "top": round(base - 0.6 * em, 2), "bottom": area.height}
        )
        texts.append(
            {"px": round(left, 2), "py": round(base, 2), "text": [text], "ink": SOFT}
        )
    window: list[Row] = []
    if figure.window_min is not None:
        low, high = figure.window_min
        window = [{"from": low, "to": high, "top": 0, "bottom": area.height}]
    return {"window": window, "events": events, "event_names": texts}


def _ending(line: RunLine, index: int) -> Ending:
    t, value = next(
        (t, v)
        for t, v in zip(reversed(line.t_min), reversed(line.value), strict=True)
        if v is not None
    )
    return Ending(line.label, index, t, value)


def description(figure: RunFigure, words: Words = plain) -> str:
    """Return the text alternative in whole sentences."""
    dec = figure.decimal
    names = listed([line.label for line in figure.lines], words)
    said = [
        figure.description or words("Readings of {names} against time.", names=names)
    ]
    if figure.window_min is not None and figure.rate_per_h is not None:
        said.append(
            words(
                "Fitted from minute {start} to minute {end}: "
                "decay rate {rate} per hour.",
                start=number(figure.window_min[0], dec),
                end=number(figure.window_min[1], dec),
                rate=number(figure.rate_per_h[0], dec),
            )
        )
    if figure.events:
        events = [
            words(
                "{what} at minute {minute}",
                what=words(EVENTS.get(what, what)),
                minute=number(at, dec),
            )
            for at, what in sorted(figure.events)
        ]
        said.append(words("Events: {events}.", events="; ".join(events)))
    return " ".join(said)


def caption(figure: RunFigure, words: Words = plain) -> str:
    """Return what the reader must know of how it is drawn."""
    said = []
    if figure.window_min is not None:
        said.append(words("Shaded: the fitted part; strong line: the fit."))
    if any(len(thinned(line.value)) < len(line.value) for line in figure.lines):
        said.append(
            words("Fewer points are drawn than were read; the data have them all.")
        )
    _, y = axes_of(figure, WIDE)
    if any(v is not None and v < y.low for line in figure.lines for v in line.value):
        said.append(
            words(
                "Triangles mark readings of zero, below zero or too low for the axis,"
                " drawn at its edge."
            )
        )
    return " ".join(said)


def table(
    figure: RunFigure, words: Words = plain
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return about twenty readings of each instrument, evenly over the run."""
    header = (
        with_unit(words("Elapsed time"), "min"),
        *(with_unit(line.label, words(figure.unit)) for line in figure.lines),
    )
    count = max((len(line.t_min) for line in figure.lines), default=0)
    rows = []
    for at in every(count, 21):
        times = [line.t_min[at] for line in figure.lines if at < len(line.t_min)]
        cells = [
            number(line.value[at] if at < len(line.value) else None, figure.decimal)
            for line in figure.lines
        ]
        rows.append((number(times[0], figure.decimal), *cells))
    return header, tuple(rows)
