"""Where a number stands among all tested: a dot for each, and a marker.

The drawing stretches with its room while dots, marker and type keep their shape:
dots are round caps of strokes that do not scale, the rest is placed by percentage.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.findings.views import Place
from sitegen.model import QUANTITIES
from sitegen.pages.formats import in_units, number, rank_text, sound_text
from sitegen.pages.words import Words

MOST_DOTS = 150
_SLOTS = 44
_AXIS_Y = 30.0
_PITCH = 4.6
_TOP = 4.0


@dataclass(frozen=True, slots=True)
class PlaceDrawing:
    """A place, ready to be drawn.

    Attributes:
        said: the place in words; the drawing's text alternative.
        dots: path of all dots, in a box of 100 by 40.
        marker: where the number stands, per cent from the left.
        reach: from and to of its interval, per cent, or nothing.
        low: the smallest number of the set.
        high: the largest.
        better: ``left`` or ``right``: the side of the better numbers.
    """

    said: str
    dots: str
    marker: str
    reach: tuple[str, str] | None
    low: str
    high: str
    better: str


def place_drawing(
    words: Words,
    units: str,
    place: Place,
    interval: tuple[float, float] | None = None,
) -> PlaceDrawing | None:
    """Return the drawing of a place, or nothing where one number stands alone.

    Args:
        words: the interface's words.
        units: ``metric`` or ``us``.
        place: the place.
        interval: limits of the number, in the quantity's unit, or nothing.
    """
    values = place.everyone
    if len(values) < 2 or values[0] == values[-1]:
        return None
    low, high = values[0], values[-1]

    def share(value: float) -> float:
        at = (min(max(value, low), high) - low) / (high - low)
        return 1.5 + 97.0 * at

    reach = None
    if interval is not None:
        reach = (_percent(share(interval[0])), _percent(share(interval[1])))
    return PlaceDrawing(
        said=words(
            "Place {place}; all tested lie between {low} and {high}.",
            place=rank_text(place.low, place.high, place.of, words),
            low=_bare(place.quantity, low, units, words),
            high=_bare(place.quantity, high, units, words),
        ),
        dots=_dots([share(value) for value in _fewer(values)]),
        marker=_percent(share(place.value)),
        reach=reach,
        low=_bare(place.quantity, low, units, words),
        high=_bare(place.quantity, high, units, words),
        better="right" if place.better == "up" else "left",
    )


def _bare(name: str, value: float, units: str, words: Words) -> str:
    """Return a value of a quantity with its unit, without an interval."""
    quantity = QUANTITIES[name]
    shown, unit = in_units(value, quantity.unit, units)
    if quantity.rounding == "sound":
        return f"{sound_text(value, None, None, words=words).value} {unit}"
    return f"{number(shown, 3, words)} {unit}".rstrip()


def _percent(value: float) -> str:
    return f"{value:.1f}%"


def _fewer(values: Sequence[float]) -> Sequence[float]:
    """Return at most ``MOST_DOTS`` of the values, evenly through their order."""
    if len(values) <= MOST_DOTS:
        return values
    step = (len(values) - 1) / (MOST_DOTS - 1)
    return [values[round(at * step)] for at in range(MOST_DOTS)]


def _dots(shares: Sequence[float]) -> str:
    """Return the path of dots stacked on the axis, neighbours in one column."""
    columns: dict[int, int] = {}
    placed = []
    for x in shares:
        slot = round(x / 100 * _SLOTS)
        columns[slot] = columns.get(slot, 0) + 1
        placed.append((slot, columns[slot]))
    tallest = max(columns.values())
    pitch = min(_PITCH, (_AXIS_Y - _TOP - 3) / max(tallest - 1, 1))
    return "".join(
        f"M{slot / _SLOTS * 100:.1f} {_AXIS_Y - 4 - (level - 1) * pitch:.1f}h.01"
        for slot, level in placed
    )
