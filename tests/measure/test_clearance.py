"""How long until the air is clear: observed, derived and the agencies' table."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest

from sitegen.errors import MeasureError
from sitegen.measure.clearance import (
    Clearance,
    agency_clearance,
    derived_clearance,
    median_clearance,
    observed_clearance,
    plateau_clearance,
    room_clearance,
)

Floats = npt.NDArray[np.float64]
Series = tuple[Floats, Floats]

K, LOW, HIGH = 6.29216719, 6.02659297, 6.53271974


@pytest.mark.parametrize(
    ("fraction", "minutes"),
    [
        (0.5, 6.60961949),
        (0.2, 15.3470612),
        (0.1, 21.9566807),
        (0.05, 28.5663001),
        (0.01, 43.9133613),
        (0.001, 65.8700420),
    ],
)
def test_derived_vectors(fraction: float, minutes: float) -> None:
    """The device-on decay gives the clearance times stated in the method's text."""
    got = derived_clearance(K, LOW, HIGH, fraction)
    assert got.value == pytest.approx(minutes, rel=5e-9)


def test_derived_interval() -> None:
    """The limits of the decay turn into those of the time, crossed over."""
    got = derived_clearance(K, LOW, HIGH, 0.1)
    assert got.low == pytest.approx(21.1481758, rel=1e-8)
    assert got.high == pytest.approx(22.9242469, rel=1e-8)


def test_derived_uncertainty_by_the_delta_rule() -> None:
    """A change of one deviation of k moves t90 by 0.434060518 min."""
    step = 0.124389537e-4
    there = derived_clearance(K + step, LOW, HIGH, 0.1).value
    back = derived_clearance(K - step, LOW, HIGH, 0.1).value
    assert (back - there) / 2e-4 == pytest.approx(0.434060518, rel=1e-6)


@pytest.mark.parametrize("low", [0.0, -0.2])
def test_no_upper_limit_when_the_decay_may_be_none(low: float) -> None:
    """Where the decay's interval reaches 0, nothing bounds the time from above."""
    got = derived_clearance(0.3, low, 0.8, 0.1)
    assert math.isinf(got.high)
    assert got.low == pytest.approx(60.0 * math.log(10.0) / 0.8)


@pytest.mark.parametrize(("other", "minutes"), [(0.0, 38.3764182), (0.3, 35.4243860)])
def test_room_of_the_readers_own(other: float, minutes: float) -> None:
    """180 m3/h clear 50 m3 to a tenth in the stated minutes."""
    assert room_clearance(180.0, 50.0, 0.1, other) == pytest.approx(minutes, rel=2e-9)


def test_more_than_90_pct_within_half_an_hour() -> None:
    """At 5.5 changes an hour a tenth is reached in 25.12 min, as was published."""
    assert room_clearance(5.5, 1.0, 0.1) == pytest.approx(25.12, abs=0.005)


def test_plateau() -> None:
    """From 200 to 10 above a plateau of 2 at 6/h takes 32.0882549 min."""
    got = plateau_clearance(200.0, 10.0, 2.0, 6.0)
    assert got == pytest.approx(32.0882549, rel=2e-9)


def test_plateau_of_zero_is_the_plain_formula() -> None:
    """Without a plateau the time is ln(1/f)/k, and 0 when already there."""
    assert plateau_clearance(200.0, 20.0, 0.0, 6.0) == pytest.approx(
        10.0 * math.log(10.0)
    )
    assert plateau_clearance(20.0, 20.0, 0.0, 6.0) == 0.0


@pytest.mark.parametrize("target", [2.0, 1.0])
def test_below_a_plateau_is_never_reached(target: float) -> None:
    """A level at or below the plateau is never reached, and the plateau is told."""
    with pytest.raises(MeasureError) as caught:
        plateau_clearance(200.0, target, 2.0, 6.0)
    assert caught.value.code == "never_reached"
    assert caught.value.detail["plateau"] == 2.0


AGENCY = [
    (1, (138.155106, 276.310211, 414.465317), (138, 276, 414)),
    (2, (69.077553, 138.155106, 207.232658), (69, 138, 207)),
    (4, (34.538776, 69.077553, 103.616329), (35, 69, 104)),
    (6, (23.025851, 46.051702, 69.077553), (23, 46, 69)),
    (8, (17.269388, 34.538776, 51.808165), (17, 35, 52)),
    (10, (13.815511, 27.631021, 41.446532), (14, 28, 41)),
    (12, (11.512925, 23.025851, 34.538776), (12, 23, 35)),
    (15, (9.210340, 18.420681, 27.631021), (9, 18, 28)),
    (20, (6.907755, 13.815511, 20.723266), (7, 14, 21)),
    (50, (2.763102, 5.526204, 8.289306), (3, 6, 8)),
]


@pytest.mark.parametrize(("changes", "exact", "printed"), AGENCY)
def test_agency_table(
    changes: float, exact: tuple[float, ...], printed: tuple[int, ...]
) -> None:
    """Every cell is the formula's, and rounded to minutes the printed one."""
    got = [agency_clearance(changes, share) for share in (0.9, 0.99, 0.999)]
    assert got == pytest.approx(exact, abs=6e-7)
    assert tuple(round(minutes) for minutes in got) == printed


def test_corrupted_cell_is_computed() -> None:
    """13 changes take 32 min to 99.9 %, where one re-typed copy has 3."""
    assert round(agency_clearance(13.0, 0.999)) == 32


def test_observed_vector(d1: Series) -> None:
    """The device-on series is seen to fall to a fifth after 15.9688990 min."""
    got = observed_clearance(60.0 * d1[0], np.log(d1[1]), 0.2)
    assert got.minutes == pytest.approx(15.9688990, rel=5e-9)
    assert got.censored == ""


def test_time_counts_from_the_reference_points() -> None:
    """On a noise-free decay the observed time is the derived one, not later."""
    t_min = np.arange(0.0, 60.0, 0.5)
    got = observed_clearance(t_min, 6.0 - 6.0 * t_min / 60.0, 0.1)
    assert got.minutes == pytest.approx(10.0 * math.log(10.0), rel=1e-9)
    assert got.at_min == pytest.approx(59.5 - 0.5)


def test_missing_readings_are_passed_over() -> None:
    """Missing readings, the first one too, leave a noise-free time as it was."""
    t_min = np.arange(0.0, 60.0, 0.5)
    log = 6.0 - 6.0 * t_min / 60.0
    log[[0, 3, 20, 21, 22, 45]] = np.nan
    got = observed_clearance(t_min, log, 0.1)
    assert got.minutes == pytest.approx(10.0 * math.log(10.0), rel=1e-3)


def test_not_reached_is_censored(d1: Series) -> None:
    """A level not reached gives no time, but how long and how low it was watched."""
    got = observed_clearance(60.0 * d1[0], np.log(d1[1]), 0.05)
    assert (got.minutes, got.censored) == (None, "right")
    assert got.at_min == pytest.approx(22.0)
    # Median of the last five over the median of the first three readings.
    assert got.lowest_fraction == pytest.approx(30.0 / 281.9)
    assert got.fraction == 0.05


def test_two_points_below_are_not_enough() -> None:
    """Only a level that stays down for three smoothed points is reached."""
    level = np.ones(24)
    level[[10, 11, 13]] = 0.05
    # Three low readings of five lie about places 11 and 12 only.
    brief = observed_clearance(np.arange(24.0), np.log(level), 0.1)
    assert brief.minutes is None
    assert brief.lowest_fraction == pytest.approx(0.05)
    level[12] = 0.05
    lasting = observed_clearance(np.arange(24.0), np.log(level), 0.1)
    assert lasting.minutes is not None


def test_crossing_is_interpolated_in_the_logarithm() -> None:
    """Between a smoothed 1 and a smoothed 0.01, a tenth lies in the middle."""
    level = np.array([1.0] * 10 + [0.01] * 10)
    got = observed_clearance(np.arange(20.0), np.log(level), 0.1)
    assert got.minutes == pytest.approx(9.5 - 1.0)


def test_fallen_before_the_medians_begin() -> None:
    """A level that is below at once is reached at once, not before the start."""
    level = np.array([1.0, 1.0, 1.0, *[0.01] * 10])
    level[:5] = [1.0, 1.0, 0.01, 0.01, 0.01]
    got = observed_clearance(np.arange(13.0), np.log(level), 0.1)
    assert got.minutes == 0.0


def reached(minutes: float) -> Clearance:
    """Return a time that was reached."""
    return Clearance(minutes, "", 60.0, 0.02, 0.1)


def censored(at_min: float) -> Clearance:
    """Return a time that was not reached while watched."""
    return Clearance(None, "right", at_min, 0.2, 0.1)


def test_median_of_reached_times() -> None:
    """The middle of three is the second, of two their mean."""
    assert median_clearance([reached(30.0), reached(10.0), reached(23.0)]).minutes == 23
    assert median_clearance([reached(30.0), reached(10.0)]).minutes == 20.0
    assert median_clearance([reached(30.0)]).minutes == 30.0


def test_unreached_counts_as_longest() -> None:
    """One unreached of three leaves the longer of the others in the middle."""
    got = median_clearance([censored(20.0), reached(10.0), reached(30.0)])
    assert (got.minutes, got.censored) == (30.0, "")


def test_median_can_be_censored() -> None:
    """With two unreached of three the middle is more than the shorter watch."""
    got = median_clearance([censored(50.0), reached(10.0), censored(40.0)])
    assert (got.minutes, got.censored, got.at_min) == (None, "right", 40.0)
    assert got.lowest_fraction == 0.02


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: derived_clearance(K, LOW, HIGH, 0.0), "not_a_fraction"),
        (lambda: derived_clearance(K, LOW, HIGH, 1.0), "not_a_fraction"),
        (lambda: derived_clearance(0.0, -1.0, 1.0, 0.1), "not_positive"),
        (lambda: plateau_clearance(200.0, 10.0, 2.0, 0.0), "not_positive"),
        (lambda: plateau_clearance(5.0, 10.0, 2.0, 6.0), "start_below_target"),
        (lambda: room_clearance(180.0, 50.0, 1.5), "not_a_fraction"),
        (lambda: room_clearance(180.0, 0.0, 0.1), "not_positive"),
        (lambda: room_clearance(180.0, 50.0, 0.1, -0.3), "not_positive"),
        (lambda: room_clearance(0.0, 50.0, 0.1), "never_reached"),
        (lambda: room_clearance(-20.0, 50.0, 0.1, 0.3), "never_reached"),
        (lambda: agency_clearance(6.0, 1.0), "not_a_fraction"),
        (lambda: agency_clearance(6.0, 0.0), "not_a_fraction"),
        (lambda: agency_clearance(0.0, 0.9), "not_positive"),
        (lambda: observed_clearance([0.0], [1.0], 1.0), "not_a_fraction"),
        (
            lambda: observed_clearance(
                np.arange(6.0), [1.0, 0.9, np.nan, 0.8, np.nan, 0.7], 0.1
            ),
            "too_few_points",
        ),
        (
            lambda: observed_clearance([0.0, 2.0, 1.0], [1.0, 0.9, 0.8], 0.1),
            "time_not_increasing",
        ),
        (lambda: median_clearance([]), "too_few_values"),
        (
            lambda: median_clearance(
                [reached(10.0), Clearance(5.0, "", 60.0, 0.1, 0.2)]
            ),
            "targets_differ",
        ),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """Input without a meaning raises a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code
