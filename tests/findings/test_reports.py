"""One run's report: natural decay taken off, CADR, checks, rows."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

import pytest

from sitegen.findings.fitted import RunFound, calibration_on
from sitegen.findings.index import RunEntry, days_apart, entry_of, natural_ids
from sitegen.findings.reports import (
    DecayCase,
    RoomFigures,
    decay_report,
    natural_report,
    raised,
    worst,
)
from sitegen.findings.views import Clearance, DecayReport
from sitegen.model import Instrument, NaturalDecayRun
from tests.findings.builders import entry, flag, found, natural_entry, slope

Z = 1.959963984540054
FIGURES = RoomFigures(30.0, 0.45, 0.02, 30, "pm2_5")
K_E = slope(6.29216719, 0.124389537, (6.02659297, 6.53271974))
K_N = slope(0.337051711, 0.0175007470, (0.300419632, 0.373210829))
"""The published rates of a run and of a natural decay."""
NATURAL = (natural_entry("n1"), found(K_N))


def report(
    read: RunFound | None = None,
    naturals: tuple[tuple[RunEntry, RunFound], ...] = (NATURAL,),
    *,
    figures: RoomFigures = FIGURES,
    decided: bool = False,
    airflow: float | None = None,
) -> DecayReport:
    return decay_report(
        DecayCase(entry(), read or found(K_E), naturals, figures, decided, airflow)
    )


def codes(made: DecayReport) -> tuple[str, ...]:
    return raised(made.flags)


def test_clean_air_of_the_published_run() -> None:
    """The published decays in 30 m³ give the published CADR."""
    (row,) = report().rows
    assert row.cadr_m3h == pytest.approx(178.653464, rel=1e-8)
    assert row.natural_per_h == pytest.approx(0.337051711)
    assert row.natural_sd_per_h == pytest.approx(0.0175007470)
    assert (row.instrument, row.points) == ("all", 46)


def test_interval_is_recovered_from_both_decays() -> None:
    """Its limits join both decays' limits, volume and linearity in quadrature."""
    (row,) = report().rows
    assert row.cadr_low is not None
    assert row.cadr_high is not None
    below = 30 * math.hypot(6.29216719 - 6.02659297, 0.373210829 - 0.337051711)
    beyond = 30 * math.hypot(6.53271974 - 6.29216719, 0.337051711 - 0.300419632)
    volume = Z * 0.45 * (6.29216719 - 0.337051711)
    linear = Z * 0.02 * 178.653464
    assert row.cadr_low == pytest.approx(
        178.653464 - math.hypot(below, volume, linear), rel=1e-7
    )
    assert row.cadr_high == pytest.approx(
        178.653464 + math.hypot(beyond, volume, linear), rel=1e-7
    )


def test_linearity_that_was_never_checked() -> None:
    """Three sensors never checked count 3 % over the root of three."""
    unchecked = RoomFigures(30.0, 0.0, None, 30, "pm2_5")
    assert unchecked.linearity(3) == pytest.approx(0.03 / math.sqrt(3))
    assert unchecked.linearity(0) == pytest.approx(0.03)
    assert FIGURES.linearity(3) == 0.02


def test_no_natural_decay() -> None:
    """Without a natural decay the run is shown and not rated, without a CADR."""
    made = report(naturals=())
    (row,) = made.rows
    assert (row.cadr_m3h, row.cadr_low, row.natural_per_h) == (None, None, None)
    assert row.decay_per_h == pytest.approx(6.29216719)
    assert made.validity == "not_rated"
    assert codes(made) == ("NAT_NONE",)


def test_natural_decay_that_is_not_rated_counts_as_none() -> None:
    """A natural decay that shows no fall cannot be subtracted."""
    made = report(naturals=((natural_entry("n1"), found(K_N, validity="not_rated")),))
    assert codes(made) == ("NAT_NONE",)
    assert made.rows[0].cadr_m3h is None
    assert made.natural_runs == ("n1",)


def test_one_natural_decay_is_noted() -> None:
    """A single natural decay is used with a note, two without one."""
    assert codes(report()) == ("NAT_ONE",)
    assert report().validity == "notes"
    two = report(naturals=(NATURAL, (natural_entry("n2"), found(K_N))))
    assert codes(two) == ()
    assert two.validity == "rated"


@pytest.mark.parametrize(
    ("day", "old"),
    [
        ("2024-03-31", False),
        ("2024-04-01", True),
        ("2024-01-31", False),
        ("2024-01-30", True),
    ],
)
def test_old_natural_decay(day: str, old: bool) -> None:
    """A natural decay more than 30 days off, before or after, is noted as old."""
    made = report(naturals=((natural_entry("n1", day=day), found(K_N)),))
    assert ("NAT_OLD" in codes(made)) is old


@pytest.mark.parametrize(
    ("airflow", "flagged"),
    [(None, False), (170.0, True), (178.0, True), (179.0, False)],
)
def test_more_clean_air_than_airflow(airflow: float | None, flagged: bool) -> None:
    """A CADR above the measured airflow asks the tester to decide."""
    made = report(airflow=airflow)
    assert ("AIRFLOW" in codes(made)) is flagged
    waiting = [one.code for one in made.flags if one.decide]
    assert waiting == (["AIRFLOW"] if flagged else [])


def test_clean_air_of_about_nothing() -> None:
    """A CADR whose interval holds 0 is not told from zero, and still has a number."""
    weak = slope(0.36, 0.05, (0.26, 0.46))
    made = report(found(weak))
    assert "CADR_ZERO" in codes(made)
    assert made.rows[0].cadr_m3h == pytest.approx(30 * (0.36 - 0.337051711))
    assert "CADR_ZERO" not in codes(report())


def test_wide_natural_decay() -> None:
    """A natural decay whose half-width takes over 10 % of the CADR is noted."""
    # 30 m³ times 0.06/h are 1.8 m³/h: over a tenth of 17.4, under a tenth of 178.
    wide = slope(0.337, 0.03, (0.277, 0.397))
    naturals = ((natural_entry("n1"), found(wide)),)
    slow = slope(0.337 + 0.58, 0.01, (0.897, 0.937))
    assert "SE_K" in codes(report(found(slow), naturals))
    assert "SE_K" not in codes(report(naturals=naturals))


def test_volume_that_decides() -> None:
    """A volume that makes up over half of the variance is noted."""
    vague = RoomFigures(30.0, 1.5, 0.0, 30, "pm2_5")
    assert "VOLUME" in codes(report(figures=vague))
    assert "VOLUME" not in codes(report())


def test_decision_settles_flags() -> None:
    """A recorded decision marks the flags that ask for one, and no other."""
    read = found(K_E, flags=(flag("STEP", decide=True), flag("CURV")))
    marks = {one.code: one.decided for one in report(read, decided=True).flags}
    assert (marks["STEP"], marks["CURV"]) == (True, False)
    assert not any(one.decided for one in report(read).flags)


def test_flag_that_was_not_raised_changes_nothing() -> None:
    """A check that was passed is listed and does not count."""
    read = found(K_E, flags=(flag("HELD", "not_rated", raised=False),))
    made = report(read, (NATURAL, (natural_entry("n2"), found(K_N))))
    assert made.validity == "rated"
    assert "HELD" in [one.code for one in made.flags]
    assert made.rows[0].flags == ()


def test_each_instrument_has_its_own_natural_decay() -> None:
    """An instrument's row subtracts what that instrument read, the whole the mean."""
    read = found(
        slope(6.0, 0.1),
        slope(6.2, 0.1, instrument="x"),
        slope(5.8, 0.1, instrument="y"),
    )
    natural = found(
        slope(0.3, 0.01),
        slope(0.4, 0.01, instrument="x"),
        slope(0.2, 0.01, instrument="z"),
    )
    rows = {
        row.instrument: row
        for row in report(read, ((natural_entry("n1"), natural),)).rows
    }
    assert rows["all"].cadr_m3h == pytest.approx(30 * 5.7)
    assert rows["x"].cadr_m3h == pytest.approx(30 * 5.8)
    assert rows["x"].natural_per_h == pytest.approx(0.4)
    assert (rows["y"].cadr_m3h, rows["y"].decay_per_h) == (None, 5.8)
    assert rows["all"].zero_offset is None
    assert rows["x"].zero_offset == 1.0


def test_fractions_have_rows_of_their_own() -> None:
    """A coarse fraction has its own row, and the report's head is the primary one."""
    read = found(slope(8.0, 0.1, fraction="pm10"), K_E)
    natural = found(K_N, slope(0.9, 0.02, fraction="pm10"))
    made = report(read, ((natural_entry("n1"), natural),))
    cadr = {row.fraction: row.cadr_m3h for row in made.rows}
    assert cadr["pm10"] == pytest.approx(30 * 7.1)
    assert cadr["pm2_5"] == pytest.approx(178.653464)


def test_run_that_could_not_be_fitted() -> None:
    """A run without a fit is one row without numbers, not rated, with the reason."""
    made = report(RunFound("too_few_points", "", "", (), (), ()))
    (row,) = made.rows
    assert (made.error, made.validity) == ("too_few_points", "not_rated")
    assert (row.points, row.decay_per_h, row.validity) == (0, None, "not_rated")
    assert (row.instrument, row.fraction) == ("all", "pm2_5")


def test_clearance_is_passed_on() -> None:
    """The report's clearance time is that of the primary fraction."""
    seen = Clearance(22.0, 21.0, 23.0, "observed")
    assert report(found(K_E, clearance=seen)).clearance == seen


def test_report_of_a_natural_decay() -> None:
    """A natural decay's report has its rate and no CADR."""
    made = natural_report(
        natural_entry("n1"),
        found(K_N, flags=(flag("ENV"),), validity="notes"),
        "pm2_5",
        decided=False,
    )
    (row,) = made.rows
    assert (made.kind, made.validity, made.clearance) == (
        "natural-decay",
        "notes",
        None,
    )
    assert row.decay_per_h == pytest.approx(0.337051711)
    assert (row.cadr_m3h, row.device, row.flags) == (None, "", ("ENV",))


def test_natural_decay_that_could_not_be_fitted() -> None:
    """A natural decay without a fit is one row without numbers."""
    read = RunFound("constant_series", "", "", (), (), ())
    made = natural_report(natural_entry("n1"), read, "pm2_5", decided=False)
    assert (made.error, made.validity, len(made.rows)) == (
        "constant_series",
        "not_rated",
        1,
    )


def test_worst_of_several() -> None:
    """Not rated is worse than notes, notes worse than rated, none at all is rated."""
    assert worst(["rated", "not_rated", "notes"]) == "not_rated"
    assert worst(["notes", "rated"]) == "notes"
    assert worst([]) == "rated"


def naturals() -> list[RunEntry]:
    return [
        natural_entry("same-day"),
        natural_entry("edge", day="2024-03-31"),
        natural_entry("late", day="2024-04-01"),
        natural_entry("other", method="decay-b"),
        natural_entry("out", status="rejected"),
    ]


def test_natural_decays_by_the_rule() -> None:
    """Accepted ones of the method within its days are taken, before or after."""
    assert natural_ids(entry(), None, naturals(), 30) == ("edge", "same-day")
    assert natural_ids(entry(day="2024-04-20"), None, naturals(), 30) == (
        "edge",
        "late",
    )


def test_natural_decays_that_a_run_names() -> None:
    """What a run names decides instead, as far as it is there, sorted by id."""
    named = ["out", "late", "gone"]
    assert natural_ids(entry(), named, naturals(), 30) == ("late", "out")
    assert natural_ids(entry(), [], naturals(), 30) == ()


def test_days_between() -> None:
    """Days are counted either way, over the end of a leap February."""
    assert days_apart("2024-02-28", "2024-03-01") == 2
    assert days_apart("2024-03-01", "2024-02-28") == 2


def test_entry_of_a_natural_decay() -> None:
    """A natural decay is filed without a device, on the day where it was made."""
    fields: dict[str, Any] = {
        "id": "n1",
        "kind": "natural-decay",
        "method": "decay-a",
        "started": "2024-03-01T23:30:00+01:00",
        "series": "n1",
    }
    made = entry_of(NaturalDecayRun.model_validate(fields))
    assert (made.day, made.device, made.counts) == ("2024-03-01", "", True)


@pytest.mark.parametrize(
    ("day", "by"),
    [
        ("2024-01-31", None),
        ("2024-02-01", "a"),
        ("2024-05-31", "a"),
        ("2024-06-01", "b"),
        ("2025-01-01", "b"),
    ],
)
def test_calibration_in_force(day: str, by: str | None) -> None:
    """The last calibration not after the day counts, the day itself included."""
    fields: dict[str, Any] = {
        "id": "i",
        "name": "Counter",
        "kind": "particle",
        "calibrations": [
            {"date": "2024-06-01", "by": "b"},
            {"date": "2024-02-01", "by": "a"},
        ],
    }
    seen = calibration_on(Instrument.model_validate(fields), dt.date.fromisoformat(day))
    assert (seen.by if seen else None) == by
