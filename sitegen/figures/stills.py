"""A figure as a video shows it: alone, its type large, nothing near the edges.

Type is as large as lets the figure breathe. Of a ranked figure that is too long for
type that a phone shows readably, the last rows are left out and counted in the line
under it; other figures get smaller type instead, and `is_small` tells.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from sitegen.figures.drawn import DrawTask, Figure, kind_of
from sitegen.figures.key_beside import beside, key_end
from sitegen.figures.labels import LEADING, width_em, wrapped
from sitegen.figures.numbers import Words, decimal_sign
from sitegen.figures.ranked import RankedFigure
from sitegen.figures.theme import INK, SOFT, STILL, TALL, Frame

MARGIN = 0.06
"""Share of width and height that stays empty at each edge; players and phones cover
the outermost twentieth."""
_TITLE, _FOOT = 1.25, 0.8
# A bold letter is about so much wider than the widths that labels are reckoned with.
_BOLD = 1.08
_MOST_TITLE, _MOST_FOOT = 3, 5


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape of a video's frame.

    Attributes:
        name: ``wide`` or ``tall``.
        width: width of its description, px.
        height: height, px.
        frame: the sheet inside, before its height and type are settled.
        sizes: sizes of type to try, px, largest first.
    """

    name: str
    width: int
    height: int
    frame: Frame
    sizes: tuple[int, ...]


SHAPES: tuple[Shape, ...] = (
    Shape("wide", 1920, 1080, STILL, (50, 46, 42, 38, 34)),
    Shape("tall", 1080, 1920, TALL, (46, 43, 40, 37, 34)),
)
LEAST = 34
"""Smallest type that reads well on a phone, px: it is shown at 15 px where a lying
frame fills a longer side of 844 px, at 12 px where an upright one fills 390 px."""
_SMALLER = (31, 28, 25, 22)


def is_small(spec: Mapping[str, Any]) -> bool:
    """Return whether a still's type is smaller than reads well on a phone."""
    return bool(spec["config"]["text"]["fontSize"] < LEAST)


def still_specs(task: DrawTask | None) -> dict[str, Any] | None:
    """Return a figure's descriptions (Vega-Lite, colours as tokens) by shape's name.

    Pure, so that it may run elsewhere; ``None`` where there is no figure.
    """
    if task is None:
        return None
    figure = replace(task.figure, decimal=decimal_sign(task.words), credit="")
    return {
        shape.name: _spec(shape, figure, task.words, task.credit) for shape in SHAPES
    }


def _spec(shape: Shape, figure: Figure, words: Words, credit: str) -> dict[str, Any]:
    """Return the largest that fits; with fewer rows, where none does."""
    for size in shape.sizes:
        made = _Still(shape, figure, words, credit, size)
        if made.fits():
            return made.spec()
    if not isinstance(figure, RankedFigure):
        for size in _SMALLER:
            made = _Still(shape, figure, words, credit, size)
            if made.fits():
                break
        return made.spec()
    while len(figure.rows) > 1 and not made.fits():
        left_out = figure.left_out + 1
        figure = replace(figure, rows=figure.rows[:-1], left_out=left_out)
        made = _Still(shape, figure, words, credit, LEAST)
    return made.spec()


class _Still:
    """A figure with its title and the lines under it, in one size of type."""

    def __init__(
        self, shape: Shape, figure: Figure, words: Words, credit: str, size: int
    ) -> None:
        self.shape, self.size = shape, size
        self.left, self.top = MARGIN * shape.width, MARGIN * shape.height
        inside = shape.width - 2 * self.left
        kind = kind_of(figure)
        room = inside / size
        self.title = wrapped(figure.title, room / _TITLE / _BOLD, _MOST_TITLE)
        under = kind.caption(figure, words)
        self.foot = wrapped(under, room / _FOOT, _MOST_FOOT) if under else []
        self.source = _of_parts(credit, room / _FOOT)
        self.head_px = (LEADING * _TITLE * len(self.title) + 0.5) * size
        lines = len(self.foot) + len(self.source)
        self.foot_px = (1.35 * _FOOT * lines + 0.5) * size
        height = shape.height - 2 * self.top - self.head_px - self.foot_px
        self.frame = replace(
            shape.frame,
            width=round(inside),
            height=round(height),
            text_px=float(size),
            stroke=size / 15,
        )
        self.inner = kind.spec(figure, self.frame, words)
        if self.inner["datasets"].get("key") and not self.frame.narrow:
            drawn = beside(lambda sheet: kind.spec(figure, sheet, words), self.frame)
            self.inner = drawn or self.inner
        self.ranked = isinstance(figure, RankedFigure)

    def fits(self) -> bool:
        """Return whether the figure has room to breathe."""
        wide, high = self.inner["width"], self.inner["height"]
        if any(line.endswith("…") for line in (*self.title, *self.foot, *self.source)):
            return False
        if self.ranked:
            return self._rows_fit()
        key = self.inner["datasets"].get("key") or ()
        if any(line.endswith("…") for row in key for line in row["text"]):
            return False
        below = high + self.inner["padding"]["bottom"]
        across, up = (0.5, 0.24) if self.frame.narrow else (0.32, 0.4)
        return bool(
            wide >= across * self.frame.width
            and high >= up * self.frame.height
            and key_end(self.inner, self.size) <= below
        )

    def _rows_fit(self) -> bool:
        names = [row["text"] for row in self.inner["datasets"]["names"]]
        if any(line.endswith("…") for name in names for line in name):
            return False
        each = self.inner["height"] / max(len(names), 1) / self.size
        if self.frame.narrow:
            # A name stands over its bar.
            most = max((len(name) for name in names), default=1)
            enough = each >= LEADING * most + 1.6
        else:
            pairs = pairwise(names)
            needed = [LEADING * (len(one) + len(two)) / 2 for one, two in pairs]
            enough = each >= max([1.5, *(need + 0.2 for need in needed)])
        return bool(enough and self.inner["width"] >= 0.3 * self.frame.width)

    def spec(self) -> dict[str, Any]:
        """Return the description of the whole frame."""
        made = dict(self.inner)
        inner = made["padding"]
        # Quarters of a pixel add up exactly, so that the frame has its whole size.
        left = round(4 * (inner["left"] + self.left)) / 4
        top = round(4 * (inner["top"] + self.top + self.head_px)) / 4
        made["padding"] = {
            "left": left,
            "right": self.shape.width - left - made["width"],
            "top": top,
            "bottom": self.shape.height - top - made["height"],
        }
        made["config"] = {**made["config"], "background": "var(--paper)"}
        x = -inner["left"]
        y = -inner["top"] - self.head_px
        layers = []
        for line in self.title:
            layers.append(_line(line, INK, x, y, _TITLE * self.size, "bold"))
            y += LEADING * _TITLE * self.size
        y = made["height"] + inner["bottom"] + 0.5 * self.size
        for line in (*self.foot, *self.source):
            layers.append(_line(line, SOFT, x, y, _FOOT * self.size, "normal"))
            y += 1.35 * _FOOT * self.size
        made["layer"] = [*made["layer"], *layers]
        return made


def _of_parts(credit: str, room_em: float) -> list[str]:
    """Return the source broken between its parts, so that no address is cut."""
    lines: list[str] = []
    for part in credit.split(" · "):
        joined = f"{lines[-1]} · {part}" if lines else part
        if lines and width_em(joined) <= room_em:
            lines[-1] = joined
        elif width_em(part) <= room_em:
            lines.append(part)
        else:
            lines += _of_address(part, room_em)
    return lines


def _of_address(part: str, room_em: float) -> list[str]:
    """Return an address that is longer than a line, broken after its slashes."""
    lines = [""]
    pieces = part.split("/")
    for at, piece in enumerate(pieces):
        text = piece if at == len(pieces) - 1 else f"{piece}/"
        if lines[-1] and width_em(lines[-1] + text) > room_em:
            lines.append("")
        lines[-1] += text
    return [line for line in lines if line]


def _line(
    text: str, ink: str, x: float, y: float, size: float, weight: str
) -> Mapping[str, Any]:
    return {
        "data": {"values": [{"text": text}]},
        "mark": {
            "type": "text",
            "align": "left",
            "baseline": "top",
            "fontSize": round(size, 2),
            "fontWeight": weight,
            "fill": ink,
        },
        "encoding": {
            "x": {"value": round(x, 2)},
            "y": {"value": round(y, 2)},
            "text": {"field": "text", "type": "nominal"},
        },
    }
