"""What a table of results may show beside the quantities: price and filter class."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

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
