"""What the compare page's query may name: columns, and fields with what they hold."""

from __future__ import annotations

from sitegen.model import QUANTITIES, RESULT_COLUMNS, TABLE_FACTS
from sitegen.model.quantities import CONDITION_FIELDS, table_columns

VERSION = "1"


def is_number(name: str) -> bool:
    """Return whether a filter of this name takes numbers."""
    if name in QUANTITIES:
        return QUANTITIES[name].holds != "text"
    return name == "price"


def sort_columns() -> tuple[str, ...]:
    """Return what a table may be sorted by."""
    return (*RESULT_COLUMNS, *TABLE_FACTS)


def shown_columns() -> tuple[str, ...]:
    """Return the columns that a reader may choose to see, in order."""
    return (*table_columns(), *TABLE_FACTS, "notes")


def filter_fields() -> dict[str, str]:
    """Return what a filter may name, in order: name to ``number`` or ``text``."""
    return {name: "number" if is_number(name) else "text" for name in CONDITION_FIELDS}
