"""What differs between an edition and today, and whether it matters.

A difference matters where one of the two numbers lies outside the 95 % interval of
the other, or where a correction speaks of what it rests on. Both numbers are of the
same bench and mostly of the same runs, so that two intervals may overlap although
the number has changed by more than its uncertainty; whether the intervals overlap is
therefore not asked.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from sitegen.findings.families import family_of
from sitegen.findings.views import ResultRow
from sitegen.model import QUANTITIES, Quantity

Why = Literal[
    "beyond",
    "share",
    "assumed",
    "correction",
    "method",
    "lost",
    "found",
    "left",
    "joined",
]
WITHOUT_INTERVAL = 0.01
"""Share by which a number without an interval (a cost, a power) must differ."""
_ASSUMING = frozenset(
    name
    for name, quantity in QUANTITIES.items()
    if quantity.holds == "money" or name == "energy_kwh_year"
)
SAME = 1e-9
"""Share within which two published numbers, of 10 digits, are the same."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A number, or a configuration, that is another than in the edition.

    Attributes:
        configuration: ``DEVICE.FILTER.SPEED``, by its ids of now.
        quantity: name of the quantity; ``""`` where the configuration as a whole is
            meant.
        why: ``beyond`` its uncertainty; by a ``share`` worth telling, where it has no
            interval; for a cost under other things ``assumed``; after a
            ``correction``; by another ``method``; ``lost`` or ``found``: no longer,
            or only now, measured; the configuration ``left`` the comparison or
            ``joined`` it.
        then: the result in the edition, or nothing.
        now: the result of today, or nothing.
    """

    configuration: str
    quantity: str
    why: Why
    then: ResultRow | None
    now: ResultRow | None


def differences(
    then: Sequence[ResultRow],
    now: Sequence[ResultRow],
    quantities: Sequence[str],
    families: Mapping[str, str],
    corrected: Collection[str] = (),
    *,
    assumed: bool = False,
) -> tuple[Difference, ...]:
    """Return the differences that matter, in the order of today's rows.

    Args:
        then: the edition's results, by ids of now.
        now: today's results.
        quantities: names of the numbers to look at.
        families: method to its comparable set.
        corrected: configurations that a correction since the edition speaks of.
        assumed: whether costs rest on other assumptions now.
    """
    before = {_key(row): row for row in then}
    after = {_key(row): row for row in now}
    found: list[Difference] = []
    for key, row in after.items():
        old = before.get(key)
        if old is None:
            found.append(Difference(row.configuration, "", "joined", None, row))
            continue
        if family_of(old.method, families) != family_of(row.method, families):
            found.append(Difference(row.configuration, "", "method", old, row))
            continue
        touched = row.configuration in corrected
        for name in quantities:
            why = _why(QUANTITIES[name], old, row, touched=touched, assumed=assumed)
            if why is not None:
                found.append(Difference(row.configuration, name, why, old, row))
    found += [
        Difference(row.configuration, "", "left", row, None)
        for key, row in before.items()
        if key not in after
    ]
    return tuple(found)


def _key(row: ResultRow) -> tuple[str, str]:
    return row.configuration, row.fraction


def _why(
    quantity: Quantity, then: ResultRow, now: ResultRow, *, touched: bool, assumed: bool
) -> Why | None:
    old, new = getattr(then, quantity.name), getattr(now, quantity.name)
    if old is None or new is None:
        if old is new:
            return None
        return "lost" if new is None else "found"
    if _share(old, new) <= SAME:
        return None
    how = _beyond(quantity, then, now)
    if how is not None and assumed and quantity.name in _ASSUMING:
        return "assumed"
    return "correction" if touched else how


def _share(old: float, new: float) -> float:
    largest = max(abs(old), abs(new))
    return abs(new - old) / largest if largest else 0.0


def _beyond(quantity: Quantity, then: ResultRow, now: ResultRow) -> Why | None:
    old, new = getattr(then, quantity.name), getattr(now, quantity.name)
    limits = [_limits(quantity, row) for row in (then, now)]
    if limits[0] is None or limits[1] is None:
        money = quantity.holds == "money" and then.currency != now.currency
        return "share" if money or _share(old, new) >= WITHOUT_INTERVAL else None
    within = limits[0][0] <= new <= limits[0][1] and limits[1][0] <= old <= limits[1][1]
    return None if within else "beyond"


def _limits(quantity: Quantity, row: ResultRow) -> tuple[float, float] | None:
    """Return the 95 % interval of a number, or nothing where it has none."""
    if not quantity.low or not quantity.high:
        return None
    low, high = getattr(row, quantity.low), getattr(row, quantity.high)
    return None if low is None or high is None else (low, high)
