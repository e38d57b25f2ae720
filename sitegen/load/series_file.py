"""A series file: CSV bytes become readings over elapsed time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sitegen.errors import CODES, Fault, Place, sort_faults
from sitegen.load.decoded import decode
from sitegen.load.series_columns import fitting_rows, read_numbers, read_times
from sitegen.load.series_header import Header, read_header
from sitegen.load.series_rows import Row, read_rows

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from sitegen.model.series import Series

_MAX_BYTES = 20_000_000
# More than a day of a reading a second; a decay takes hours.
MOST_ROWS = 100_000
_SHOWN_AT_MOST = 20


@dataclass(frozen=True, slots=True)
class LoadedSeries:
    """What became of one series file.

    Attributes:
        series: the series, or nothing when the file has a fault.
        faults: everything wrong with the file, in reading order; of one kind of
            fault the first 20 and a count of the rest.
    """

    series: Series | None
    faults: tuple[Fault, ...]


def read_series(
    data: bytes, file: str, instruments: Mapping[str, Collection[str]] | None
) -> LoadedSeries:
    """Return the series that a file holds, or everything wrong with it.

    Elapsed time of a ``time`` column counts from its first row.

    Args:
        data: the file's bytes.
        file: path below the archive; its stem is the name of the series.
        instruments: size fractions that each instrument reads, by its id; without
            it, columns are not held against the instruments.
    """
    decoded = decode(data, file, _MAX_BYTES)
    if decoded.text is None or decoded.faults:
        return LoadedSeries(None, decoded.faults)
    if (lines := _lines(decoded.text)) > MOST_ROWS:
        values = {"found": str(lines), "most": str(MOST_ROWS)}
        return LoadedSeries(None, (Fault("series-too-long", Place(file), "", values),))
    found = read_rows(decoded.text, file)
    faults = found.faults
    if found.header is None:
        if not faults:
            faults.append(Fault("series-empty", Place(file)))
        return LoadedSeries(None, _summarised(faults))
    is_bare = not found.rows and not faults
    header = read_header(found.header, file, instruments, faults)
    if header is None:
        return LoadedSeries(None, _summarised(faults))
    if is_bare:
        faults.append(Fault("series-no-rows", Place(file, found.header.line)))
    rows = fitting_rows(found.rows, header, file, faults)
    series = _series(rows, header, file, faults)
    return LoadedSeries(series, _summarised(faults))


def _lines(text: str) -> int:
    return text.count("\n") + text.count("\r") - text.count("\r\n")


def _series(
    rows: Sequence[Row], header: Header, file: str, faults: list[Fault]
) -> Series | None:
    import numpy as np  # noqa: PLC0415 - loaded only where a series is read

    from sitegen.model.series import Series  # noqa: PLC0415 - needs numpy

    elapsed = read_times(rows, header, file, faults) if header.time else []
    readings: dict[str, dict[str, NDArray[np.float64]]] = {}
    for column in header.columns:
        values = read_numbers(rows, column.at, column.name, file, faults)
        array = np.array(values, dtype=np.float64)
        readings.setdefault(column.instrument, {})[column.fraction] = array
    if faults:
        return None
    name = file.rpartition("/")[2].removesuffix(".csv")
    return Series(name, np.array(elapsed, dtype=np.float64), readings)


def _summarised(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return the first faults of each kind, and how many more there are."""
    ordered = sort_faults(faults)
    totals = Counter(fault.code for fault in ordered)
    counted: Counter[str] = Counter()
    kept: list[Fault] = []
    for fault in ordered:
        counted[fault.code] += 1
        if counted[fault.code] <= _SHOWN_AT_MOST:
            kept.append(fault)
        elif counted[fault.code] == _SHOWN_AT_MOST + 1:
            values = {
                "count": str(totals[fault.code] - _SHOWN_AT_MOST),
                "title": CODES[fault.code].title,
            }
            kept.append(Fault("series-more", fault.place, "", values))
    return tuple(kept)
