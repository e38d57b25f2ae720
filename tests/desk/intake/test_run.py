"""From logs to the two files of a run: joined, fitted, written once."""

from __future__ import annotations

import datetime as dt
import math
import re
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import numpy as np
import pytest

from sitegen.archive_build import check_archive
from sitegen.desk.intake.plot import plot_lines
from sitegen.desk.intake.proposal import Proposal, propose
from sitegen.desk.intake.taken import NotUnderstood, take
from sitegen.desk.intake.told import proposal_lines, taken_lines
from sitegen.desk.intake.wanted import Wanted
from sitegen.desk.intake.written import keep_forms, write_proposal
from sitegen.desk.opened import OpenArchive
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import FaultsFound, UsageFault, fault_lines
from sitegen.findings.views import RunCurve, SensorCurve
from sitegen.model import DecayRun, NaturalDecayRun
from sitegen.model.run import Event

RATE_PER_H = 6.0
START = dt.datetime(2026, 2, 13, 14, 0, tzinfo=dt.UTC)
EVENTS = ("injected=4", "mixing_off=8", "device_on=9")
CLEANER = "example-cleaner.example-filter.high"


def level(minute: float) -> float:
    """Return the reading at a minute: a fall of 6 an hour from minute 9 on.

    A small ripple stands for noise, so that no two instruments agree to the digit.
    """
    if minute < 4:
        return 2.0
    if minute < 9:
        return 60.0 * (minute - 4) + 2.0
    ripple = 1 + 0.004 * math.sin(7 * minute)
    return 302.0 * math.exp(-RATE_PER_H * (minute - 9) / 60) * ripple + 0.5


def log_text(
    step_s: float = 20.0, ahead_s: float = 0.0, minutes: float = 40, gain: float = 1.0
) -> str:
    """Return a log of the run in ISO times with offset."""
    lines = ["time,PM2.5"]
    for at in np.arange(ahead_s, minutes * 60 + 0.1, step_s):
        moment = START + dt.timedelta(seconds=float(at))
        lines.append(f"{moment.isoformat()},{gain * level(at / 60):.1f}")
    return "\n".join(lines) + "\n"


@pytest.fixture
def bench(tmp_path: Path) -> OpenArchive:
    """A new archive with two counters."""
    folder = tmp_path / "bench"
    start_archive(folder, Beginning(instruments=("Counter A", "Counter B")))
    return OpenArchive(folder)


def _wanted(path: Path, **more: object) -> Wanted:
    usual = Wanted(logs=(path,), instruments=("counter-a",), of=CLEANER, events=EVENTS)
    return replace(usual, **more)  # type: ignore[arg-type]


def _proposed(bench: OpenArchive, wanted: Wanted) -> Proposal:
    return propose(bench, wanted, take(bench, wanted))


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """The log of one run."""
    path = tmp_path / "run 1.csv"
    path.write_text(log_text(), encoding="utf-8")
    return path


def test_the_rate_is_that_of_least_squares(bench: OpenArchive, log: Path) -> None:
    """The decay rate shown is the slope of ln(reading less zero) over the window."""
    found = _proposed(bench, _wanted(log)).found
    slope = found.slope("pm2_5", "counter-a")
    assert slope is not None
    minutes = np.arange(0, 40.01, 1 / 3)
    inside = (minutes >= slope.start_min - 1e-6) & (minutes <= slope.end_min + 1e-6)
    logged = np.round([level(minute) for minute in minutes[inside]], 1)
    plain = -np.polyfit(minutes[inside] / 60, np.log(logged - 0.5), 1)[0]
    assert slope.plain_per_h == pytest.approx(plain, rel=1e-9)
    assert slope.decay_low < RATE_PER_H < slope.decay_high


def test_what_is_written_has_no_fault(bench: OpenArchive, log: Path) -> None:
    """Series and record are taken by the check, and name the log with its digest."""
    proposal = _proposed(bench, _wanted(log, note='Said "twice": no'))
    written = write_proposal(bench.folder, proposal)
    assert check_archive(bench.folder) == ()
    assert [path.is_file() for path in written] == [True, True]
    run = OpenArchive(bench.folder).record("run", proposal.run.id, DecayRun)
    assert run.raw[0].name == "run 1.csv"
    assert run.raw[0].digest == sha256(log.read_bytes()).hexdigest()
    assert run.note == 'Said "twice": no'
    assert run.started == START
    assert [(e.at_min, e.what) for e in run.events] == [
        (4, "injected"),
        (8, "mixing_off"),
        (9, "device_on"),
    ]


def test_nothing_is_written_over(bench: OpenArchive, log: Path) -> None:
    """A second intake of one run gets another name, or is refused under the same."""
    first = _proposed(bench, _wanted(log))
    write_proposal(bench.folder, first)
    before = {path: path.read_bytes() for path in bench.folder.rglob("*.*")
              if path.is_file()}  # fmt: skip
    again = OpenArchive(bench.folder)
    second = _proposed(again, _wanted(log))
    assert second.run.id == f"{first.run.id}-2"
    with pytest.raises(FaultsFound) as refused:
        _proposed(again, _wanted(log, run=first.run.id))
    assert {fault.code for fault in refused.value.faults} == {"intake-exists"}
    with pytest.raises(FaultsFound):
        write_proposal(bench.folder, first)
    assert {path: path.read_bytes() for path in before} == before


def test_a_record_in_the_way_leaves_no_series(bench: OpenArchive, log: Path) -> None:
    """When one of the two files cannot be written, the other is not left behind."""
    proposal = _proposed(bench, _wanted(log))
    series, record = (bench.folder / name for name, _ in proposal.files)
    record.write_text("mine", encoding="utf-8")
    with pytest.raises(FaultsFound):
        write_proposal(bench.folder, proposal)
    assert not series.exists()
    assert record.read_text(encoding="utf-8") == "mine"


def test_two_logs_make_one_series(bench: OpenArchive, log: Path) -> None:
    """Readings of a second counter stand at the nearest times of the first."""
    other = log.with_name("b.csv")
    other.write_text(log_text(ahead_s=6, gain=0.8), encoding="utf-8")
    wanted = _wanted(log, logs=(log, other), instruments=("counter-a", "counter-b"))
    taken = take(bench, wanted)
    proposal = propose(bench, wanted, taken)
    assert set(proposal.series.readings) == {"counter-a", "counter-b"}
    mine = proposal.series.readings["counter-b"]["pm2_5"]
    # The row at elapsed 60 s holds what counter B logged at 66 s.
    assert mine[3] == round(0.8 * level(66 / 60), 1)
    assert [note.code for note in taken.joined.notes] == ["intake-shifted"]
    assert len(proposal.run.raw) == 2
    assert "largest shift is 6 s" in "\n".join(taken_lines(taken))


def test_the_slower_of_two_logs_is_the_clock(bench: OpenArchive, log: Path) -> None:
    """A log with a reading every minute leaves no holes in a series of 20 s."""
    other = log.with_name("b.csv")
    other.write_text(log_text(step_s=60), encoding="utf-8")
    wanted = _wanted(log, logs=(log, other), instruments=("counter-a", "counter-b"))
    joined = take(bench, wanted).joined
    assert set(np.diff(joined.elapsed_s)) == {60.0}
    assert not any(np.isnan(values).any() for values in joined.readings.values())


def test_logs_of_different_days_are_refused(bench: OpenArchive, log: Path) -> None:
    """Logs whose times do not meet are not joined."""
    other = log.with_name("b.csv")
    text = log_text().replace("2026-02-13", "2026-02-14")
    other.write_text(text, encoding="utf-8")
    wanted = _wanted(log, logs=(log, other), instruments=("counter-a", "counter-b"))
    with pytest.raises(NotUnderstood) as refused:
        take(bench, wanted)
    assert [fault.code for fault in refused.value.faults] == ["intake-apart"]


@pytest.mark.parametrize(
    ("first", "last"),
    [("14:02", "14:30"), ("2", "30"), ("2026-02-13T15:02+01:00", "14:30")],
)
def test_a_part_can_be_taken_out(
    bench: OpenArchive, log: Path, first: str, last: str
) -> None:
    """Minutes, times of day and moments with offset name the same part."""
    wanted = _wanted(log, first=first, last=last, events=("device_on=14:09",))
    proposal = _proposed(bench, wanted)
    assert proposal.run.started == START + dt.timedelta(minutes=2)
    assert proposal.series.elapsed_min[-1] == 28
    assert [event.at_min for event in _events(proposal)] == [7]


def _events(proposal: Proposal) -> tuple[Event, ...]:
    return proposal.run.events


def test_a_log_of_days_has_to_be_cut(bench: OpenArchive, log: Path) -> None:
    """A log longer than a run is refused with the times of its rises."""
    rows = log_text().splitlines()
    later = START + dt.timedelta(hours=20)
    idle = [f"{(START + dt.timedelta(hours=h)).isoformat()},2.0" for h in range(1, 20)]
    second = [
        f"{(later + dt.timedelta(seconds=20 * at)).isoformat()},{level(at / 3):.1f}"
        for at in range(120)
    ]
    log.write_text("\n".join([*rows, *idle, *second]) + "\n", encoding="utf-8")
    with pytest.raises(NotUnderstood) as refused:
        take(bench, _wanted(log))
    fault = refused.value.faults[-1]
    assert fault.code == "intake-long"
    assert re.findall(r"\d\d:\d\d", fault.values["rises"]) == ["14:09", "10:09"]


def test_a_natural_decay_needs_no_device(bench: OpenArchive, log: Path) -> None:
    """A natural decay is taken in with the end of mixing alone."""
    wanted = _wanted(log, natural=True, of=None, events=("mixing_off=8",))
    run = _proposed(bench, wanted).run
    assert isinstance(run, NaturalDecayRun)
    assert run.id == "natural-2026-02-13"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"events": ()}, "nothing says when the device was switched on"),
        ({"events": ("device_on=soon",)}, '"soon" is not a moment of the log'),
        ({"events": ("started=9",)}, '"started=9" is not an event'),
        ({"of": None}, "which configuration is meant"),
        ({"of": "example-cleaner.high"}, "is not a configuration"),
        ({"of": "exampel-cleaner.none.high"}, 'did you mean "example-cleaner"'),
        ({"of": "example-cleaner.none.top"}, "high or low"),
        ({"specimen": "z"}, "which specimen is meant; a; add --specimen ID"),
        ({"method": "decay-9"}, 'did you mean "decay-1"'),
        ({"instruments": ()}, "counter-a or counter-b"),
        ({"instruments": ("power-meter",)}, "which particle instrument is meant"),
        ({"stated": ("dezimal=comma",)}, "is not taken here"),
        ({"stated": ("delimiter=pipe",)}, 'delimiter: "pipe" is not taken here'),
    ],
)
def test_what_is_missing_is_said(
    bench: OpenArchive, log: Path, more: dict[str, object], words: str
) -> None:
    """What no option says, or says wrongly, is told with what would be right."""
    with pytest.raises((UsageFault, NotUnderstood)) as refused:
        _proposed(bench, _wanted(log, **more))
    problem = refused.value
    told = str(problem)
    if isinstance(problem, NotUnderstood):
        told = fault_lines(problem.faults)
    assert words in told


def test_elapsed_time_needs_a_start(bench: OpenArchive, log: Path) -> None:
    """A log of elapsed time is taken in once its first moment is said."""
    rows = [f"{20 * at},{level(at / 3):.1f}" for at in range(121)]
    log.write_text("\n".join(["time,PM2.5", *rows]) + "\n", encoding="utf-8")
    form = ("time.form=elapsed", "time.unit=s")
    with pytest.raises(NotUnderstood) as refused:
        take(bench, _wanted(log, stated=form))
    assert [fault.code for fault in refused.value.faults] == ["intake-no-start"]
    proposal = _proposed(bench, _wanted(log, stated=form, started=START))
    assert proposal.run.started == START


def test_a_confirmed_form_is_added_to_the_record(bench: OpenArchive, log: Path) -> None:
    """Keeping a guess adds the field and leaves the rest of the record as it was."""
    path = bench.folder / "records/instruments/counter-a.yaml"
    text = path.read_text(encoding="utf-8")
    bare = text[: text.index("# How its raw logs read")]
    path.write_text(bare, encoding="utf-8")
    taken = take(bench, _wanted(log))
    assert taken.guessed
    assert keep_forms(bench, taken) == ("records/instruments/counter-a.yaml",)
    assert path.read_text(encoding="utf-8").startswith(bare)
    again = take(OpenArchive(bench.folder), _wanted(log))
    assert not again.guessed
    assert again.forms[0].form == taken.forms[0].form
    assert keep_forms(OpenArchive(bench.folder), again) == ()


def test_all_is_shown_before_it_is_written(bench: OpenArchive, log: Path) -> None:
    """The plot, the fitted part, the rate, the checks and both files are shown."""
    shown = "\n".join(proposal_lines(_proposed(bench, _wanted(log))))
    for words in ("µg/m³", "device on 9.0", "Fitted part   minute 12.0 to", "per hour",
                  "Clearance", "Checks", "series/", "kind: decay"):  # fmt: skip
        assert words in shown


def test_the_plot_puts_readings_where_they_belong() -> None:
    """The highest reading stands in the first row, the last in the last column."""
    curve = RunCurve(
        fraction="pm2_5",
        unit="ug/m3",
        elapsed_min=(0.0, 10.0, 20.0),
        sensors=(SensorCurve("a", (101.0, 11.0, 2.0), 1.0, 100.0),),
        combined=(1.0, 0.1, 0.01),
        residuals=(0.0, 0.0, 0.0),
        start_min=0.0,
        end_min=20.0,
        decay_per_h=60 * math.log(10) / 10,
        decay_low=None,
        decay_high=None,
        target=0.1,
    )
    lines = plot_lines(curve, (), width=21, height=9)
    rows = [line[11:].ljust(21) for line in lines[1:10]]
    assert rows[0][0] == "o"
    assert rows[4][10] == "o"
    assert rows[8][20] == "o"
    # Between them the fit alone.
    assert all(set(row) <= {" ", "o", "-"} for row in rows)
    assert lines[1].split("|")[0].strip() == "100"
