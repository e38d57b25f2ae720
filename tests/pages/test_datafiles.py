"""The data files, as a re-user reads them."""

from __future__ import annotations

import csv
import io
import json
import zipfile

import pytest

from sitegen.findings.views import ReadingRow, ResultRow, RunRow
from sitegen.pages.datafiles import (
    inert,
    inert_series,
    readings_csv,
    results_csv,
    results_json,
    runs_csv,
    series_zip,
)
from sitegen.pages.frame import Site

# The contract with re-users, written out once more, independent of the code.
RESULTS_HEAD = (
    "device,filter,speed,method,fraction,runs,run_ids,validity,flags,cadr_m3h,"
    "cadr_low,cadr_high,cadr_basis,decay_per_h,natural_per_h,clearance_min,"
    "clearance_low,clearance_high,clearance_basis,sound_dba,sound_low,sound_high,"
    "sound_limit,sound_method,power_w,power_sd,power_method,cadr_per_w,"
    "energy_kwh_year,energy_cost_year,filter_cost_year,running_cost_year,"
    "ownership_cost,currency,rank_low,rank_high,ranked_of,address"
)
RUNS_HEAD = (
    "run,kind,device,filter,speed,method,date,status,validity,instrument,fraction,"
    "points,window_start_min,window_end_min,zero_offset,decay_per_h,decay_sd_per_h,"
    "decay_low,decay_high,plain_decay_per_h,plain_se_per_h,r_squared,natural_per_h,"
    "natural_sd_per_h,cadr_m3h,cadr_low,cadr_high,flags"
)
READINGS_HEAD = (
    "run,kind,device,specimen,filter,speed,method,date,status,what,position,value,unit"
)

RESULT = ResultRow(
    device="fen-2",
    filter="none",
    speed="low",
    method="decay-a",
    fraction="pm2_5",
    runs=2,
    run_ids=("r-1", "r-2"),
    validity="notes",
    flags=("short-window", "few-points"),
    cadr_m3h=1000 / 3,
    cadr_low=-0.125,
    currency="EUR",
    address="https://example.org/devices/fen-2/",
)
RUN = RunRow(
    run="r-1",
    kind="decay",
    device="fen-2",
    filter="none",
    speed="low",
    method="decay-a",
    date="2026-03-12",
    status="accepted",
    validity="rated",
    instrument="all",
    fraction="pm2_5",
    points=41,
    decay_per_h=2.5,
)
READING = ReadingRow(
    run="s-1",
    kind="sound",
    device="fen-2",
    specimen="a",
    filter="none",
    speed="low",
    method="sound-a",
    date="2026-03-12",
    status="accepted",
    what="background",
    position=1,
    value=24.5,
    unit="dB(A)",
)
SITE = Site(
    name="Quiet Bench",
    tagline="",
    base="https://example.org/bench",
    language="en",
    units="metric",
    currency="EUR",
    simulated=True,
    publisher="Invented Workshop",
    contact="",
    licence="CC BY 4.0",
    licence_url="",
    disclosure="",
    navigation=(),
)


def read(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode(), newline="")))


@pytest.mark.parametrize(
    ("data", "head"),
    [
        (results_csv([]), RESULTS_HEAD),
        (runs_csv([]), RUNS_HEAD),
        (readings_csv([]), READINGS_HEAD),
    ],
)
def test_columns_are_the_contract(data: bytes, head: str) -> None:
    """A file without rows is the line of its columns, ended by CR LF, no mark first."""
    assert data == f"{head}\r\n".encode()


def test_ten_significant_digits() -> None:
    """A number has 10 significant digits and a negative one stays a number."""
    row = read(results_csv([RESULT]))[0]
    assert row["cadr_m3h"] == "333.3333333"
    assert row["cadr_low"] == "-0.125"


def test_missing_is_empty_and_lists_have_spaces() -> None:
    """What was not measured is an empty cell; several values stand between spaces."""
    row = read(results_csv([RESULT]))[0]
    assert row["cadr_high"] == ""
    assert row["rank_low"] == ""
    assert row["run_ids"] == "r-1 r-2"
    assert row["flags"] == "short-window few-points"


def test_runs_and_readings() -> None:
    """A run's and a reading's row hold what was given, under their own columns."""
    run = read(runs_csv([RUN]))[0]
    assert (run["points"], run["decay_per_h"], run["zero_offset"]) == ("41", "2.5", "")
    reading = read(readings_csv([READING]))[0]
    assert (reading["what"], reading["value"], reading["unit"]) == (
        "background",
        "24.5",
        "dB(A)",
    )


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_no_formula(start: str) -> None:
    """A text that a spreadsheet would run begins with an apostrophe instead."""
    rows = [
        ReadingRow(
            **{
                **{name: getattr(READING, name) for name in READING.__slots__},
                "specimen": f"{start}1+1",
                "value": -3.0,
            }
        )
    ]
    row = read(readings_csv(rows))[0]
    assert row["specimen"] == f"'{start}1+1"
    assert row["value"] == "-3"


def test_harmless_text_is_left() -> None:
    """A text with such a mark further in is left as it is."""
    assert inert("a-b = c@d") == "a-b = c@d"


def test_infinite_numbers_are_refused() -> None:
    """A number that is none is an error and never reaches a file."""
    wrong = ResultRow("a", "b", "c", "d", "e", 0, (), "rated", (), float("nan"))
    with pytest.raises(ValueError, match="nan"):
        results_csv([wrong])
    with pytest.raises(ValueError, match="nan"):
        results_json([wrong], SITE)


def test_json_says_the_same() -> None:
    """The JSON holds the numbers of the CSV, lists as lists, missing as null."""
    document = json.loads(results_json([RESULT], SITE))
    row = document["results"][0]
    assert list(row) == RESULTS_HEAD.split(",")
    assert row["cadr_m3h"] == 333.3333333
    assert row["cadr_high"] is None
    assert row["sound_method"] is None
    assert row["run_ids"] == ["r-1", "r-2"]
    assert document["archive"]["simulated"] is True
    assert document["archive"]["address"] == "https://example.org/bench/"
    assert [column["name"] for column in document["columns"]] == list(row)


def test_zip_depends_on_content_alone() -> None:
    """Packed series are sorted, carry one fixed moment, and do not know their order."""
    files = [("b.csv", b"2"), ("a.csv", b"1")]
    packed = series_zip(files)
    assert packed == series_zip(files[::-1])
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        assert archive.namelist() == ["a.csv", "b.csv"]
        assert archive.read("b.csv") == b"2"
        assert {info.date_time for info in archive.infolist()} == {
            (1980, 1, 1, 0, 0, 0)
        }


@pytest.mark.parametrize("name", ["../a", "/a", "a//b", "a/./b", "c:a", "a\\b", ""])
def test_zip_cannot_lead_out(name: str) -> None:
    """A name that would be unpacked elsewhere is refused."""
    with pytest.raises(ValueError, match=r".*"):
        series_zip([(name, b"")])


def test_zip_names_once() -> None:
    """Two files of one name are refused."""
    with pytest.raises(ValueError, match="a"):
        series_zip([("a", b"1"), ("a", b"2")])


@pytest.mark.parametrize(
    ("line", "published"),
    [
        ("# a,=cmd|'/C calc'!A0", "# a,'=cmd|'/C calc'!A0"),
        ("#;=1+1;@x", "#;'=1+1;'@x"),
        ('# "a","=1+1"', '# "a","\'=1+1"'),
        ("#\t+1+1", "#\t'+1+1"),
        ("#,-1+1", "#,'-1+1"),
        ("# offset,-0.5,+3", "# offset,-0.5,+3"),
        ("# offset,-.5e-3 ,2", "# offset,-.5e-3 ,2"),
        ("# = begins no cell here", "# = begins no cell here"),
    ],
)
def test_comments_of_a_series_are_inert(line: str, published: str) -> None:
    """A part of a comment that a spreadsheet would run is made text; numbers stay."""
    rest = "\r\nelapsed_s,bench-a.pm2_5\r\n0,-0.5\r\n"
    found = inert_series(f"{line}{rest}{line}\n".encode())
    assert found.decode() == f"{published}{rest}{published}\n"
