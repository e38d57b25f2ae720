"""The lines of a series file as rows of cells."""

from __future__ import annotations

import csv
from dataclasses import dataclass, field
from typing import NamedTuple

from sitegen.errors import Fault, Place


class Row(NamedTuple):
    """One line of a series file.

    Attributes:
        line: line number, counted from 1.
        cells: texts of the cells, as written.
        text: the line.
    """

    line: int
    cells: list[str]
    text: str

    def column(self, at: int) -> int:
        """Return the column, counted from 1, at which a cell begins."""
        if '"' not in self.text:
            return sum(map(len, self.cells[:at])) + at + 1
        inside, commas = False, 0
        for position, char in enumerate(self.text):
            if commas == at:
                return position + 1
            if char == '"':
                inside = not inside
            elif char == "," and not inside:
                commas += 1
        return len(self.text) + 1


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a series file without comments and blank lines.

    Attributes:
        header: the first row, or nothing when there is none.
        rows: all others.
        faults: lines that are no rows.
    """

    header: Row | None
    rows: list[Row]
    faults: list[Fault] = field(default_factory=list)


def read_rows(text: str, file: str) -> Rows:
    """Return the rows of a file; ``#`` begins a line of comment.

    Args:
        text: the file's text.
        file: path below the archive.
    """
    found = Rows(None, [])
    all_rows: list[Row] = []
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for number, line in enumerate(lines, start=1):
        if not line or line.isspace() or line.lstrip().startswith("#"):
            continue
        if '"' not in line:
            all_rows.append(Row(number, line.split(","), line))
            continue
        try:
            # Line by line, so that an open quote cannot swallow the rest.
            all_rows.append(Row(number, next(csv.reader([line], strict=True)), line))
        except csv.Error:
            place = Place(file, number, line.index('"') + 1)
            found.faults.append(Fault("series-quotes", place))
    if not all_rows:
        return found
    return Rows(all_rows[0], all_rows[1:], found.faults)
