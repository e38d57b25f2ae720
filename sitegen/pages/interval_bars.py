"""The small bar in a cell: where a value and its interval stand in their column.

All bars of a column share one scale, so that rows can be held against each other by
eye. The text of the interval stands above the bar, which says nothing of its own.

The stylesheet (``assets/css/bars.css``) draws a bar under the interval's text from
three classes: elements of its own would make a page of thousands of rows slow to open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.findings.views import ResultRow
from sitegen.model import QUANTITIES

WIDTH = 96
"""How many places a bar has from end to end, beside the first."""
_LEAST_LENGTH = 2
# Beyond so many times the upper quartile a value would press all others together.
_LONGEST = 4.0
_BEYOND = "ranged beyond"


@dataclass(frozen=True, slots=True)
class BarScale:
    """What the ends of the bars of a column stand for.

    Attributes:
        start: quantity at the left end, in its stored unit.
        end: quantity at the right end, above ``start``; values may lie beyond it.
    """

    start: float
    end: float

    def at(self, value: float) -> int:
        """Return where a value stands, 0 to ``WIDTH``; beyond the ends, at the end."""
        share = (value - self.start) / (self.end - self.start)
        return round(WIDTH * min(max(share, 0.0), 1.0))


def bar_scale(rows: Sequence[ResultRow], name: str) -> BarScale | None:
    """Return the scale of a column, or nothing where no row has an interval.

    Lengths and flows are drawn from zero; a sound level, which has no zero, from the
    whole 5 dB below the quietest. The scale ends at the largest limit, but not beyond
    4 times the upper quartile: what few rows reach would press the rest together.

    Args:
        rows: rows of the table.
        name: name of the quantity.
    """
    quantity = QUANTITIES[name]
    if not (quantity.low and quantity.high):
        return None
    lows, highs = (
        [value for row in rows if (value := getattr(row, limit)) is not None]
        for limit in (quantity.low, quantity.high)
    )
    if not lows or not highs:
        return None
    least, most = min(lows), max(highs)
    quartile = sorted(highs)[len(highs) * 3 // 4]
    if quartile > 0:
        most = min(most, _LONGEST * quartile)
    start = min(least, 0.0)
    if quantity.rounding == "sound":
        start = 5.0 * (least // 5.0)
    return BarScale(start, most) if most > start else None


def bar_classes(scale: BarScale | None, name: str, row: ResultRow) -> str:
    """Return the classes that draw a cell's bar, or ``""`` without an interval.

    ``ranged l24 r96 v48`` is a line from place 24 to place 96, crossed at 48. What lies
    beyond the scale's end is an arrowhead there (``ranged beyond``); what reaches over
    it is a line to the end, crossed only by a value within.

    Args:
        scale: scale of the column.
        name: name of the quantity.
        row: the row.
    """
    quantity = QUANTITIES[name]
    if scale is None:
        return ""
    value = getattr(row, name)
    low, high = getattr(row, quantity.low), getattr(row, quantity.high)
    if value is None or low is None or high is None:
        return ""
    if low > scale.end:
        return _BEYOND
    first, last = scale.at(low), scale.at(high)
    # An interval too narrow to be seen is still a line.
    if last - first < _LEAST_LENGTH:
        first = min(max(scale.at(value) - _LEAST_LENGTH // 2, 0), WIDTH - _LEAST_LENGTH)
        last = first + _LEAST_LENGTH
    crossed = f" v{scale.at(value)}" if value <= scale.end else ""
    return f"ranged l{first} r{last}{crossed}"
