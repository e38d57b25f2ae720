"""The one theme of all figures: frames, colours as tokens, type, hairlines.

Colours are written in descriptions as CSS custom properties (``var(--ink)``), so that
a drawing in a page follows dark mode and print. Images made of pixels get the colour
itself, see `coloured`.

Data colours are those of Okabe and Ito (*Color Universal Design*, 2008), darkened on
light paper or lightened on dark paper where their contrast with it would fall under
3:1 (WCAG 2.2, criterion 1.4.11). Colour is never the only carrier: each series also
has a dash and a shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal

Paper = Literal["light", "dark"]

FONT = 'system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", sans-serif'

# Token -> (on light paper, on dark paper).
DATA_TOKENS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "--d1": ("#0072b2", "#56b4e9"),
        "--d2": ("#d55e00", "#ec7a2e"),
        "--d3": ("#008a64", "#2dbf95"),
        "--d4": ("#b85c92", "#dd94bd"),
        "--d5": ("#a86f00", "#e69f00"),
        "--d6": ("#3c4a50", "#d0d5d8"),
        "--d7": ("#2f8fc4", "#a6d8f5"),
        "--d8": ("#857a00", "#f0e442"),
    }
)

# The page's own tokens, as pictures without a stylesheet show them.
PAGE_TOKENS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "--ink": ("#1c2528", "#e9e5da"),
        "--soft": ("#526066", "#a8b3b7"),
        "--line": ("#d9d3c6", "#354045"),
        "--paper": ("#fbf9f4", "#14191b"),
        "--sheet": ("#ffffff", "#1a2023"),
        "--mark": ("#a83e0b", "#f2a878"),
        "--accent": ("#0a5561", "#78c8d3"),
    }
)

TOKENS: Mapping[str, tuple[str, str]] = MappingProxyType({**PAGE_TOKENS, **DATA_TOKENS})

INK, SOFT, LINE = "var(--ink)", "var(--soft)", "var(--line)"
SHEET, MARK, ACCENT = "var(--sheet)", "var(--mark)", "var(--accent)"

DASHES: tuple[tuple[float, ...], ...] = (
    (1, 0),
    (8, 4),
    (2, 4),
    (11, 4, 2, 4),
    (5, 3),
    (14, 5),
    (8, 3, 2, 3, 2, 3),
)
SHAPES: tuple[str, ...] = (
    "circle",
    "square",
    "triangle-up",
    "diamond",
    "triangle-down",
    "cross",
    "triangle-right",
)


@dataclass(frozen=True, slots=True)
class Frame:
    """The sheet that a figure is drawn on.

    Attributes:
        name: ``wide``, ``narrow``, ``card``, ``still`` or ``tall``; the class of the
            drawing.
        width: whole width, px.
        height: whole height, px, or 0 for the figure's own.
        text_px: size of all type, px.
        stroke: factor on every line's thickness.
        titled: whether title and credit stand in the drawing.
    """

    name: str
    width: int
    height: int
    text_px: float
    stroke: float = 1.0
    titled: bool = False

    @property
    def narrow(self) -> bool:
        """Whether it is laid out as for a phone held upright."""
        return self.name in {"narrow", "tall"}


# The type is sized so that it never falls under 12 px: the wide drawing is shown from
# 640 px of room, the narrow one down to 288 px (a screen of 320 px less its margins).
WIDE = Frame("wide", 720, 0, 13.5)
NARROW = Frame("narrow", 340, 0, 14.25)
# What networks show beside a link: about 1.91 to 1.
CARD = Frame("card", 1200, 630, 25.0, 2.0, titled=True)
# What is inside the margins, title and source line of a video's frame, lying and
# upright; `stills` sets height and type of each figure.
STILL = Frame("still", 1690, 720, 34.0, 2.25)
TALL = Frame("tall", 950, 1300, 40.0, 2.75)
FRAMES: Mapping[str, Frame] = MappingProxyType(
    {frame.name: frame for frame in (WIDE, NARROW, STILL, TALL, CARD)}
)


def colour(index: int) -> str:
    """Return the colour of series ``index`` (from 0) as a token."""
    return f"var(--d{index % len(DATA_TOKENS) + 1})"


def dash(index: int, stroke: float = 1.0) -> list[float]:
    """Return the dash pattern of series ``index``, px; dash and colour never align."""
    return [length * stroke for length in DASHES[index % len(DASHES)]]


def shape(index: int) -> str:
    """Return the point shape of series ``index``."""
    return SHAPES[index % len(SHAPES)]


def config(frame: Frame, decimal: str = ".") -> dict[str, Any]:
    """Return the configuration that all descriptions carry.

    Args:
        frame: the sheet.
        decimal: decimal sign of the page's language.
    """
    text = {"labelFontSize": frame.text_px, "titleFontSize": frame.text_px}
    return {
        "aria": False,
        "background": None,
        "font": FONT,
        "view": {"stroke": None},
        "text": {"fontSize": frame.text_px, "fill": INK},
        "locale": {
            "number": {
                "decimal": decimal,
                "thousands": "\u202f",
                "grouping": [3],
                "currency": ["", ""],
            }
        },
        "axis": {
            **text,
            "domain": False,
            "ticks": False,
            "grid": True,
            "gridColor": LINE,
            "gridWidth": frame.stroke,
            "labelColor": SOFT,
            "labelFontWeight": "normal",
            "labelPadding": 6 * frame.stroke,
            "labelFlush": False,
            # Labels are cut by us, in words; to look whether one is too long costs
            # a tenth of a drawing's time.
            "labelLimit": 0,
            "titleLimit": 0,
            "labelOverlap": False,
            "labelBound": False,
            "titleColor": SOFT,
            "titleFontWeight": "normal",
        },
    }


def colours(paper: Paper) -> dict[str, str]:
    """Return ``var(--token)`` -> colour for one paper."""
    place = 0 if paper == "light" else 1
    return {f"var({token})": pair[place] for token, pair in TOKENS.items()}


def coloured(spec: Any, paper: Paper) -> Any:
    """Return ``spec`` with every token replaced by its colour.

    Args:
        spec: a chart description, or any part of one.
        paper: which paper it will be seen on.
    """
    named = colours(paper)

    def walk(part: Any) -> Any:
        if isinstance(part, dict):
            return {key: walk(value) for key, value in part.items()}
        if isinstance(part, list):
            return [walk(value) for value in part]
        return named.get(part, part) if isinstance(part, str) else part

    return walk(spec)
