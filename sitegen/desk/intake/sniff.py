"""How a log without a description seems to read, each guess with its evidence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sitegen.desk.intake.cells import (
    DELIMITERS,
    Cells,
    read_cells,
    single_blanks,
    split_line,
)
from sitegen.desk.intake.decoded import likely_encoding, log_text
from sitegen.desk.intake.readings import NUMBER, unit_in
from sitegen.desk.intake.sniff_columns import guess_columns, guess_words
from sitegen.desk.intake.sniff_time import guess_time, is_dated
from sitegen.errors import Fault
from sitegen.model import Instrument
from sitegen.model.bench import LogForm

# Asked in this order, for commas and blanks also stand inside cells.
_ASKED = ("tab", "semicolon", "comma", "space")
_SAMPLE = 400
_MARK_OF = {"point": ".", "comma": ","}


@dataclass(frozen=True, slots=True)
class Guessed:
    """One field of a log's form, guessed or stated.

    Attributes:
        field: dotted path in ``log``.
        value: what is put there, plain data.
        evidence: what speaks for it, in words.
    """

    field: str
    value: Any
    evidence: str


@dataclass(frozen=True, slots=True)
class Sniffed:
    """How a log seems to read.

    Attributes:
        guesses: the fields guessed.
        form: plain data of the whole form; nothing when there is a fault.
        faults: what cannot be known from the log.
    """

    guesses: tuple[Guessed, ...]
    form: Mapping[str, Any] | None
    faults: tuple[Fault, ...]


def sniff(
    data: bytes, name: str, instrument: Instrument, stated: Mapping[str, Any]
) -> Sniffed:
    """Return how a log seems to read.

    Args:
        data: bytes of the log.
        name: name of the file.
        instrument: the instrument that wrote it.
        stated: fields that the tester stated; they are not guessed.
    """
    faults: list[Fault] = []
    guesses: list[Guessed] = []
    form: dict[str, Any] = {}

    def settle(field: str, value: Any, evidence: str) -> None:
        if field in stated:
            form[field] = stated[field]
            return
        form[field] = value
        guesses.append(Guessed(field, value, evidence))

    settle("encoding", *likely_encoding(data))
    text = log_text(data, name, form["encoding"], faults)
    if text is None:
        return Sniffed((), None, tuple(faults))
    settle("delimiter", *_delimiter(text))
    table = _Sample(text, form["delimiter"])
    settle("header_row", *table.header())
    bare = LogForm.model_validate(
        {**form, "time": {"columns": ["-"], "form": "iso"}, "columns": {}}
    )
    cells = read_cells(text, bare, name, faults)
    if cells is None:
        return Sniffed(tuple(guesses), None, tuple(faults))
    body = _without_units(cells)
    time, told = guess_time(body, stated.get("time", {}), name, faults)
    form["time"] = time
    guesses += [Guessed(f"time.{key}", time[key], why) for key, why in told.items()]
    settle("decimal_mark", *_decimal_mark(body, time.get("columns", ())))
    columns, units, told = guess_columns(
        body, _unit_row(cells), instrument, stated, time, name, faults
    )
    form.update(columns=columns, units=units)
    guesses += [
        Guessed(key, units if key == "units" else columns[key[8:]], why)
        for key, why in told.items()
    ]
    for key, value, evidence in guess_words(
        body, columns, _MARK_OF[form["decimal_mark"]]
    ):
        settle(key, value, evidence)
    form.update({key: value for key, value in stated.items() if key not in form})
    stop = any(fault.code in _STOPPING for fault in faults)
    return Sniffed(tuple(guesses), None if stop else form, tuple(faults))


_STOPPING = frozenset(
    {
        "intake-no-time-column",
        "intake-times-alike",
        "intake-day-or-month",
        "intake-elapsed-unit",
        "intake-no-readings",
        "intake-columns-alike",
        "intake-column-twice",
    }
)


def _delimiter(text: str) -> tuple[str, str]:
    best = ("comma", 0.0, 1)
    for name in _ASKED:
        table = _Sample(text, name)
        share, width = table.agreement()
        if width > 1 and share > best[1] + 0.05:
            best = (name, share, width)
    name, share, width = best
    return name, f"{share:.0%} of the rows then have {width} cells"


class _Sample:
    """The first lines of a log, split into cells."""

    def __init__(self, text: str, delimiter: str) -> None:
        end = 0
        for _ in range(_SAMPLE):
            at = text.find("\n", end)
            if at < 0:
                end = len(text)
                break
            end = at + 1
        head = text[:end]
        if delimiter == "space":
            head = single_blanks(head)
        mark = DELIMITERS[delimiter]
        self.lines = [split_line(line, mark) for line in head.split("\n")]

    def agreement(self) -> tuple[float, int]:
        """Return how many rows have the usual number of cells, and that number."""
        widths = [len(line) for line in self.lines if len(line) > 0]
        widths = widths[len(widths) // 4 :]
        if not widths:
            return 0.0, 1
        width, count = Counter(widths).most_common(1)[0]
        return count / len(widths), width

    def header(self) -> tuple[int, str]:
        """Return the line of the header, 0 for none, and the evidence."""
        rows = [at for at, cells in enumerate(self.lines) if _is_row(cells)]
        if not rows:
            return 1, "no line holds numbers"
        at = rows[0]
        width = len(self.lines[at])
        block = []
        for above in range(at - 1, -1, -1):
            line = self.lines[above]
            filled = len([cell for cell in line if cell])
            if len(line) not in {width, width - 1}:
                break
            if filled < max(width - 2, 1) and not _is_unit_row(line):
                break
            block.append(above)
        names = [above for above in block if _can_be_names(self.lines[above])]
        if not names:
            return 0, f"the first row of numbers, line {at + 1}, has no names above it"
        return names[0] + 1, f"the first row of numbers is line {at + 1}"


def _is_row(cells: list[str]) -> bool:
    filled = [cell for cell in cells if cell]
    known = [cell for cell in filled if is_number(cell) or is_dated(cell)]
    return len(known) >= 2 and len(known) > len(filled) / 2


def _can_be_names(cells: list[str]) -> bool:
    return not _is_unit_row(cells) and not any(
        is_number(cell) or is_dated(cell) for cell in cells
    )


def is_number(cell: str) -> bool:
    """Return whether a cell is a number, with either decimal mark."""
    return NUMBER.fullmatch(cell.strip().replace(",", ".")) is not None


def _is_unit_row(cells: list[str]) -> bool:
    return any(unit_in(cell) is not None and "pm" not in cell.lower() for cell in cells)


def _unit_row(cells: Cells) -> Mapping[str, str]:
    """Return the row of units below the header by column, if there is one."""
    first = [str(column[0]).strip() for column in cells.columns]
    if _is_row(first) or not _is_unit_row(first):
        return {}
    return dict(zip(cells.names, first, strict=True))


def _without_units(cells: Cells) -> Cells:
    import numpy as np  # noqa: PLC0415 - heavy

    if len(cells.lines) > 1 and _unit_row(cells):
        return cells.kept(np.arange(1, len(cells.lines)))
    return cells


def _decimal_mark(cells: Cells, times: Any) -> tuple[str, str]:
    seen: Counter[str] = Counter()
    example: dict[str, str] = {}
    for name, column in zip(cells.names, cells.columns, strict=True):
        if name in times:
            continue
        for cell, line in zip(column[:_SAMPLE], cells.lines, strict=False):
            text = cell.strip()
            if is_number(text):
                mark = "comma" if "," in text else "point" if "." in text else ""
                seen[mark] += 1
                example.setdefault(mark, f'"{text}" on line {line}')
    seen.pop("", None)
    if not seen:
        return "point", "no number has decimals"
    mark = seen.most_common(1)[0][0]
    return mark, example[mark]
