"""What a table of results may show beside the quantities: price and filter class."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sitegen.findings.select import FactOfRow
from sitegen.findings.views import ResultRow
from sitegen.model import NO_FILTER


@dataclass(frozen=True, slots=True)
class TableFacts:
    """Facts of rows that are no results.

    Attributes:
        prices: price with the filter of the row, archive's currency, by configuration.
        classes: filter class as its maker states it, by id of the filter.
    """

    prices: Mapping[str, float] = field(default_factory=dict)
    classes: Mapping[str, str] = field(default_factory=dict)

    def price(self, row: ResultRow) -> float | None:
        """Return what a row's device costs with its filter, or nothing."""
        return self.prices.get(row.configuration)

    def filter_class(self, row: ResultRow) -> str:
        """Return the stated class of a row's filter, or ``""``."""
        return "" if row.filter == NO_FILTER else self.classes.get(row.filter, "")

    def by_name(self) -> dict[str, FactOfRow]:
        """Return what tells each fact of a row, by the name of its column.

        A place by CADR is an interval and sorts by its middle, as a script sorts it.
        """
        return {
            "price": self.price,
            "filter_class": self.filter_class,
            "rank": _twice_middle_rank,
        }


def _twice_middle_rank(row: ResultRow) -> float | None:
    if row.rank_low is None or row.rank_high is None:
        return None
    return row.rank_low + row.rank_high
