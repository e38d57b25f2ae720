"""A configuration's runs pooled: which enter, on which basis, and what is left."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import pytest

from sitegen.findings.fitted import RunFound
from sitegen.findings.index import RunEntry
from sitegen.findings.reports import DecayCase, RoomFigures, decay_report
from sitegen.findings.results import Pooled, PooledRun, pool
from sitegen.findings.views import Clearance, FlagView, Validity
from sitegen.measure.repeatability import Repeatability
from tests.findings.builders import entry, flag, found, natural_entry, slope

ROOM = RoomFigures(1.0, 0.0, 0.0, 30, "pm2_5")
"""One cubic metre without uncertainty: a decay rate is a CADR."""
STILL: Mapping[str, tuple[RunEntry, RunFound]] = {
    name: (natural_entry(name), found(slope(0.0, 1e-9, (0.0, 0.0))))
    for name in ("n1", "n2")
}
"""Natural decays of nothing."""
REPEATS = ((182.4, 3.1), (176.9, 2.8), (188.3, 4.4))
"""Rates and their uncertainties of the published example."""
ADOPTED = Repeatability(0.0258740949, 8.0)
OBSERVED = Clearance(22.0, 21.0, 23.0, "observed")


def run(
    name: str,
    decay: float,
    sd: float,
    *,
    status: str = "accepted",
    specimen: str = "a",
    validity: Validity = "rated",
    flags: tuple[FlagView, ...] = (),
    clearance: Clearance | None = OBSERVED,
    naturals: Mapping[str, tuple[RunEntry, RunFound]] = STILL,
    limits: tuple[float, float] | None = None,
    figures: RoomFigures = ROOM,
) -> PooledRun:
    """Return a run with the report that follows from its decay."""
    own = entry(name, status=status, specimen=specimen)
    read = found(
        slope(decay, sd, limits), flags=flags, validity=validity, clearance=clearance
    )
    case = DecayCase(
        own, read, tuple(naturals.values()), figures, decided=False, airflow_m3h=None
    )
    return PooledRun(own, read, decay_report(case))


def repeats(count: int = 3) -> list[PooledRun]:
    return [run(f"r{at}", *REPEATS[at]) for at in range(count)]


def pooled(
    runs: list[PooledRun],
    adopted: Repeatability | None = None,
    naturals: Mapping[str, tuple[RunEntry, RunFound]] = STILL,
    figures: RoomFigures = ROOM,
) -> Pooled:
    return pool(runs, naturals, "pm2_5", figures, adopted, 0.1)


def test_three_runs_without_repeatability() -> None:
    """Repeats are pooled by random effects, to the published mean and interval."""
    row = pooled(repeats()).row
    assert row.cadr_basis == "random-effects"
    assert row.cadr_m3h == pytest.approx(181.859165, rel=1e-8)
    assert row.cadr_low == pytest.approx(181.859165 - 13.7356247, rel=1e-7)
    assert row.cadr_high == pytest.approx(181.859165 + 13.7356247, rel=1e-7)
    assert (row.runs, row.run_ids) == (3, ("r0", "r1", "r2"))
    assert row.decay_per_h == pytest.approx(181.859165, rel=1e-8)


def test_three_runs_with_repeatability() -> None:
    """With an adopted repeatability the published interval of that basis stands."""
    row = pooled(repeats(), ADOPTED).row
    assert row.cadr_basis == "repeatability"
    assert row.cadr_m3h == pytest.approx(182.474001, rel=1e-7)
    assert row.cadr_low == pytest.approx(176.295164, rel=1e-7)
    assert row.cadr_high == pytest.approx(188.869397, rel=1e-7)


def test_single_run() -> None:
    """A run alone has its own interval and says so."""
    row = pooled([run("r0", 182.4, 3.1, limits=(175.0, 191.0))]).row
    assert row.cadr_basis == "single"
    assert (row.cadr_m3h, row.cadr_low, row.cadr_high) == pytest.approx(
        (182.4, 175.0, 191.0)
    )


def test_single_run_with_repeatability() -> None:
    """A run alone is as uncertain as repeats of others show: ×/÷ exp(t s_r)."""
    row = pooled([run("r0", 182.4, 0.5, limits=(181.5, 183.5))], ADOPTED).row
    # 2.30600414 is Student's t at 97.5 % with eight degrees of freedom.
    factor = math.exp(2.30600414 * 0.0258740949)
    assert row.cadr_basis == "repeatability"
    assert (row.cadr_m3h, row.cadr_low, row.cadr_high) == pytest.approx(
        (182.4, 182.4 / factor, 182.4 * factor), rel=1e-7
    )


def test_repeatability_never_narrows_a_single_run() -> None:
    """A run less certain than the repeatability keeps its own interval."""
    row = pooled([run("r0", 182.4, 20.0, limits=(140.0, 225.0))], ADOPTED).row
    assert row.cadr_basis == "repeatability"
    assert (row.cadr_low, row.cadr_high) == pytest.approx((140.0, 225.0))


def test_repeats_that_scatter_more_than_others() -> None:
    """Repeats far wider than the repeatability keep their own scatter and a flag."""
    row = pooled(
        [run("r0", 150.0, 3.0), run("r1", 200.0, 3.0), run("r2", 260.0, 3.0)], ADOPTED
    ).row
    assert row.cadr_basis == "random-effects"
    assert "VARIABLE" in row.flags
    assert row.validity == "notes"


def test_repeats_that_scatter_like_others_are_not_variable() -> None:
    """The published repeats are no more variable than their repeatability."""
    row = pooled(repeats(), ADOPTED).row
    assert "VARIABLE" not in row.flags


@pytest.mark.parametrize("status", ["rejected", "superseded"])
def test_run_that_does_not_count(status: str) -> None:
    """A rejected or superseded run does not move the number and is not listed."""
    wild = run("bad", 900.0, 3.0, status=status, flags=(flag("STEP"),))
    assert pooled([wild, *repeats()]) == pooled(repeats())


def test_run_that_is_not_rated() -> None:
    """A run that its checks do not rate does not move the number."""
    held = flag("HELD", "not_rated")
    wild = run("bad", 900.0, 3.0, flags=(held,), validity="not_rated")
    assert pooled([*repeats(), wild]) == pooled(repeats())


@pytest.mark.parametrize("status", ["rejected", "superseded"])
def test_row_stands_when_no_run_is_left(status: str) -> None:
    """A configuration whose runs all fell out keeps its row, without a number."""
    made = pooled([run("r0", 182.4, 3.1, status=status, flags=(flag("STEP"),))])
    row = made.row
    assert (row.configuration, row.runs, row.run_ids) == ("alder.fine.high", 0, ())
    assert (row.validity, row.cadr_m3h, row.cadr_basis) == ("not_rated", None, "")
    assert "STEP" in row.flags
    assert (made.each_m3h, made.stat_low, made.stat_high) == ((), None, None)


def test_row_of_runs_that_are_not_rated() -> None:
    """A configuration of unrated runs has a row that says why, without a number."""
    held = flag("HELD", "not_rated")
    row = pooled([run("r0", 182.4, 3.1, flags=(held,), validity="not_rated")]).row
    assert (row.cadr_m3h, row.validity) == (None, "not_rated")
    assert "HELD" in row.flags


def test_row_without_natural_decay() -> None:
    """Without a natural decay nothing is subtracted and nothing is published."""
    row = pooled([run("r0", 182.4, 3.1, naturals={})], naturals={}).row
    assert (row.cadr_m3h, row.validity) == (None, "not_rated")
    assert "NAT_NONE" in row.flags


def test_natural_decay_is_pooled_once_over_all_runs() -> None:
    """Runs with natural decays of their own share the mean of all of them."""
    one = {"n1": (natural_entry("n1"), found(slope(0.2, 0.01)))}
    two = {"n2": (natural_entry("n2"), found(slope(0.4, 0.01)))}
    runs = [run("r0", 6.0, 0.1, naturals=one), run("r1", 6.4, 0.1, naturals=two)]
    made = pooled(runs, naturals={**one, **two})
    # Equal weights: the means are 6.2 and 0.3.
    assert made.row.natural_per_h == pytest.approx(0.3)
    assert made.row.decay_per_h == pytest.approx(6.2)
    assert made.row.cadr_m3h == pytest.approx(5.9)
    assert made.each_m3h == pytest.approx((5.7, 6.1))


def test_natural_decay_that_is_not_rated_is_not_subtracted() -> None:
    """A natural decay that shows no fall does not enter the one subtracted."""
    weak = (natural_entry("n3"), found(slope(9.0, 0.1), validity="not_rated"))
    both = {"n1": (natural_entry("n1"), found(slope(0.2, 0.01))), "n3": weak}
    row = pooled([run("r0", 6.0, 0.1, naturals=both)], naturals=both).row
    assert row.natural_per_h == pytest.approx(0.2)


def test_volume_and_sensors_widen_the_interval_but_not_for_ranks() -> None:
    """Volume and linearity are in the interval and left out of what ranks rest on."""
    exact = pooled(repeats())
    vague = replace(ROOM, volume_u_m3=0.02, linearity_u=0.03)
    made = pooled(
        [run(f"r{at}", *REPEATS[at], figures=vague) for at in range(3)],
        None,
        STILL,
        vague,
    )
    assert (made.stat_low, made.stat_high) == (exact.stat_low, exact.stat_high)
    common = 1.959963985 * 181.859165 * math.hypot(0.02, 0.03)
    assert made.row.cadr_low == pytest.approx(
        181.859165 - math.hypot(13.7356247, common), rel=1e-7
    )


def test_specimens_are_pooled_and_named() -> None:
    """Runs of two units are pooled, and both units are told."""
    runs = [run("r0", *REPEATS[0], specimen="b"), run("r1", *REPEATS[1])]
    made = pooled(runs)
    assert made.specimens == ("a", "b")
    assert made.row.runs == 2


def test_specimen_of_a_rejected_run_is_not_named() -> None:
    """A unit of which no run enters is not said to be in the number."""
    out = run("bad", 900.0, 3.0, specimen="b", status="rejected")
    assert pooled([out, *repeats()]).specimens == ("a",)


def test_flags_once_and_worst_validity() -> None:
    """Flags of the runs that enter stand once each, with the worst of their effects."""
    runs = [
        run("r0", *REPEATS[0], flags=(flag("CURV"), flag("MIX", raised=False))),
        run("r1", *REPEATS[1], flags=(flag("ENV"), flag("CURV"))),
    ]
    row = pooled(runs).row
    assert row.flags == ("CURV", "ENV")
    assert row.validity == "notes"
    assert pooled(repeats()).row.validity == "rated"


def observed(*minutes: float) -> list[PooledRun]:
    return [
        run(
            f"r{at}", 6.29216719, 0.12, clearance=Clearance(m, m - 1, m + 1, "observed")
        )
        for at, m in enumerate(minutes)
    ]


@pytest.mark.parametrize(
    ("minutes", "middle"),
    [((22.0,), 22.0), ((22.0, 26.0), 24.0), ((30.0, 20.0, 21.0), 21.0)],
)
def test_observed_clearance_is_the_middle_one(
    minutes: tuple[float, ...], middle: float
) -> None:
    """Of times that were all observed the median is published."""
    row = pooled(observed(*minutes)).row
    assert (row.clearance_min, row.clearance_basis) == (middle, "observed")
    assert row.clearance_low is not None
    assert row.clearance_high is not None
    assert row.clearance_low < middle < row.clearance_high


def test_modelled_clearance_from_the_pooled_decay() -> None:
    """Where a time was not observed the published formula gives it for all runs."""
    limits = (6.02659297, 6.53271974)
    one = run(
        "r0",
        6.29216719,
        0.124389537,
        limits=limits,
        clearance=Clearance(99.0, 98.0, 100.0, "modelled"),
    )
    row = pooled([one]).row
    assert row.clearance_basis == "modelled"
    assert (row.clearance_min, row.clearance_low, row.clearance_high) == pytest.approx(
        (21.9566807, 21.1481758, 22.9242469), rel=1e-7
    )


def test_observed_and_modelled_are_not_mixed() -> None:
    """One modelled time among observed ones makes the whole modelled."""
    runs = observed(10.0)
    runs.append(
        run("r9", 6.29216719, 0.12, clearance=Clearance(50.0, 49.0, 51.0, "modelled"))
    )
    row = pooled(runs).row
    assert row.clearance_basis == "modelled"
    assert row.clearance_min == pytest.approx(21.9566807, rel=1e-7)


def test_clearance_not_reached() -> None:
    """A time that one run did not reach is longer than that run was watched."""
    out = Clearance(None, None, None, "not-reached", 60.0, 0.23)
    longer = Clearance(None, None, None, "not-reached", 75.0, 0.2)
    runs = [
        run(name, 6.0, 0.12, clearance=c) for name, c in (("r8", longer), ("r9", out))
    ]
    row = pooled([*observed(22.0), *runs]).row
    assert (row.clearance_min, row.clearance_basis) == (None, "not-reached")
    assert (row.clearance_low, row.clearance_high) == (60.0, None)


def test_fraction_that_was_not_fitted() -> None:
    """A fraction without a fit keeps its row, without a number."""
    made = pool(repeats(), STILL, "pm10", ROOM, None, 0.1)
    assert (made.row.fraction, made.row.cadr_m3h) == ("pm10", None)
    assert made.row.runs == 0


def test_zero_is_told_by_the_pooled_interval() -> None:
    """Runs that each tell a CADR from nothing may together be unable to.

    And a run that could not does not mark a result whose repeats can.
    """
    wide = [run("r1", 40.0, 3.0), run("r2", 120.0, 3.0)]
    pooled = pool(wide, STILL, "pm2_5", ROOM, None, 0.1).row
    assert pooled.cadr_low is not None
    assert pooled.cadr_low < 0
    assert "CADR_ZERO" in pooled.flags
    assert pooled.validity == "notes"
    doubt = flag("CADR_ZERO")
    sure = [run("r1", 100.0, 2.0, flags=(doubt,)), *repeats(2)]
    assert "CADR_ZERO" not in pool(sure, STILL, "pm2_5", ROOM, ADOPTED, 0.1).row.flags


FAR = (*REPEATS, (240.0, 3.0))
"""The published repeats and a fourth a third above them."""


def far(*, decided: bool = False) -> list[PooledRun]:
    runs = [run(f"r{at}", *each) for at, each in enumerate(FAR)]
    return [*runs[:3], replace(runs[3], decided=decided)]


def test_run_that_stands_off_stays_and_is_named() -> None:
    """A repeat far off raises a flag and stays; both means are told."""
    made = pooled(far(), ADOPTED)
    assert "OUTLIER" in made.row.flags
    assert made.row.runs == 4
    assert made.row.validity == "notes"
    off = made.outlying
    assert off is not None
    assert (off.run, off.decided) == ("r3", False)
    assert off.included.value == made.row.cadr_m3h
    assert made.row.cadr_m3h == pytest.approx(196.0, abs=2.0)
    # What the three others give is the published example.
    assert (off.excluded.value, off.excluded.low, off.excluded.high) == pytest.approx(
        (182.474001, 176.295164, 188.869397), rel=1e-7
    )


def test_recorded_decision_settles_a_run_that_stands_off() -> None:
    """With a decision in the run's record the flag stays and is marked decided."""
    made = pooled(far(decided=True), ADOPTED)
    assert "OUTLIER" in made.row.flags
    assert made.outlying is not None
    assert made.outlying.decided
    assert made.row == pooled(far(), ADOPTED).row


def test_no_run_stands_off_among_the_published_repeats() -> None:
    """The published repeats, with or without a repeatability, raise nothing."""
    for adopted in (ADOPTED, None):
        made = pooled(repeats(), adopted)
        assert made.outlying is None
        assert "OUTLIER" not in made.row.flags


def test_two_runs_cannot_tell_which_stands_off() -> None:
    """Of two runs that differ neither is singled out."""
    made = pooled([run("r0", 100.0, 2.0), run("r1", 160.0, 2.0)], ADOPTED)
    assert made.outlying is None
    assert "VARIABLE" in made.row.flags
