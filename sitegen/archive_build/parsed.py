"""What becomes of one record's file, in a form that the engine can store."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sitegen.errors import Fault, Place


@dataclass(frozen=True, slots=True)
class StoredFault:
    """A fault as plain data."""

    code: str
    file: str
    line: int
    column: int
    field: str
    values: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Parsed:
    """What one record's file says.

    Attributes:
        record: the record's data, or nothing when it has a fault.
        faults: everything wrong with it.
    """

    record: dict[str, Any] | None
    faults: tuple[StoredFault, ...]


def stored(fault: Fault) -> StoredFault:
    """Return a fault in the form that is stored."""
    place = fault.place
    return StoredFault(
        fault.code,
        place.file,
        place.line,
        place.column,
        fault.field,
        tuple(sorted(fault.values.items())),
    )


def unstored(fault: StoredFault) -> Fault:
    """Return a stored fault as it was."""
    place = Place(fault.file, fault.line, fault.column)
    return Fault(fault.code, place, fault.field, dict(fault.values))
