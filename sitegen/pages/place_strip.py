"""Where a number stands among all tested: a dot for each, and a marker.

The dots of a quantity are one picture that all pages share; a page adds its marker.
So a new number changes one file, not the page of every device. Both stretch with
their room while dots, marker and type keep their shape: dots are round caps of strokes
that do not scale, the rest is placed by percentage.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.findings.views import Place
from sitegen.model import QUANTITIES
from sitegen.pages.addresses import Address, asset
from sitegen.pages.formats import in_units, number, rank_text, sound_text
from sitegen.pages.words import Words

MOST_DOTS = 150
_SLOTS = 44
_AXIS_Y = 30.0
_PITCH = 4.6
_TOP = 4.0
# The page's own colours of ticks and dots, light and dark: a picture has no access to
# the page's style.
_STYLE = (
    "path{fill:none;vector-effect:non-scaling-stroke}"
    ".axis{stroke:#a9a292}.all{stroke:#76838a;stroke-width:4;stroke-linecap:round}"
    "@media (prefers-color-scheme:dark){.axis{stroke:#59666b}.all{stroke:#8b989e}}"
)


@dataclass(frozen=True, slots=True)
class PlaceDrawing:
    """A place, ready to be drawn.

    Attributes:
        said: the place in words; the drawing's text alternative.
        dots: picture of all dots.
        marker: where the number stands, per cent from the left.
        reach: from and to of its interval, per cent, or nothing.
        low: the smallest number of the set.
        high: the largest.
    """

    said: str
    dots: Address
    marker: str
    reach: tuple[str, str] | None
    low: str
    high: str


def dots_of(quantity: str, of: str) -> Address:
    """Return the address of the picture of a quantity's dots in a comparable set."""
    return asset(f"places/{quantity}-{of}.svg")


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
    least, most = place.least, place.most
    if place.of < 2 or least == most:
        return None
    reach = None
    if interval is not None:
        reach = (
            _percent(_share(interval[0], least, most)),
            _percent(_share(interval[1], least, most)),
        )
    return PlaceDrawing(
        said=words(
            "Place {place}; all tested lie between {low} and {high}.",
            place=rank_text(place.low, place.high, place.of, words),
            low=_bare(place.quantity, least, units, words),
            high=_bare(place.quantity, most, units, words),
        ),
        dots=dots_of(place.quantity, place.set),
        marker=_percent(_share(place.value, least, most)),
        reach=reach,
        low=_bare(place.quantity, least, units, words),
        high=_bare(place.quantity, most, units, words),
    )


def dots_svg(values: Sequence[float]) -> bytes:
    """Return the picture of all dots of a quantity.

    Args:
        values: all numbers of the set, ascending.
    """
    dots = ""
    if len(values) > 1 and values[0] != values[-1]:
        shares = [_share(value, values[0], values[-1]) for value in _fewer(values)]
        dots = f'<path class="all" d="{_stacked(shares)}"/>'
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 40" '
        'preserveAspectRatio="none">'
        f'<style>{_STYLE}</style><path class="axis" d="M0 {_AXIS_Y:g}H100"/>{dots}'
        "</svg>\n"
    ).encode()


def _share(value: float, least: float, most: float) -> float:
    """Return where a value stands, per cent, a little in from both ends."""
    at = (min(max(value, least), most) - least) / (most - least)
    return 1.5 + 97.0 * at


def _bare(name: str, value: float, units: str, words: Words) -> str:
    """Return a value of a quantity with its unit, without an interval."""
    quantity = QUANTITIES[name]
    shown, unit = in_units(value, quantity.unit, units)
    if quantity.rounding == "sound":
        return f"{sound_text(value, None, None, words=words).value} {unit}"
    digits = 3 if abs(shown) >= 10 else 2
    return f"{number(shown, digits, words, plain=True)} {unit}".rstrip()


def _percent(value: float) -> str:
    return f"{value:.1f}%"


def _fewer(values: Sequence[float]) -> Sequence[float]:
    """Return at most ``MOST_DOTS`` of the values, evenly through their order."""
    if len(values) <= MOST_DOTS:
        return values
    step = (len(values) - 1) / (MOST_DOTS - 1)
    return [values[round(at * step)] for at in range(MOST_DOTS)]


def _stacked(shares: Sequence[float]) -> str:
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
