"""Ranks as intervals, and places of single numbers, within one comparable set."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sitegen.findings.families import family_of
from sitegen.findings.results import Pooled
from sitegen.findings.views import Place, ResultRow
from sitegen.measure.estimate import Z95
from sitegen.measure.ranking import rank_intervals
from sitegen.measure.sound import TIE_DBA

# Quantities whose place among all is shown; two closer than the distance tie.
PLACED: Mapping[str, float] = {
    "cadr_m3h": 0.0,
    "clearance_min": 0.0,
    "sound_dba": TIE_DBA,
    "power_w": 0.0,
}


@dataclass(frozen=True, slots=True)
class RankCase:
    """What ranking needs of one result.

    Attributes:
        key: configuration, method and fraction, joined by spaces.
        set: the comparable set: method family and fraction.
        ln_cadr: logarithm of the CADR.
        se: its standard error, without what all devices share.
    """

    key: str
    set: str
    ln_cadr: float
    se: float


def rank_case(pooled: Pooled, family: str) -> RankCase | None:
    """Return the rank case of a result; nothing for one without a positive CADR."""
    row = pooled.row
    cadr, low, high = row.cadr_m3h, pooled.stat_low, pooled.stat_high
    if cadr is None or low is None or high is None or cadr <= 0:
        return None
    if low > 0:
        se = (math.log(high) - math.log(low)) / (2 * Z95)
    else:
        se = (high - low) / (2 * Z95) / cadr
    return RankCase(row.key, f"{family} {row.fraction}", math.log(cadr), se)


def ranks_of(cases: Sequence[RankCase]) -> dict[str, tuple[int, int, int]]:
    """Return rank from, rank to and number ranked, by row key."""
    sets: dict[str, list[RankCase]] = {}
    for case in sorted(cases, key=lambda case: case.key):
        sets.setdefault(case.set, []).append(case)
    found: dict[str, tuple[int, int, int]] = {}
    for members in sets.values():
        intervals = rank_intervals(
            [case.ln_cadr for case in members], [case.se for case in members], Z95
        )
        for case, interval in zip(members, intervals, strict=True):
            found[case.key] = (interval.low, interval.high, len(members))
    return found


def place_in(
    quantity: str, value: float, values: Sequence[float], better: str
) -> Place:
    """Return the place of a number by its value alone, ties as an interval.

    Args:
        quantity: name of the quantity; decides what counts as a tie.
        value: the number.
        values: all numbers of the set, ascending, the number among them.
        better: ``up`` or ``down``.
    """
    tie = PLACED.get(quantity, 0.0)
    # Numbers a whole tie apart do not tie; equal ones always do.
    below = bisect_right(values, value - tie) if tie else bisect_left(values, value)
    not_above = bisect_left(values, value + tie) if tie else bisect_right(values, value)
    if better == "up":
        low, high = len(values) - not_above + 1, len(values) - below
    else:
        low, high = below + 1, not_above
    return Place(
        quantity=quantity,
        value=value,
        low=low,
        high=max(low, high),
        of=len(values),
        least=values[0],
        most=values[-1],
        better="up" if better == "up" else "down",
    )


@dataclass(frozen=True, slots=True)
class Placed:
    """One number of a comparable set.

    Attributes:
        value: the number.
        low: lower limit of its interval; the number itself where there is none.
        high: upper limit, or infinity where it has none.
    """

    value: float
    low: float
    high: float


def placed_of(row: ResultRow, quantity: str) -> Placed | None:
    """Return a quantity of a result for its place, or nothing."""
    value = getattr(row, quantity)
    if value is None:
        return None
    if quantity != "clearance_min":
        return Placed(value, value, value)
    low = value if row.clearance_low is None else row.clearance_low
    # A limit without the other: there is no upper end to the time.
    open_end = row.clearance_low is not None and row.clearance_high is None
    high = row.clearance_high
    if high is None:
        high = math.inf if open_end else value
    return Placed(value, low, high)


@dataclass(frozen=True, slots=True)
class Members:
    """All numbers of a comparable set, each column ascending on its own.

    Attributes:
        values: the numbers.
        lows: the lower limits.
        highs: the upper limits.
    """

    values: tuple[float, ...]
    lows: tuple[float, ...]
    highs: tuple[float, ...]


def members_of(placed: Iterable[Placed]) -> Members:
    """Return the members of a set, sorted once for all places in it."""
    each = list(placed)
    return Members(
        tuple(sorted(one.value for one in each)),
        tuple(sorted(one.low for one in each)),
        tuple(sorted(one.high for one in each)),
    )


def place_by_interval(quantity: str, own: Placed, members: Members) -> Place:
    """Return the place of a number whose interval is wide: less is better.

    Better are those whose interval ends before its own begins, worse those whose
    interval begins after its own ends.

    Args:
        quantity: name of the quantity.
        own: the number.
        members: all of the set, the number among them.
    """
    better = bisect_left(members.highs, own.low)
    number = len(members.values)
    return Place(
        quantity=quantity,
        value=own.value,
        low=better + 1,
        high=bisect_right(members.lows, own.high),
        of=number,
        least=members.values[0],
        most=members.values[-1],
        better="down",
    )


def placed_set(row: ResultRow, quantity: str, families: Mapping[str, str]) -> str:
    """Return the name of the comparable set in which a quantity has its place."""
    method = method_of(row, quantity)
    return family_of(method, families)


def method_of(row: ResultRow, quantity: str) -> str:
    """Return the method on which a measured quantity of a row rests."""
    known = {"sound_dba": row.sound_method, "power_w": row.power_method}
    return known.get(quantity, row.method)
