"""Marks on what stands in one table and may not be ranked together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitegen.findings.families import family_of
from sitegen.findings.ranks import method_of
from sitegen.findings.views import ResultRow

MEASURED = ("cadr_m3h", "clearance_min", "decay_per_h", "sound_dba", "power_w")
"""Quantities that rest on one method; the others rest on several or on none."""


@dataclass(frozen=True, slots=True)
class Apart:
    """The methods whose results are not comparable with most of a table's.

    Attributes:
        methods: ids of the methods, of every kind.
    """

    methods: frozenset[str]

    def at(self, row: ResultRow, quantity: str) -> bool:
        """Return whether a quantity of a row is not comparable with the others'."""
        return (
            quantity in MEASURED
            and getattr(row, quantity) is not None
            and method_of(row, quantity) in self.methods
        )


def apart_in(
    rows: Sequence[ResultRow], quantities: Sequence[str], families: Mapping[str, str]
) -> Apart:
    """Return which methods' results stand apart from most in a table.

    For each quantity the comparable set with most rows is the table's own; of equally
    large ones the first by name. Methods of the other sets stand apart.

    Args:
        rows: the table's rows.
        quantities: its columns.
        families: method to its comparable set, declared or its own.
    """
    found: set[str] = set()
    for quantity in MEASURED:
        if quantity not in quantities:
            continue
        methods = [
            method
            for row in rows
            if getattr(row, quantity) is not None
            and (method := method_of(row, quantity))
        ]
        count = Counter(family_of(method, families) for method in methods)
        if len(count) < 2:
            continue
        own = min(count, key=lambda family: (-count[family], family))
        found |= {m for m in methods if family_of(m, families) != own}
    return Apart(frozenset(found))
