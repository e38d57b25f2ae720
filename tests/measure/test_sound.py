"""Levels: energy means, background bands, and the best speed under a cap."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.sound import (
    Speed,
    background_correction,
    best_under_cap,
    corrected_uncertainty,
    energy_difference,
    energy_mean,
    energy_sum,
    measured_level,
    several_units,
)


def test_energy_mean() -> None:
    """The energy mean of 44.2, 45.1 and 44.7 is 44.6821997, above the plain one."""
    assert energy_mean([44.2, 45.1, 44.7]) == pytest.approx(44.6821997, abs=5e-8)
    assert energy_mean([44.2, 45.1, 44.7]) > 44.6666667
    assert energy_mean([44.2]) == 44.2


@pytest.mark.parametrize(
    ("levels", "total"), [((40.0, 40.0), 43.0103000), ((42.3, 38.9), 43.9348584)]
)
def test_energy_sum(levels: tuple[float, ...], total: float) -> None:
    """Two sources together are as loud as the sum of their energies."""
    assert energy_sum(levels) == pytest.approx(total, abs=5e-8)


def test_difference_undoes_the_sum() -> None:
    """One source taken off the sum leaves the other."""
    got = energy_difference(energy_sum([42.3, 38.9]), 38.9)
    assert got == pytest.approx(42.3, abs=1e-12)


def test_three_equal_units() -> None:
    """Three equal devices are 4.77121255 dB louder than one."""
    assert several_units(40.0, 3) == pytest.approx(44.77121255, abs=5e-9)
    assert several_units(40.0, 1) == 40.0


@pytest.mark.parametrize(
    ("difference", "k1"),
    [
        (15.0, 0.139554339),
        (10.0, 0.457574906),
        (7.0, 0.966528953),
        (6.0, 1.25627577),
        (3.0, 3.02062440),
    ],
)
def test_correction_table(difference: float, k1: float) -> None:
    """K1 at the stated differences is the stated one."""
    got = background_correction(50.0, 50.0 - difference)
    assert got.correction_db == pytest.approx(k1, rel=5e-9)
    assert got.level_dba == pytest.approx(50.0 - k1, abs=1e-8)
    assert got.difference_db == difference


def test_corrected_vector() -> None:
    """45.0 over a background of 38.0 is 44.0334710."""
    got = background_correction(45.0, 38.0)
    assert got.level_dba == pytest.approx(44.0334710, abs=5e-8)
    assert (got.grade, got.limit) == ("corrected", "")


@pytest.mark.parametrize(
    ("difference", "grade", "limit"),
    [
        (20.0, "no_correction", ""),
        (15.001, "no_correction", ""),
        (15.0, "corrected", ""),
        (6.0, "corrected", ""),
        (5.999, "indicative", "at_most"),
        (3.0, "indicative", "at_most"),
        (2.999, "background_limited", "at_most"),
        (0.0, "background_limited", "at_most"),
        (-1.0, "background_limited", "at_most"),
    ],
)
def test_bands_at_their_edges(difference: float, grade: str, limit: str) -> None:
    """Exactly 15 and 6 dB are corrected, exactly 3 dB is indicative."""
    got = background_correction(50.0, 50.0 - difference)
    assert (got.grade, got.limit) == (grade, limit)


@pytest.mark.parametrize(
    ("tenths", "grade"), [(150, "corrected"), (60, "corrected"), (30, "indicative")]
)
def test_edges_do_not_depend_on_the_level(tenths: int, grade: str) -> None:
    """Readings of one decimal that differ by an edge get its grade at any level."""
    got = {
        background_correction(at / 10.0, (at - tenths) / 10.0).grade
        for at in range(250, 700)
    }
    assert got == {grade}


@pytest.mark.parametrize("difference", [16.0, 2.0])
def test_uncorrected_levels_stay_as_measured(difference: float) -> None:
    """Beyond 15 dB nothing needs taking off, under 3 dB nothing can be."""
    got = background_correction(45.0, 45.0 - difference)
    assert (got.level_dba, got.correction_db) == (45.0, 0.0)


def test_corrected_uncertainty() -> None:
    """0.5 dB on both levels 7 dB apart become 0.636942230 dB."""
    got = corrected_uncertainty(0.5, 0.5, 7.0)
    assert got == pytest.approx(0.636942230, abs=5e-10)


def test_level_of_one_reading_has_the_meters_uncertainty() -> None:
    """One reading without a background is uncertain by the meter alone."""
    got = measured_level([44.0])
    assert got.level_dba == 44.0
    assert got.u_db == 0.5
    assert got.high_dba - 44.0 == pytest.approx(0.5 * 1.959963985)
    assert 44.0 - got.low_dba == pytest.approx(0.5 * 1.959963985)
    assert got.background is None


def test_scatter_of_readings_enters_by_t() -> None:
    """Repeats add t times their standard error to 1.96 times the meter's part."""
    readings = [44.2, 45.1, 44.7]
    got = measured_level(readings, [20.0])
    se = float(stats.sem(readings))
    t = float(stats.t.ppf(0.975, 2))
    assert got.u_db == pytest.approx(math.hypot(se, 0.5))
    half = math.hypot(t * se, 1.959963985 * 0.5)
    assert got.high_dba - got.level_dba == pytest.approx(half)
    assert got.background is not None
    assert got.background.grade == "no_correction"


def test_corrected_level_has_the_corrected_uncertainty() -> None:
    """45 over 38 dB, both to 0.5 dB, is published as 44.033 to 0.637 dB."""
    got = measured_level([45.0], [38.0])
    assert got.level_dba == pytest.approx(44.0334710, abs=5e-8)
    assert got.u_db == pytest.approx(0.636942230, abs=5e-10)
    half = 1.959963985 * 0.636942230
    assert got.low_dba == pytest.approx(44.0334710 - half, abs=1e-7)
    assert got.limit == ""


@pytest.mark.parametrize("background", [41.0, 44.0])
def test_near_the_background_the_level_is_an_upper_bound(background: float) -> None:
    """Less than 6 dB over the background the measured level is all one can claim."""
    got = measured_level([45.0], [background])
    assert (got.level_dba, got.limit) == (45.0, "at_most")
    assert got.u_db == 0.5


def test_indicative_level_is_kept_beside_it() -> None:
    """Between 3 and 6 dB the corrected level is shown as indicative."""
    got = measured_level([45.0], [41.0]).background
    assert got is not None
    # 10 log10(10^4.5 - 10^4.1)
    assert got.level_dba == pytest.approx(42.79519, abs=5e-6)


SPEEDS = (
    Speed("low", 35.0, 1.0, 90.0),
    Speed("middle", 44.5, 1.0, 180.0),
    Speed("high", 55.0, 1.0, 260.0),
)


def test_most_clean_air_under_a_cap() -> None:
    """Of the speeds under the cap the one with the most clean air is chosen."""
    got = best_under_cap(SPEEDS, 50.0)
    assert (got.speed, got.reason, got.near_cap) == ("middle", "", False)
    assert got.quietest_dba == 35.0


def test_the_cap_itself_is_allowed() -> None:
    """A speed exactly at the cap meets it, and is told to be near it."""
    got = best_under_cap(SPEEDS, 44.5)
    assert (got.speed, got.near_cap) == ("middle", True)


def test_within_uncertainty_of_the_cap() -> None:
    """A level half a decibel under the cap, known to 1 dB, is near it."""
    assert best_under_cap(SPEEDS, 45.0).near_cap
    assert not best_under_cap(SPEEDS, 45.6).near_cap


def test_louder_with_more_air_does_not_win_against_itself() -> None:
    """A slower speed with more clean air wins over a faster one."""
    odd = (Speed("low", 35.0, 1.0, 200.0), Speed("middle", 40.0, 1.0, 180.0))
    assert best_under_cap(odd, 45.0).speed == "low"


def test_no_speed_meets_the_cap() -> None:
    """Where no speed is quiet enough there is none, and the quietest is told."""
    got = best_under_cap(SPEEDS, 30.0)
    assert (got.speed, got.reason) == ("", "none_quiet_enough")
    assert got.quietest_dba == 35.0


def test_quiet_speed_without_a_decay_run() -> None:
    """A quiet speed whose clean air was not measured is no answer and not 0."""
    speeds = (Speed("low", 35.0, 1.0, None), *SPEEDS[1:])
    got = best_under_cap(speeds, 40.0)
    assert (got.speed, got.reason) == ("", "quiet_speed_not_tested")
    # At a cap that a tested speed meets, that one is given.
    assert best_under_cap(speeds, 50.0).speed == "middle"


@pytest.mark.parametrize("speeds", [(), (Speed("low", None, 0.0, 90.0),)])
def test_no_levels(speeds: tuple[Speed, ...]) -> None:
    """Without any measured level the cap cannot be held against anything."""
    got = best_under_cap(speeds, 40.0)
    assert (got.speed, got.reason, got.quietest_dba) == ("", "no_levels", None)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: energy_mean([]), "too_few_values"),
        (lambda: energy_mean([math.nan]), "not_finite"),
        (lambda: energy_sum([]), "too_few_values"),
        (lambda: energy_sum([math.inf]), "not_finite"),
        (lambda: energy_difference(40.0, 40.0), "background_limited"),
        (lambda: energy_difference(40.0, 41.0), "background_limited"),
        (lambda: several_units(40.0, 0), "not_positive"),
        (lambda: background_correction(math.nan, 40.0), "not_finite"),
        (lambda: corrected_uncertainty(0.5, 0.5, 0.0), "not_positive"),
        (lambda: measured_level([]), "too_few_values"),
        (lambda: measured_level([40.0], []), "too_few_values"),
        (lambda: measured_level([math.inf]), "not_finite"),
        (lambda: measured_level([40.0], None, -0.5), "not_positive"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """Input without a meaning raises a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code
