"""The text of a raw log becomes columns of cells, each row with its line number."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitegen.errors import Fault, Place
from sitegen.model.bench import LogForm

DELIMITERS: Mapping[str, str] = {
    "comma": ",",
    "semicolon": ";",
    "tab": "\t",
    "space": "\t",
}
_FEW = 10
_SHARE = 0.01
_LOOKED = 1000
Texts = NDArray[np.object_]
Lines = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """The rows of a log, not understood yet.

    Attributes:
        names: names of the columns, as the header has them, without blanks around.
        header_line: line of the header; 0 without one.
        columns: cells of each column, each shape (n,), of text.
        lines: line number of each row, counted from 1, shape (n,).
    """

    names: tuple[str, ...]
    header_line: int
    columns: tuple[Texts, ...]
    lines: Lines

    def column(self, name: str) -> Texts:
        """Return the cells of a column.

        Raises:
            ValueError: if there is no such column.
        """
        return self.columns[self.names.index(name)]

    def kept(self, rows: NDArray[np.bool_] | NDArray[np.int64]) -> Cells:
        """Return some rows, or all in another order."""
        return Cells(
            self.names,
            self.header_line,
            tuple(column[rows] for column in self.columns),
            self.lines[rows],
        )


def single_blanks(text: str) -> str:
    """Return the text with one tab for each stretch of blanks inside a line."""
    return re.sub(r"[ \t]+", "\t", re.sub(r"(?m)^[ \t]+|[ \t]+$", "", text))


def split_line(line: str, delimiter: str) -> list[str]:
    """Return the cells of one line."""
    cells = next(csv.reader([line], delimiter=delimiter), [])
    return [cell.strip() for cell in cells]


def read_cells(
    text: str, form: LogForm, file: str, faults: list[Fault]
) -> Cells | None:
    """Return the rows below the header, or nothing when there is a fault.

    Rows that cannot belong to the table (half-written, a header again, a remark) are
    left out and told; more of them than a few mean that the form is another one.

    Args:
        text: the log, with a line feed at line ends.
        form: how it reads.
        file: its name, for the places of faults.
        faults: takes what is wrong, and what was left out.
    """
    if form.delimiter == "space":
        text = single_blanks(text)
    delimiter = DELIMITERS[form.delimiter]
    split = _Split(text, delimiter)
    names = _names(split, form, file, faults)
    if names is None:
        return None
    rows = _rows(split, names, form.header_row, file, faults)
    if rows is None:
        return None
    columns = _parsed(split, rows, delimiter, len(names))
    return Cells(names, form.header_row, columns, rows + 1)


class _Split:
    """Where the lines of a text are and how many cells each has.

    Attributes:
        data: the text as UTF-8.
        starts: offset of each line, shape (n,).
        ends: offset of the end of each line's cells, shape (n,).
        breaks: offset of each line's line end, shape (n,).
        cells: number of cells of each line, shape (n,); -1 with an open quote.
        closed: whether the last line ends with a line end.
    """

    def __init__(self, text: str, delimiter: str) -> None:
        self.delimiter = delimiter
        self.data = text.encode("utf-8", "replace")
        self.closed = self.data.endswith(b"\n")
        raw = np.frombuffer(self.data, np.uint8)
        ends = np.flatnonzero(raw == ord("\n"))
        if not self.closed:
            ends = np.append(ends, raw.size)
        self.ends = ends.copy()
        self.breaks = ends
        self.starts = np.concatenate([[0], ends[:-1] + 1])
        marks = np.flatnonzero(raw == ord(delimiter))
        before = np.searchsorted(marks, self.starts)
        self.cells = np.searchsorted(marks, self.ends) - before + 1
        quotes = np.flatnonzero(raw == ord('"'))
        quoted = np.searchsorted(quotes, self.ends) > np.searchsorted(
            quotes, self.starts
        )
        for at in np.flatnonzero(quoted):
            line = self.line(int(at))
            closed = line.count('"') % 2 == 0
            self.cells[at] = len(split_line(line, delimiter)) if closed else -1

    def without_empty_end(self, rows: Lines, wanted: int) -> int:
        """Let rows end before surplus empty cells; return how many had any.

        Args:
            rows: positions of the lines to look at.
            wanted: number of cells of the header.
        """
        raw = np.frombuffer(self.data, np.uint8)
        surplus = rows[self.cells[rows] > wanted]
        touched = surplus
        while len(surplus):
            # A quoted cell ends with a quote, so what ends a line here parts cells.
            ends = self.ends[surplus] - 1
            surplus = surplus[raw[ends] == ord(self.delimiter)]
            self.ends[surplus] -= 1
            self.cells[surplus] -= 1
            surplus = surplus[self.cells[surplus] > wanted]
        return int(np.sum(self.cells[touched] == wanted))

    def line(self, at: int) -> str:
        """Return the text of one line, by its position from 0."""
        return self.data[self.starts[at] : self.ends[at]].decode("utf-8")

    def __len__(self) -> int:
        return len(self.ends)


def _names(
    split: _Split, form: LogForm, file: str, faults: list[Fault]
) -> tuple[str, ...] | None:
    row = form.header_row
    if row > len(split):
        values = {"row": str(row), "count": str(len(split))}
        faults.append(Fault("intake-header-row", Place(file), "", values))
        return None
    if row <= 0:
        count = int(np.max(split.cells))
        return tuple(str(at + 1) for at in range(count))
    names = split_line(split.line(row - 1), split.delimiter)
    while names and not names[-1]:
        names.pop()
    return tuple(names)


def _rows(
    split: _Split, names: tuple[str, ...], header: int, file: str, faults: list[Fault]
) -> Lines | None:
    """Return the positions of the lines that are rows, or nothing with a fault."""
    body = np.arange(max(header, 0), len(split))
    body = body[(split.ends - split.starts)[body] > 0]
    longer = split.without_empty_end(body, len(names))
    if longer:
        values = {"count": str(longer)}
        faults.append(Fault("intake-trailing", Place(file, max(header, 0)), "", values))
    good = split.cells[body] == len(names)
    odd = [int(at) for at in body[~good]]
    looked = [at for at in odd[:_LOOKED] if not _is_remark(split.line(at))]
    odd = looked + odd[_LOOKED:]
    again = _header_again(split, header, body[good])
    faults += [Fault("intake-header-again", Place(file, int(at) + 1)) for at in again]
    rows = body[good & ~np.isin(body, again)]
    rows = _last_row(split, rows, odd, file, faults)
    if not _few(odd, len(body)):
        first = odd[0]
        values = {
            "count": str(len(odd)),
            "found": str(max(int(split.cells[first]), 1)),
            "wanted": str(len(names)),
        }
        faults.append(Fault("intake-many-odd-rows", Place(file, first + 1), "", values))
        return None
    for at in odd:
        code = "intake-quote" if split.cells[at] < 0 else "intake-odd-row"
        values = {"found": str(split.cells[at]), "wanted": str(len(names))}
        faults.append(Fault(code, Place(file, at + 1), "", values))
    if not len(rows):
        faults.append(Fault("intake-no-rows", Place(file, max(header, 0))))
        return None
    return rows


def _is_remark(line: str) -> bool:
    return not line.strip() or line.lstrip().startswith("#")


def _few(odd: list[int], rows: int) -> bool:
    return len(odd) <= max(_FEW, _SHARE * rows) and len(odd) <= max(rows // 3, 1)


def _header_again(split: _Split, header: int, rows: Lines) -> Lines:
    """Return the rows that repeat the header, as a logger writes at each start."""
    if header <= 0:
        return rows[:0]
    raw = split.data[split.starts[header - 1] : split.ends[header - 1]]
    same = (split.ends - split.starts)[rows] == len(raw)
    found = [
        int(at)
        for at in rows[same]
        if split.data[split.starts[at] : split.ends[at]] == raw
    ]
    return np.array(found, dtype=np.int64)


def _last_row(
    split: _Split, rows: Lines, odd: list[int], file: str, faults: list[Fault]
) -> Lines:
    """Return the rows without a last one that was not written to its end."""
    last = len(split) - 1
    if split.closed:
        return rows
    if odd and odd[-1] == last:
        odd.pop()
        faults.append(Fault("intake-half-row", Place(file, last + 1)))
        return rows
    if len(rows) < 3 or rows[-1] != last:
        return rows
    ends = [_last_cell(split, int(at)) for at in rows[-6:]]
    if max(map(_decimals, ends[:-1])) > _decimals(ends[-1]):
        faults.append(Fault("intake-half-row", Place(file, last + 1)))
        return rows[:-1]
    faults.append(Fault("intake-no-line-end", Place(file, last + 1)))
    return rows


def _last_cell(split: _Split, at: int) -> str:
    line = split.data[split.starts[at] : split.ends[at]].decode("utf-8")
    return split_line(line, split.delimiter)[-1]


def _decimals(cell: str) -> int:
    return (
        len(re.split(r"[.,]", cell, maxsplit=1)[-1]) if re.search("[.,]", cell) else 0
    )


def _parsed(
    split: _Split, rows: Lines, delimiter: str, count: int
) -> tuple[Texts, ...]:
    import pandas as pd  # noqa: PLC0415 - heavy

    change = np.zeros(len(split.data) + 1, dtype=np.int8)
    change[split.starts[rows]] += 1
    change[split.ends[rows]] -= 1
    keep = np.cumsum(change[:-1], dtype=np.int8).astype(np.bool_)
    # One line end after each row, whatever stood between the rows.
    keep[split.breaks[rows][:-1]] = True
    data = np.frombuffer(split.data, np.uint8)[keep].tobytes()
    frame = pd.read_csv(
        io.BytesIO(data),
        sep=delimiter,
        header=None,
        names=range(count),
        usecols=range(count),
        dtype=object,
        keep_default_na=False,
        na_filter=False,
        skip_blank_lines=False,
        skipinitialspace=True,
        index_col=False,
        encoding="utf-8",
    )
    return tuple(frame[at].to_numpy(dtype=object) for at in range(count))
