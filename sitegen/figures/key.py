"""Names of lines and points: beside them where they fit, else numbers and a key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sitegen.figures.chart import Plot, Row, as_is, named, text_layer, thick
from sitegen.figures.labels import LEADING, width_em, wrapped
from sitegen.figures.theme import INK, Frame, colour, dash

SAMPLE_EM = 2.6
"""How long the sample of a line is in the key, in em."""
NUMBER_EM = 2.0
"""Room for a number in the key, in em."""
GAP_EM = 0.35
"""Room under each entry of the key, in em."""


@dataclass(frozen=True, slots=True)
class Named:
    """A line or point with a name.

    Attributes:
        text: its name.
        index: which series it is, for colour and dash; from 0.
    """

    text: str
    index: int


@dataclass(frozen=True, slots=True)
class Plan:
    """How the names of a figure are shown.

    Attributes:
        beside: for each name the lines of text that stand beside it.
        keyed: whether these are numbers, explained by a key under the plot.
    """

    beside: tuple[tuple[str, ...], ...]
    keyed: bool


def numbered(count: int) -> Plan:
    """Return the plan that names everything by its number in a key."""
    return Plan(tuple((str(at + 1),) for at in range(count)), keyed=True)


def planned(names: Sequence[str], frame: Frame, share: float, room_em: float) -> Plan:
    """Return whether names fit beside a plot, and how they are broken.

    Args:
        names: the names.
        frame: the sheet.
        share: share of its width that they may take.
        room_em: height of the plot, in em of its type.
    """
    em = frame.text_px
    most = max(1, min(3, int(room_em / max(len(names), 1) / LEADING)))
    room = share * frame.width / em
    widest = min(max((width_em(name) for name in names), default=0.0), room)
    beside = tuple(tuple(wrapped(name, widest, most)) for name in names)
    fits = all(
        " ".join(lines).split() == name.split()
        for lines, name in zip(beside, names, strict=True)
    )
    if fits:
        return Plan(beside, keyed=False)
    return numbered(len(names))


def _columns(frame: Frame, count: int) -> int:
    return 1 if frame.narrow or count < 4 else 2


def _broken(
    names: Sequence[Named], frame: Frame, *, samples: bool
) -> tuple[list[list[str]], float, int]:
    """Return the lines of every entry, the width of a column and the start of text."""
    em = frame.text_px
    columns = _columns(frame, len(names))
    width = (frame.width - (2 * em if frame.titled else 0)) / columns
    start = NUMBER_EM + (SAMPLE_EM + 0.6 if samples else 0)
    return (
        [wrapped(name.text, width / em - start - 0.8, 2) for name in names],
        width,
        columns,
    )


def key_height(names: Sequence[Named], frame: Frame, *, samples: bool) -> float:
    """Return how high a key is, px."""
    lines, _, columns = _broken(names, frame, samples=samples)
    each = -(-len(lines) // columns)
    heights = [
        sum(LEADING * len(entry) + GAP_EM for entry in lines[at : at + each])
        for at in range(0, len(lines), each)
    ]
    return (max(heights) + 0.9) * frame.text_px


def key_rows(
    names: Sequence[Named], frame: Frame, area: Plot, below: float, *, samples: bool
) -> list[Row]:
    """Return the rows of a key, for `key_layers`.

    Args:
        names: what it explains, numbered from 1.
        frame: the sheet.
        area: the plot.
        below: room between the plot and the key, px.
        samples: whether a piece of each line stands in it.
    """
    em = frame.text_px
    lines, width, columns = _broken(names, frame, samples=samples)
    each = -(-len(lines) // columns)
    rows: list[Row] = []
    origin = -area.left + (em if frame.titled else 0)
    for column in range(columns):
        y = area.height + below + 1.2 * em
        x = origin + column * width
        for at in range(column * each, min((column + 1) * each, len(lines))):
            text = x + NUMBER_EM * em
            sample = {
                "from_x": round(text, 2),
                "to_x": round(text + SAMPLE_EM * em, 2),
            }
            if samples:
                text += (SAMPLE_EM + 0.6) * em
            rows.append(
                {
                    "nx": round(x, 2),
                    "px": round(text, 2),
                    "py": round(y, 2),
                    "number": str(at + 1),
                    "text": lines[at],
                    "ink": INK,
                    "colour": colour(names[at].index),
                    "dash": dash(names[at].index, frame.stroke),
                    **sample,
                }
            )
            y += (LEADING * len(lines[at]) + GAP_EM) * em
    return rows


def key_layers(*, samples: bool) -> tuple[Any, ...]:
    """Return the layers of a key, of the rows named ``key``."""
    import altair as alt

    numbers = (
        alt.Chart(named("key"))
        .mark_text(
            align="left",
            baseline="middle",
            fontWeight="bold",
            fontSize=alt.expr("text_px"),
        )
        .encode(
            x=as_is("X", "nx"),
            y=as_is("Y", "py"),
            text=alt.Text("number", type="nominal"),
            fill=as_is("Fill", "ink"),
        )
    )
    sample = (
        alt.Chart(named("key"))
        .mark_rule(strokeWidth=thick(2))
        .encode(
            x=as_is("X", "from_x"),
            x2=as_is("X2", "to_x"),
            y=as_is("Y", "py"),
            stroke=as_is("Stroke", "colour"),
            strokeDash=as_is("StrokeDash", "dash"),
        )
    )
    text = text_layer("key", "left")
    return (numbers, sample, text) if samples else (numbers, text)
