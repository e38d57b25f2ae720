"""Which columns of a log hold which size fraction, and which words are no numbers."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sitegen.desk.intake.cells import Cells, Texts
from sitegen.desk.intake.readings import NUMBER, PER_UNIT, unit_in
from sitegen.errors import Fault, Place
from sitegen.model import Instrument

_NAMES = (
    ("pm10", re.compile(r"pm[ _]?10(?!\d)", re.IGNORECASE)),
    ("pm2_5", re.compile(r"pm[ _]?2[.,_]?5", re.IGNORECASE)),
    ("pm4", re.compile(r"pm[ _]?4(?:[.,_]0)?(?!\d)", re.IGNORECASE)),
    ("pm1", re.compile(r"pm[ _]?1(?:[.,_]0)?(?!\d)", re.IGNORECASE)),
    (
        "count",
        re.compile(r"count|particles|number|[#p1] ?/ ?(?:cm|cc|l)", re.IGNORECASE),
    ),
)
_MISSING_WORDS = frozenset(
    {"nan", "na", "n/a", "#n/a", "null", "none", "-", "--", "---", "err", "error", "?"}
)
_MISSING_NUMBERS = frozenset({"-99", "-999", "-9999", "-99.9", "-999.9", "-9999.0"})
_OVER_WORDS = re.compile(r">.*|over.*|ovr|ol|hi", re.IGNORECASE)
_ALIKE = frozenset({"intake-columns-alike", "intake-column-twice"})
_WORDS_AT_MOST = 8
_LOW = -50.0


def guess_columns(
    cells: Cells,
    units: Mapping[str, str],
    instrument: Instrument,
    stated: Mapping[str, Any],
    time: Mapping[str, Any],
    file: str,
    faults: list[Fault],
) -> tuple[dict[str, str], dict[str, str], dict[str, str]]:
    """Return columns to fractions, fractions to units, and the evidence by field.

    Args:
        cells: the rows, without a row of units.
        units: that row, by column.
        instrument: the instrument that wrote the log.
        stated: fields that the tester stated.
        time: the ``time`` part of the form.
        file: name of the log, for the places of faults.
        faults: takes what cannot be known from the log.
    """
    told: dict[str, str] = {}
    columns: dict[str, str] = dict(stated.get("columns", {}))
    if not columns:
        columns = _by_name(cells, instrument, file, faults)
        told = {f"columns.{name}": "its name" for name in columns}
    known = any(fault.code in _ALIKE for fault in faults)
    if not columns and not known:
        columns = _the_only_one(cells, instrument, time)
        told = {
            f"columns.{name}": "the only column of numbers; the instrument reads"
            " nothing else"
            for name in columns
        }
    if not columns and not known:
        place = Place(file, cells.header_line)
        values = {
            "columns": ", ".join(f'"{name}"' for name in cells.names[:12]),
            "fractions": ", ".join(instrument.fractions),
        }
        faults.append(Fault("intake-no-readings", place, "columns", values))
    found: dict[str, str] = dict(stated.get("units", {}))
    for name, fraction in columns.items():
        part = instrument.fractions.get(fraction)  # type: ignore[call-overload]
        seen = unit_in(units.get(name, "")) or unit_in(name)
        if part and seen and fraction not in found and (seen, part.unit) in PER_UNIT:
            found[fraction] = seen
            told["units"] = f'"{units.get(name) or name}"'
    return columns, found, told


def _by_name(
    cells: Cells, instrument: Instrument, file: str, faults: list[Fault]
) -> dict[str, str]:
    found: dict[str, list[str]] = {}
    for name in cells.names:
        for fraction, pattern in _NAMES:
            if pattern.search(name):
                if fraction in instrument.fractions:
                    found.setdefault(fraction, []).append(name)
                break
    place = Place(file, cells.header_line)
    alike = False
    for fraction, names in found.items():
        if len(set(names)) < len(names):
            values = {"name": names[0]}
            faults.append(Fault("intake-column-twice", place, "", values))
            alike = True
        elif len(names) > 1:
            values = {
                "fraction": fraction,
                "names": ", ".join(f'"{name}"' for name in names),
                "name": names[0],
            }
            faults.append(Fault("intake-columns-alike", place, "columns", values))
            alike = True
    if alike:
        return {}
    return {names[0]: fraction for fraction, names in found.items()}


def _the_only_one(
    cells: Cells, instrument: Instrument, time: Mapping[str, Any]
) -> dict[str, str]:
    if len(instrument.fractions) != 1:
        return {}
    names = [
        name
        for name, column in zip(cells.names, cells.columns, strict=True)
        if name not in time.get("columns", ())
        and any(NUMBER.fullmatch(cell.strip().replace(",", ".")) for cell in column)
    ]
    return {names[0]: next(iter(instrument.fractions))} if len(names) == 1 else {}


def _odd(column: Texts, decimal_mark: str) -> NDArray[np.bool_]:
    """Return which cells are no plain readings, at a glance."""
    import pandas as pd  # noqa: PLC0415 - heavy

    texts = column
    if decimal_mark == ",":
        texts = np.array([text.replace(",", ".") for text in column], dtype=object)
    numbers = pd.to_numeric(pd.Series(texts), errors="coerce").to_numpy()
    return np.asarray(~np.isfinite(numbers) | (numbers < _LOW), dtype=np.bool_)


def guess_words(
    cells: Cells, columns: Mapping[str, str], decimal_mark: str
) -> list[tuple[str, list[str], str]]:
    """Return the fields ``missing`` and ``over``, each with texts and evidence.

    Only texts that loggers commonly use are proposed; any other text that is no
    number stays a fault of its own.
    """
    seen: Counter[str] = Counter()
    first: dict[str, int] = {}
    for name in columns:
        if name not in cells.names:
            continue
        odd = _odd(cells.column(name), decimal_mark)
        for cell, line in zip(cells.column(name)[odd], cells.lines[odd], strict=True):
            text = cell.strip()
            number = NUMBER.fullmatch(text.replace(decimal_mark, "."))
            if text and (number is None or text in _MISSING_NUMBERS):
                seen[text] += 1
                first.setdefault(text, int(line))
    missing = [
        word
        for word, _ in seen.most_common()
        if word.lower() in _MISSING_WORDS or word in _MISSING_NUMBERS
    ][:_WORDS_AT_MOST]
    over = [word for word, _ in seen.most_common() if _OVER_WORDS.fullmatch(word)]
    found = []
    for field, words in (("missing", missing), ("over", over[:_WORDS_AT_MOST])):
        if words:
            told = [
                f'"{word}" on line {first[word]}'
                + (f" and {seen[word] - 1} more" if seen[word] > 1 else "")
                for word in words
            ]
            found.append((field, words, "; ".join(told)))
    return found
