"""A fault is data: where it is, which field, which code, and the values to name."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

Severity = Literal["fault", "warning"]


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something stands in the archive.

    Attributes:
        file: path relative to the archive, with forward slashes; empty when the
            archive as a whole is meant.
        line: line number, counted from 1; 0 when the file as a whole is meant.
        column: column number, counted from 1; 0 when the line as a whole is meant.
    """

    file: str
    line: int = 0
    column: int = 0


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with what the tester wrote.

    Attributes:
        code: key of ``CODES``; decides the words and the severity.
        place: where it stands.
        field: dotted path of the field (``claims[0].unit``), or ``""``.
        values: what the code's sentences name, by placeholder; text only.
    """

    code: str
    place: Place
    field: str = ""
    values: Mapping[str, str] = dataclasses.field(default_factory=dict)


def sort_faults(faults: Iterable[Fault]) -> list[Fault]:
    """Return the faults in reading order: by file, line, column, field, code."""
    return sorted(faults, key=lambda f: (f.place, f.field, f.code))
