"""Decay curves in words and numbers: text alternative, caption, data table."""

from __future__ import annotations

from math import log

from sitegen.figures.decay import (
    DecayFigure,
    DecayLine,
    axes_of,
    drawn_points,
    last_known,
    named_lines,
)
from sitegen.figures.numbers import Words, number, plain, tick, with_unit
from sitegen.figures.theme import WIDE


def cleared_min(line: DecayLine, target: float) -> float | None:
    """Return when a line first comes down to ``target``, min, or None if it does not.

    Between two readings the share is taken to fall exponentially.
    """
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


def description(figure: DecayFigure, words: Words = plain) -> str:
    """Return the text alternative: what each line comes to, in whole sentences."""
    said = [
        figure.description or words("Decay of the aerosol, as a share of its start.")
    ]
    parts = []
    for line in named_lines(figure):
        cleared = None if figure.target is None else cleared_min(line, figure.target)
        t, share = last_known(line)
        if cleared is not None and figure.target is not None:
            t, share = cleared, figure.target
        parts.append(
            words(
                "{label}: {percent} % left after {minutes} min",
                label=line.label,
                percent=number(100 * share, figure.decimal, 2),
                minutes=number(t, figure.decimal, 2),
            )
        )
    if parts:
        said.append("; ".join(parts) + ".")
    if parts and any(line.role == "repeat" for line in figure.lines):
        said.append(words("These are of the run drawn strongest, not of all repeats."))
    return " ".join(said)


def caption(figure: DecayFigure, words: Words = plain) -> str:
    """Return what the reader must know of how it is drawn, or ``""``."""
    said = []
    if any(line.role == "repeat" for line in figure.lines):
        said.append(words("Strong lines are the middle run, thin lines its repeats."))
    if any(line.band_low for line in figure.lines):
        said.append(words("Shaded: 95 % band of the fit."))
    if any(
        len(drawn_points(line)) < len(line.t_min)
        for line in figure.lines
        if line.role != "fit"
    ):
        said.append(
            words("Fewer points are drawn than were read; the data have them all.")
        )
    _, y = axes_of(figure, WIDE)
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
                "Triangles mark readings under {percent} %, drawn at the edge.",
                percent=tick(y.low, figure.decimal),
            )
        )
    return " ".join(said)


def table(
    figure: DecayFigure, words: Words = plain
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return the numbers at round times: one column a run, per cent of the start."""
    lines = [line for line in figure.lines if line.role != "fit"]
    x, _ = axes_of(figure, WIDE)
    step = x.ticks[1] - x.ticks[0] if len(x.ticks) > 1 else x.high
    header = [with_unit(words(figure.x_label), "min")]
    seen: dict[str, int] = {}
    for line in lines:
        seen[line.label] = seen.get(line.label, 0) + 1
        name = line.label
        if seen[line.label] > 1:
            name = words(
                "{label}, repeat {number}",
                label=line.label,
                number=seen[line.label] - 1,
            )
        header.append(with_unit(name, "%"))
    rows = []
    for minute in x.ticks:
        cells = [_near(line, minute, step / 4) for line in lines]
        if any(cell is not None for cell in cells):
            shown = [
                number(None if cell is None else 100 * cell, figure.decimal)
                for cell in cells
            ]
            rows.append((tick(minute, figure.decimal), *shown))
    return tuple(header), tuple(rows)


def _near(line: DecayLine, t_min: float, within: float) -> float | None:
    """Return the reading nearest to a time, if one is near enough."""
    near = [
        (abs(t - t_min), v)
        for t, v in zip(line.t_min, line.value, strict=True)
        if v is not None and abs(t - t_min) <= within
    ]
    return min(near)[1] if near else None
