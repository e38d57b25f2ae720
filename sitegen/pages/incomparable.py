"""Marks on what stands in one table and may not be ranked together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitegen.findings.views import ResultRow

METHOD_OF: Mapping[str, str] = {
    "cadr_m3h": "method",
    "clearance_min": "method",
    "decay_per_h": "method",
    "sound_dba": "sound_method",
    "power_w": "power_method",
}
"""Which method of a row a measured quantity rests on."""


@dataclass(frozen=True, slots=True)
class Apart:
    """The methods whose results are not comparable with most of a table's.

    Attributes:
        methods: ids of the methods, of every kind.
    """

    methods: frozenset[str]

    def at(self, row: ResultRow, quantity: str) -> bool:
        """Return whether a quantity of a row is not comparable with the others'."""
        name = METHOD_OF.get(quantity)
        return (
            name is not None
            and getattr(row, quantity) is not None
            and getattr(row, name) in self.methods
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
    for quantity in quantities:
        name = METHOD_OF.get(quantity)
        if name is None:
            continue
        methods = [
            str(getattr(row, name))
            for row in rows
            if getattr(row, quantity) is not None and getattr(row, name)
        ]
        count = Counter(families.get(method, method) for method in methods)
        if len(count) < 2:
            continue
        own = min(count, key=lambda family: (-count[family], family))
        found |= {m for m in methods if families.get(m, m) != own}
    return Apart(frozenset(found))
