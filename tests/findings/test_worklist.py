"""What is left to do, the most valuable to readers first."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from sitegen.findings.open_state import (
    ArchiveState,
    DeviceState,
    Gap,
    NaturalState,
    OpenClaim,
    OpenCorrection,
    UndecidedRun,
    gaps,
    open_claims,
    undecided_run,
    waiting_codes,
)
from sitegen.findings.repeatability import (
    AdoptedRepeatability,
    CurrentRepeatability,
    RepeatabilityFinding,
)
from sitegen.findings.settle import Settling, Surprise
from sitegen.findings.views import ClaimView, DecayReport, FlagView
from sitegen.findings.worklist import worklist
from tests.findings.builders import device, entry, flag, row

TODAY = dt.date(2026, 11, 20)
STEP = Settling("wide", "runs", 1, share=0.09)


def surprise(speed: str, *steps: Settling) -> Surprise:
    return Surprise("alder", "fine", speed, "decay-a", 2, 0.12, steps)


def repeatability(
    *, adopted: float | None, degrees: float = 30.0, differ: bool = False
) -> RepeatabilityFinding:
    current = CurrentRepeatability(0.05, degrees, 10, 40, 0.15, 0.5, 0.5, (), None, 4)
    held = None
    if adopted is not None:
        held = AdoptedRepeatability(adopted, 20.0, "2026-01-01", 0.1)
    return RepeatabilityFinding("decay-a", "pm2_5", held, current, 1.4, 0.01, differ)


def state(
    *devices: DeviceState,
    found: RepeatabilityFinding | None = None,
    natural: NaturalState | None = None,
    naturals: tuple[UndecidedRun, ...] = (),
    compared: tuple[tuple[str, int], ...] = (),
) -> ArchiveState:
    return ArchiveState(
        devices,
        naturals,
        (found,) if found else (),
        (natural,) if natural else (),
        compared,
    )


def kinds(archive: ArchiveState) -> list[str]:
    return [item.kind for item in worklist(archive, TODAY)]


def test_what_a_comparison_asks_for_comes_before_what_is_vague() -> None:
    """A speed that was never measured counts where its filter is compared, alone."""
    one = DeviceState(
        surprises=(surprise("high", STEP),),
        gaps=(
            Gap("alder.fine.low", "both"),
            Gap("alder.coarse.low", "both"),
            Gap("alder.fine.high", "sound"),
            Gap("alder.fine.mid", "sound"),
        ),
    )
    archive = replace(
        state(one, compared=(("alder.fine.high", 1),)),
        compared_filters=(("alder.fine", 3),),
    )
    items = worklist(archive, TODAY)
    assert [(item.kind, item.configuration, item.weight) for item in items] == [
        ("speed-missing", "alder.fine.low", "wanted"),
        ("sound-missing", "alder.fine.high", "wanted"),
        ("wide", "alder.fine.high", "doubtful"),
        ("sound-missing", "alder.fine.mid", "missing"),
    ]
    assert items[0].comparisons == 3


def test_what_one_more_run_halves_comes_before_what_is_merely_wide() -> None:
    """One run or one natural decay is little to ask for half an interval."""
    halving = Settling("wide", "runs", 1, share=0.06)
    two = Settling("wide", "runs", 2, share=0.06)
    one = DeviceState(
        surprises=(
            surprise("a", STEP),
            replace(surprise("b", STEP), halved=two),
            replace(surprise("c", STEP), halved=halving),
            replace(surprise("d", Settling("single", "second-run", 1)), halved=halving),
        )
    )
    items = worklist(state(one), TODAY)
    assert [(item.kind, item.configuration[-1]) for item in items] == [
        ("single", "d"),
        ("halved-by-one", "c"),
        ("wide", "a"),
        ("wide", "b"),
    ]
    assert items[1].settling == halving


def test_open_corrections_come_first_and_the_oldest_before_all() -> None:
    """Its pages say themselves that they may be wrong, for so many days."""
    found = (
        OpenCorrection("new", "2026-11-19", ("run:a",)),
        OpenCorrection("old", "2026-10-21", ("run:b", "device:alder")),
        # Not yet written on the day of the list.
        OpenCorrection("later", "2026-11-21", ("run:c",)),
    )
    archive = replace(
        state(naturals=(UndecidedRun("n1", "", "decay-a", ("STEP",)),)),
        corrections=found,
    )
    items = worklist(archive, TODAY)
    assert [(item.kind, item.subject, item.days) for item in items] == [
        ("correction-open", "change:old", 30),
        ("correction-open", "change:new", 1),
        ("undecided", "run:n1", None),
    ]


def test_wrong_before_doubtful_before_missing() -> None:
    """What may be false stands first, what is vague next, what is missing last."""
    reasons = ("wide", "claim", "single", "zero", "variable", "outlier")
    steps = tuple(Settling(reason, "runs", 1) for reason in reasons)  # type: ignore[arg-type]
    one = DeviceState(
        surprises=(surprise("high", *steps),),
        undecided=(UndecidedRun("r1", "alder.fine.high", "decay-a", ("STEP",)),),
        gaps=(Gap("alder.fine.low", "cadr"), Gap("alder.fine.high", "sound")),
        claims=(OpenClaim("alder", "cadr", "180 m³/h", "high"),),
    )
    archive = state(
        one,
        found=repeatability(adopted=0.03, differ=True),
        natural=NaturalState("decay-a", "n1", "2026-01-01", 30),
    )
    items = worklist(archive, TODAY)
    assert [item.kind for item in items] == [
        "undecided",
        "outlier",
        "repeatability-differs",
        "variable",
        "zero",
        "single",
        "claim-open",
        "wide",
        "natural-old",
        "sound-missing",
        "cadr-missing",
        "claim-unanswered",
    ]
    weights = [item.weight for item in items]
    assert weights == ["wrong"] * 3 + ["doubtful"] * 6 + ["missing"] * 3


def test_nothing_to_do() -> None:
    """An archive in order has an empty list."""
    assert worklist(state(DeviceState()), TODAY) == ()


def test_what_stands_in_more_comparisons_comes_first() -> None:
    """Then what fewer further runs settle, then by name; no remedy comes last."""
    many = Settling("wide", "runs", 5)
    never = Settling("wide", "room")
    one = DeviceState(
        surprises=(
            surprise("a", never),
            surprise("b", many),
            surprise("c", STEP),
            surprise("d", many),
        )
    )
    archive = state(one, compared=(("alder.fine.d", 2), ("alder.fine.x", 9)))
    found = [item.configuration for item in worklist(archive, TODAY)]
    assert found == ["alder.fine.d", "alder.fine.c", "alder.fine.b", "alder.fine.a"]


@pytest.mark.parametrize(
    ("adopted", "degrees", "differ", "expected"),
    [
        (0.036, 84.0, True, ["repeatability-differs"]),
        (0.036, 84.0, False, []),
        (None, 20.0, False, ["repeatability-missing"]),
        (None, 19.0, False, []),
    ],
)
def test_repeatability(
    adopted: float | None, degrees: float, differ: bool, expected: list[str]
) -> None:
    """One that differs, or none though twenty degrees of freedom are there."""
    found = repeatability(adopted=adopted, degrees=degrees, differ=differ)
    assert kinds(state(found=found)) == expected


@pytest.mark.parametrize(
    ("day", "days", "listed"),
    [
        ("2026-10-21", 30, False),
        ("2026-10-20", 31, True),
        ("", None, True),
        ("2026-12-24", -34, False),
    ],
)
def test_natural_decays_out_of_date(day: str, days: int | None, listed: bool) -> None:
    """A natural decay is old one day after the method's thirty, or when missing."""
    run = "n1" if day else ""
    items = worklist(state(natural=NaturalState("decay-a", run, day, 30)), TODAY)
    assert bool(items) is listed
    if listed:
        assert (items[0].days, items[0].valid_days) == (days, 30)


def report(*flags: FlagView) -> DecayReport:
    return DecayReport("r1", "decay", "notes", "", (), flags, None, (), "", "")


DECIDED = FlagView("OFF", True, 1.0, 0.5, "", "notes", decide=True, decided=True)


def test_checks_that_wait_for_a_decision() -> None:
    """Raised checks marked so wait, once each, until a decision is recorded."""
    step = flag("STEP", decide=True)
    quiet = flag("SENSOR", raised=False, decide=True)
    found = report(step, step, quiet, flag("CURV"), DECIDED)
    assert waiting_codes(found) == ("STEP",)
    assert undecided_run(entry(), found) == UndecidedRun(
        "r1", "alder.fine.high", "decay-a", ("STEP",)
    )
    assert undecided_run(entry(), report(DECIDED)) is None
    assert undecided_run(entry(status="rejected"), found) is None


def test_configurations_measured_in_part() -> None:
    """Clean air without sound, and accepted sound without clean air, are gaps."""
    entries = [
        entry("s1", kind="sound", speed="low"),
        entry("s2", kind="sound", speed="both"),
        entry("s3", kind="sound", speed="high", status="rejected"),
        entry("p1", kind="power", speed="high"),
    ]
    rows = [
        row(cadr_m3h=100.0),
        row("alder.fine.both", cadr_m3h=80.0),
        row("alder.x.y"),
    ]
    assert gaps(rows, entries, "alder") == (
        Gap("alder.fine.high", "sound"),
        Gap("alder.fine.low", "cadr"),
    )


def test_speeds_never_measured() -> None:
    """Of a filter with clean air at one speed, the speeds with neither are gaps."""
    rows = [row(cadr_m3h=100.0), row("alder.x.high")]
    entries = [entry("s1", kind="sound", speed=name) for name in ("high", "low")]
    assert gaps(rows, entries, "alder", ["low", "mid", "high"]) == (
        Gap("alder.fine.low", "cadr"),
        Gap("alder.fine.mid", "both"),
    )


def claim(**fields: object) -> ClaimView:
    given = {
        "quantity": "cadr",
        "unit": "m3/h",
        "aerosol": "salt",
        "speed": "high",
        **fields,
    }
    return ClaimView(
        text="180",
        value=180.0,
        source="",
        url="",
        seen="2026-01-01",
        measured=None,
        measured_row="",
        ratio=None,
        grade="not-same-quantity",
        **given,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("view", "is_open"),
    [
        (claim(), True),
        (claim(aerosol="pm2_5", unit="cfm"), True),
        (claim(quantity="power", unit="W", speed="low"), True),
        (claim(aerosol="pollen"), False),
        (claim(speed="low"), False),
        (claim(unit="unstated"), False),
        (claim(quantity="sound", unit="dB(A)"), False),
        (claim(quantity="power", unit="W", speed="not-stated"), False),
    ],
)
def test_claims_that_the_bench_could_answer(view: ClaimView, is_open: bool) -> None:
    """Only a claim of a quantity, aerosol and speed that the bench measures is open."""
    found = open_claims(device(), [view], {"salt", "pm2_5"})
    assert bool(found) is is_open
