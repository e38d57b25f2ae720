"""Series files: what is read, and every fault with line and remedy."""

from __future__ import annotations

import numpy as np
import pytest

from sitegen.errors import fault_line
from sitegen.load import LoadedSeries, read_series

KNOWN = {"a": ["pm2_5", "pm10"], "b": ["pm2_5"]}
HEAD = "elapsed_min,a.pm2_5\n"
Found = list[tuple[str, int, int]]


def read(text: str | bytes) -> LoadedSeries:
    """Return what a series file holds, held against two instruments."""
    data = text.encode() if isinstance(text, str) else text
    return read_series(data, "series/run.csv", KNOWN)


def faults(loaded: LoadedSeries) -> Found:
    """Return code, line and column of each fault."""
    return [(f.code, f.place.line, f.place.column) for f in loaded.faults]


def test_readings_stand_under_instrument_and_fraction() -> None:
    """Comments and blank lines are passed over, empty cells are missing readings."""
    loaded = read(
        "# Quiet morning\n\nelapsed_min, a.pm2_5 ,b.pm2_5,a.pm10\n"
        "0,300,,310\n 0.5 ,-1.5,2e2,0\n\n# a door\n1,,.5,+3.\n"
    )
    assert loaded.faults == ()
    series = loaded.series
    assert series is not None
    assert series.name == "run"
    assert series.elapsed_min.tolist() == [0.0, 0.5, 1.0]
    assert {key: sorted(part) for key, part in series.readings.items()} == {
        "a": ["pm10", "pm2_5"],
        "b": ["pm2_5"],
    }
    np.testing.assert_array_equal(series.readings["a"]["pm2_5"], [300.0, -1.5, np.nan])
    np.testing.assert_array_equal(series.readings["b"]["pm2_5"], [np.nan, 200.0, 0.5])
    np.testing.assert_array_equal(series.readings["a"]["pm10"], [310.0, 0.0, 3.0])


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("elapsed_s,a.pm2_5\n-30,1\n0,2\n45,3\n", [-0.5, 0.0, 0.75]),
        (
            "time,a.pm2_5\n2026-10-25T02:30:00+02:00,1\n2026-10-25T02:00:00+01:00,2\n"
            "2026-10-25T01:01:30Z,3\n",
            [0.0, 30.0, 31.5],
        ),
        (
            "time,a.pm2_5\n2026-02-28T23:59:30Z,1\n2026-03-01T00:00:15.5Z,2\n",
            [0.0, 45.5 / 60.0],
        ),
    ],
)
def test_times_become_minutes_from_the_first_row(
    text: str, minutes: list[float]
) -> None:
    """Seconds and clock times are taken as well, across a change of the clocks."""
    series = read(text).series
    assert series is not None
    assert series.elapsed_min.tolist() == pytest.approx(minutes, abs=1e-12)


def test_line_ends_and_marks_of_other_systems_are_fine() -> None:
    """A byte order mark, CRLF, CR and a missing last line end change nothing."""
    for text in (
        b"\xef\xbb\xbf" + HEAD.encode() + b"0,1\r\n1,2",
        b"elapsed_min,a.pm2_5\r0,1\r1,2\r",
    ):
        series = read(text).series
        assert series is not None
        assert series.readings["a"]["pm2_5"].tolist() == [1.0, 2.0]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", [("series-empty", 0, 0)]),
        ("# nothing\n\n", [("series-empty", 0, 0)]),
        ("0,1\n1,2\n", [("series-no-header", 1, 0)]),
        (HEAD, [("series-no-rows", 1, 0)]),
        ("elapsed_min;a.pm2_5\n0;1\n", [("series-semicolons", 1, 12)]),
        ("elapsed_min\ta.pm2_5\n0\t1\n", [("series-tabs", 1, 12)]),
        ("minutes,a.pm2_5\n0,1\n", [("series-no-time-column", 1, 1)]),
        (
            "a.pm2_5,elapsed_min\n0,1\n",
            [("series-no-time-column", 1, 1), ("series-two-times", 1, 9)],
        ),
        ("elapsed_min,a.pm2_5,\n0,1,\n", [("series-empty-column", 1, 21)]),
        ("elapsed_min,a\n0,1\n", [("series-column-name", 1, 13)]),
        ("elapsed_min,a.pm2_5,a.pm2_5\n0,1,1\n", [("series-column-twice", 1, 21)]),
        ("elapsed_min,c.pm2_5\n0,1\n", [("series-unknown-instrument", 1, 13)]),
        ("elapsed_min,b.pm10\n0,1\n", [("series-unknown-fraction", 1, 13)]),
        ("elapsed_min\n0\n", [("series-no-readings", 1, 0)]),
        (HEAD + "min,ug/m3\n0,1\n", [("series-unit-row", 2, 0)]),
        (HEAD + "0,1\n1\n", [("series-cells", 3, 1)]),
        (HEAD + "0,1\n1,2,x\n", [("series-cells", 3, 5)]),
        (HEAD + "0,1\n1,2,\n", [("series-trailing-comma", 3, 5)]),
        (HEAD + "0,0,1,5\n", [("series-decimal-comma", 2, 1)]),
        (HEAD + '"0,5",1\n', [("series-decimal-comma", 2, 1)]),
        (HEAD + '0,"1\n', [("series-quotes", 2, 3)]),
        (HEAD + '0,1"2\n', [("series-not-a-number", 2, 3)]),
        (HEAD + "0,5 ug\n", [("series-not-a-number", 2, 3)]),
        (HEAD + "0,1_000\n", [("series-not-a-number", 2, 3)]),
        (HEAD + "0,N/A\n", [("series-missing-word", 2, 3)]),
        (HEAD + "0,--\n", [("series-missing-word", 2, 3)]),
        (HEAD + "0,-inf\n", [("series-not-finite", 2, 3)]),
        (HEAD + "0,1e999\n", [("series-not-finite", 2, 3)]),
        (HEAD + ",1\n", [("series-no-time", 2, 1)]),
        ("time,a.pm2_5\n9:00,1\n", [("series-time-form", 2, 1)]),
        ("time,a.pm2_5\n2026-03-01T09:00,1\n", [("series-no-offset", 2, 1)]),
        (HEAD + "0,1\n0,2\n", [("series-time-repeated", 3, 1)]),
        (HEAD + "1,1\n0.5,2\n", [("series-time-back", 3, 1)]),
        (HEAD + "0,\x00\n", [("control-character", 2, 3)]),
    ],
)
def test_each_fault_has_its_line(text: str, expected: Found) -> None:
    """What a spreadsheet or logger does to a file is named with line and column."""
    loaded = read(text)
    assert loaded.series is None
    assert faults(loaded) == expected


def test_a_fault_says_the_remedy() -> None:
    """The line of a fault ends with what to do about it."""
    line = fault_line(read(HEAD + "0,1\n1,2,\n").faults[0])
    assert line == (
        "series/run.csv:3:5: the row ends with a comma too many; 2 cells; delete the"
        " comma [series-trailing-comma]"
    )


def test_one_fault_does_not_hide_the_next() -> None:
    """Faults of the header, the time and the cells are told together."""
    loaded = read("elapsed_min,a.pm25\n0,x\n0,1,\n,NaN\n-1,2\n")
    assert faults(loaded) == [
        ("series-unknown-fraction", 1, 13),
        ("series-not-a-number", 2, 3),
        ("series-trailing-comma", 3, 5),
        ("series-no-time", 4, 1),
        ("series-not-finite", 4, 2),
        ("series-time-back", 5, 1),
    ]


def test_of_each_sort_of_fault_twenty_are_told_and_the_rest_counted() -> None:
    """A column of words gives twenty lines and the number of the others."""
    loaded = read(HEAD + "".join(f"{at},x\n" for at in range(50)) + "50,1,\n")
    codes = [fault.code for fault in loaded.faults]
    assert codes.count("series-not-a-number") == 20
    assert codes.count("series-trailing-comma") == 1
    more = next(fault for fault in loaded.faults if fault.code == "series-more")
    assert more.values["count"] == "30"


def test_without_instruments_columns_are_taken_as_they_are() -> None:
    """A reader that does not know the instruments still knows the fractions."""
    text = "elapsed_min,whatever.pm2_5\n0,1\n1,2\n"
    assert read_series(text.encode(), "series/x.csv", None).series is not None
    bad = read_series(b"elapsed_min,whatever.pm3\n0,1\n", "series/x.csv", None)
    assert [fault.code for fault in bad.faults] == ["series-unknown-fraction"]


def test_ten_thousand_rows_are_read_whole() -> None:
    """A long log loses no row and no digit."""
    minutes = [at / 120 for at in range(10_000)]
    text = HEAD + "".join(f"{m!r},{500 - m}\n" for m in minutes)
    series = read(text).series
    assert series is not None
    assert series.elapsed_min.tolist() == minutes
