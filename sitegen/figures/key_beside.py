"""A figure whose key stands beside it: what a wide sheet of little height needs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from sitegen.figures.labels import LEADING
from sitegen.figures.theme import Frame

_GAP_EM = 1.5
# Room for the horizontal axis between a plot and its key, em.
_AXIS_EM = 3.4
_FIRST_EM = 0.4


def beside(draw: Callable[[Frame], dict[str, Any]], frame: Frame) -> dict[str, Any]:
    """Return a figure's description with its key moved to the right half.

    Args:
        draw: describes the figure on a sheet; it has a key there.
        frame: the whole sheet, of fixed height and without a title of its own.

    Returns:
        The description; empty where the figure needs no key on half a sheet.
    """
    em = frame.text_px
    width = round((frame.width - _GAP_EM * em) / 2)
    half = replace(frame, name="tall", width=width)
    first = draw(half)
    if not first["datasets"].get("key"):
        return {}
    key_px = first["padding"]["bottom"] - _AXIS_EM * em
    made = draw(replace(half, height=round(frame.height + key_px)))
    down = made["height"] + (_AXIS_EM + 1.2 - _FIRST_EM) * em
    right = width + _GAP_EM * em
    moved = []
    for row in made["datasets"]["key"]:
        places = {
            name: round(row[name] + right, 2) for name in ("nx", "px", "from_x", "to_x")
        }
        moved.append({**row, **places, "py": round(row["py"] - down, 2)})
    padding = made["padding"]
    return {
        **made,
        "datasets": {**made["datasets"], "key": moved},
        "padding": {
            **padding,
            "right": padding["right"] + frame.width - width,
            "bottom": padding["bottom"] - key_px,
        },
    }


def key_end(spec: Mapping[str, Any], em: float) -> float:
    """Return where the key of a figure ends below the plot's upper edge, px.

    Args:
        spec: the figure's description.
        em: size of its type, px.
    """
    rows = spec["datasets"].get("key") or ()
    ends = (row["py"] + LEADING * (len(row["text"]) - 0.5) * em for row in rows)
    return max(ends, default=0.0)
