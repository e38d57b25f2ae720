"""The data files: tables as CSV and JSON, series as an archive of files.

CSV is written as RFC 4180 has it: UTF-8 without a byte order mark, commas, CRLF at
the end of every line also the last, quotes only where needed. The first line names
the columns. An empty cell means: not measured, or not known. Numbers carry 10
significant digits and a full stop; several values in one cell are separated by
spaces. A text that a spreadsheet would run as a formula begins with an apostrophe;
numbers never do. Rows stand in the order given.
"""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from collections.abc import Sequence
from typing import Any

from sitegen.findings.views import ReadingRow, ResultRow, RunRow
from sitegen.model import RESULT_COLUMNS
from sitegen.model.quantities import READING_COLUMNS, RUN_COLUMNS
from sitegen.model.rounding import significant_text
from sitegen.pages import addresses
from sitegen.pages.data_columns import columns
from sitegen.pages.frame import Site

Cell = str | int | float | tuple[str, ...] | None

# What makes a spreadsheet take a text for a formula, or look past the first mark.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
_COMMENT = re.compile(rb"^[^\S\r\n]*#[^\r\n]*", re.MULTILINE)
# A part of a comment that would be run, but for a number.
_NO_NUMBER = rb"(?![+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?[\s\"]*(?:[,;\t]|$))"
_RUN = re.compile(rb"([,;\t][\s\"]*)" + _NO_NUMBER + rb"([=+\-@])")
# The oldest moment that the format can hold: says nothing about when it was made.
_ZIP_MOMENT = (1980, 1, 1, 0, 0, 0)
_ZIP_MADE_ON_UNIX = 3
_ZIP_MODE = 0o100644 << 16


def results_csv(rows: Sequence[ResultRow]) -> bytes:
    """Return ``results.csv``: one row per configuration, method and fraction.

    Raises:
        ValueError: if a number is NaN or infinite.
    """
    return _csv(RESULT_COLUMNS, rows)


def runs_csv(rows: Sequence[RunRow]) -> bytes:
    """Return ``runs.csv``: one row per run, instrument and fraction.

    Raises:
        ValueError: if a number is NaN or infinite.
    """
    return _csv(RUN_COLUMNS, rows)


def readings_csv(rows: Sequence[ReadingRow]) -> bytes:
    """Return ``readings.csv``: one row per reading of sound or power.

    Raises:
        ValueError: if a number is NaN or infinite.
    """
    return _csv(READING_COLUMNS, rows)


def lines_of(data: bytes) -> bytes:
    """Return the lines of a CSV file without the first, which names the columns."""
    return data.partition(b"\r\n")[2]


def results_json(rows: Sequence[ResultRow], site: Site) -> bytes:
    """Return ``results.json``: the rows of ``results.csv`` with what they mean.

    One object: ``archive`` (name, address, publisher, licence, currency, whether
    simulated), ``columns`` (name, title, unit, meaning) and ``results``, one object a
    row, keyed by the names of the columns. ``null`` means: not measured, or not
    known. Numbers carry 10 significant digits; several values are a list.

    Args:
        rows: the results.
        site: what is said of the archive.

    Raises:
        ValueError: if a number is NaN or infinite.
    """
    document = {
        "archive": {
            "name": site.name,
            "address": addresses.HOME.canonical(site.base),
            "publisher": site.publisher,
            "licence": {"name": site.licence, "url": site.licence_url or None},
            "currency": site.currency,
            "simulated": site.simulated,
        },
        "columns": [
            {
                "name": column.name,
                "title": column.title,
                "unit": column.unit or None,
                "meaning": column.meaning,
            }
            for column in columns("results")
        ],
        "results": [
            {name: _json_value(getattr(row, name)) for name in RESULT_COLUMNS}
            for row in rows
        ],
    }
    text = json.dumps(
        document, ensure_ascii=False, separators=(",", ":"), allow_nan=False
    )
    return f"{text}\n".encode()


def series_zip(files: Sequence[tuple[str, bytes]]) -> bytes:
    """Return files packed into one, the same bytes for the same files.

    The files stand sorted by name and carry one fixed moment.

    Args:
        files: name within the archive, with ``/`` between folders, and bytes.

    Raises:
        ValueError: if a name occurs twice or would lead out of the folder into which
            the archive is unpacked.
    """
    packed = io.BytesIO()
    seen: set[str] = set()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, data in sorted(files):
            if name in seen or not _stays_inside(name):
                raise ValueError(name)
            seen.add(name)
            entry = zipfile.ZipInfo(name, _ZIP_MOMENT)
            entry.create_system = _ZIP_MADE_ON_UNIX
            entry.external_attr = _ZIP_MODE
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, data, compresslevel=6)
    return packed.getvalue()


def inert(text: str) -> str:
    """Return a text so that no spreadsheet takes it for a formula."""
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def inert_series(data: bytes) -> bytes:
    """Return a series so that no spreadsheet takes a part of a comment for a formula.

    Its cells are numbers and names of columns; only comments hold free text, which a
    spreadsheet splits at commas, semicolons and tabs like any other line. Everything
    else stays as it was logged, byte for byte.

    Args:
        data: bytes of a series without fault.
    """
    return _COMMENT.sub(lambda line: _RUN.sub(rb"\1'\2", line[0]), data)


def _csv(
    names: Sequence[str], rows: Sequence[ResultRow | RunRow | ReadingRow]
) -> bytes:
    written = io.StringIO(newline="")
    writer = csv.writer(written, lineterminator="\r\n")
    writer.writerow(names)
    for row in rows:
        writer.writerow([_cell(getattr(row, name)) for name in names])
    return written.getvalue().encode()


def _cell(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return significant_text(value)
    return inert(value if isinstance(value, str) else " ".join(value))


def _json_value(value: Cell) -> Any:
    if isinstance(value, float):
        return float(significant_text(value))
    if isinstance(value, tuple):
        return list(value)
    return None if value == "" else value


def _stays_inside(name: str) -> bool:
    parts = name.split("/")
    unsafe = "\\" in name or ":" in name or "\0" in name
    return not unsafe and all(part not in {"", ".", ".."} for part in parts)
