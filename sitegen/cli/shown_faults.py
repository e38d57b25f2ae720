"""Faults by file, each with the line that it is about and a caret under the place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import groupby
from pathlib import Path

from rich.cells import cell_len

from sitegen.cli.shared import filled, styled
from sitegen.errors import Fault, fault_words, is_fault, one_line, sort_faults

# Line ends as YAML counts them; a series knows fewer.
_ENDS = re.compile(r"\r\n|[\n\r\x85\u2028\u2029]")
_SERIES_ENDS = re.compile(r"\r\n|[\n\r]")
_MOST_BYTES = 20_000_000
_MARGIN = "      "
_WIDTH = 76
"""Cells of an offending line that are shown."""
_BEFORE = 40
"""Of a longer line, cells before the place that are shown."""


def shown_faults(archive: Path, faults: Iterable[Fault]) -> Iterator[str]:
    """Yield lines for a terminal or a pipe: faults grouped by file, in reading order.

    Args:
        archive: the archive, whose lines are shown.
        faults: what was found.
    """

    @cache
    def lines_of(file: str) -> tuple[str, ...]:
        return _lines(archive, file)

    first = True
    for file, group in groupby(sort_faults(faults), key=lambda f: f.place.file):
        if not first:
            yield ""
        first = False
        yield styled(one_line(file) or "archive", bold=True)
        for fault in group:
            yield from _shown(fault, lines_of(file))


def _shown(fault: Fault, lines: Sequence[str]) -> Iterator[str]:
    place = fault.place
    what, more = fault_words(fault)
    yield from filled(f"  {_at(fault)}{_severity(fault)}{what}", _MARGIN)
    if 0 < place.line <= len(lines):
        yield from _excerpt(lines[place.line - 1], place.column)
    if more:
        yield from filled(f"{_MARGIN}{more}", _MARGIN)


def _at(fault: Fault) -> str:
    place = fault.place
    if not place.line:
        return ""
    column = f":{place.column}" if place.column else ""
    return f"{styled(f'{place.line}{column}', fg='cyan')}  "


def _severity(fault: Fault) -> str:
    if is_fault(fault):
        return f"{styled('fault:', fg='red', bold=True)} "
    return f"{styled('warning:', fg='yellow', bold=True)} "


def _excerpt(line: str, column: int) -> Iterator[str]:
    """Yield a line, cut to what is near the place, and a caret below it.

    Args:
        line: the line.
        column: where in it, from 1; 0 when the line as a whole is meant.
    """
    at = max(column - 1, 0)
    indent = len(line) - len(line.lstrip(" "))
    start = min(indent, at)
    before, after = one_line(line[start:at]), one_line(line[at:])
    if cell_len(before) + cell_len(after) > _WIDTH and cell_len(before) > _BEFORE:
        before = f"…{_last_cells(before, _BEFORE)}"
    room = _WIDTH - cell_len(before)
    if cell_len(after) > room:
        after = f"{_first_cells(after, room)}…"
    yield f"{_MARGIN}{styled('|', dim=True)} {before}{after}".rstrip()
    if column:
        mark = styled("^", fg="red", bold=True)
        yield f"{_MARGIN}{styled('|', dim=True)} {' ' * cell_len(before)}{mark}"


def _first_cells(text: str, most: int) -> str:
    taken, width = "", 0
    for char in text:
        width += cell_len(char)
        if width > most:
            break
        taken += char
    return taken


def _last_cells(text: str, most: int) -> str:
    return _first_cells(text[::-1], most)[::-1]


def _lines(archive: Path, file: str) -> tuple[str, ...]:
    """Return the lines of one of the archive's files; none where it cannot be shown."""
    path = archive / file
    try:
        inside = path.resolve().is_relative_to(archive.resolve())
        if not file or not inside or path.stat().st_size > _MOST_BYTES:
            return ()
        text = path.read_bytes().decode("utf-8-sig", errors="replace")
    except OSError:
        return ()
    return tuple((_SERIES_ENDS if file.endswith(".csv") else _ENDS).split(text))
