"""Raw logs of many shapes against what is told of each and the series it holds."""

from __future__ import annotations

import csv
import datetime as dt
import math
from pathlib import Path

import pytest

from sitegen.desk.intake.forms import known_form, stated_fields
from sitegen.desk.intake.log import ReadLog, read_log
from sitegen.desk.intake.told import guess_lines
from sitegen.errors import fault_lines
from sitegen.load import load_record
from sitegen.model import Instrument

CASES = Path(__file__).resolve().parents[2] / "cases" / "intake"
NAMES = sorted(path.name for path in CASES.iterdir())
EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)


def _taken(folder: Path) -> tuple[ReadLog | None, list[str]]:
    """Read the log of a case; return it and all that is said of it."""
    log = next(path for path in folder.iterdir() if path.stem == "log")
    record = (folder / "instrument.yaml").read_bytes()
    loaded = load_record("instrument", "counter", record, "instrument.yaml")
    assert isinstance(loaded.record, Instrument), fault_lines(loaded.faults)
    options = folder / "options.txt"
    words = options.read_text(encoding="utf-8").splitlines() if options.exists() else []
    day = [dt.date.fromisoformat(word[5:]) for word in words if word[:5] == "date "]
    stated = [word for word in words if "=" in word]
    data = log.read_bytes()
    known = known_form(data, log.name, loaded.record, stated_fields(stated))
    said = guess_lines(known, log.name, stated) if known.guesses else []
    faults = known.faults
    read = None
    if known.form is not None:
        first = day[0] if day else None
        read, faults = read_log(data, log.name, known.form, loaded.record, first)
    return read, [*said, *fault_lines(faults).splitlines()]


def _rows(log: ReadLog) -> list[str]:
    """Return the series of a log, times in UTC or as elapsed seconds."""
    lines = []
    for at, us in enumerate(log.rows.us):
        moment = (EPOCH + dt.timedelta(microseconds=int(us))).isoformat()
        time = f"{us / 1e6:g} s" if log.zone is None else moment.replace("+00:00", "Z")
        cells = [
            "" if math.isnan(values[at]) else f"{values[at]:.10g}"
            for values in log.rows.readings.values()
        ]
        lines.append(f"{time}  {'  '.join(cells)}".rstrip())
    return lines


def told(folder: Path) -> str:
    """Return what is said of a case's log, and its series or the refusal."""
    log, said = _taken(folder)
    if log is None:
        return "\n".join([*said, "", "REFUSED", ""])
    return "\n".join(
        [*said, "", f"SERIES {', '.join(log.rows.readings)}", *_rows(log), ""]
    )


@pytest.mark.parametrize("name", NAMES)
def test_every_log_gives_what_is_written_down_beside_it(name: str) -> None:
    """A log gives exactly the words and rows of its expected file."""
    folder = CASES / name
    expected = (folder / "expected.txt").read_text(encoding="utf-8")
    assert told(folder) == expected


@pytest.mark.parametrize("name", NAMES)
def test_every_series_is_the_one_that_the_log_was_made_from(name: str) -> None:
    """Times and readings are those that were put into the log; others are refused."""
    log, _ = _taken(CASES / name)
    source = CASES / name / "series.csv"
    assert (log is not None) == source.exists()
    if log is None:
        return
    with source.open(encoding="utf-8", newline="") as file:
        header, *rows = list(csv.reader(file))
    assert list(log.rows.readings) == header[1:]
    if header[0] == "time":
        wanted = [dt.datetime.fromisoformat(row[0]) for row in rows]
        times = [(moment - EPOCH).total_seconds() for moment in wanted]
    else:
        times = [float(row[0]) for row in rows]
    assert [us / 1e6 for us in log.rows.us] == times
    for at, values in enumerate(log.rows.readings.values(), start=1):
        made = [float(row[at]) if row[at] else math.nan for row in rows]
        assert list(values) == pytest.approx(made, rel=1e-8, nan_ok=True)


def test_there_are_enough_cases_of_both_sorts() -> None:
    """Well over 25 shapes are tried, refusals among them."""
    refused = [name for name in NAMES if not (CASES / name / "series.csv").exists()]
    assert len(NAMES) >= 35
    assert 10 <= len(refused) <= len(NAMES) - 20
