"""Rules on a result."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sitegen.errors import MeasureError
from sitegen.measure.cadr import Room, cadr_of_run
from sitegen.measure.estimate import DecayEstimate
from sitegen.measure.fit import SlopeFit
from sitegen.measure.outliers import StandsOff
from sitegen.measure.result_flags import (
    airflow_flag,
    cadr_zero_flag,
    natural_flags,
    natural_width_flag,
    off_flag,
    outlier_flag,
    variable_flag,
    volume_flag,
)

NATURAL = DecayEstimate(0.35, 0.02, 0.30, 0.40)
CADR = cadr_of_run(DecayEstimate(6.35, 0.1, 6.15, 6.55), NATURAL, Room(30.0, 0.45))
SLOPE = SlopeFit(
    decay_per_h=0.35,
    sd_per_h=0.05,
    low_per_h=0.25,
    high_per_h=0.45,
    intercept=5.0,
    reference_h=0.0,
    covariance=((0.01, 0.0), (0.0, 0.01)),
    correlation_h=0.01,
    nugget=0.5,
    n=15,
    nu=13,
    span_h=0.12,
)


@pytest.mark.parametrize(
    ("low", "high", "raised"),
    [
        (-5.0, 20.0, True),
        (0.0, 20.0, True),
        (0.1, 20.0, False),
        (-20.0, -0.1, False),
        (-20.0, 0.0, True),
    ],
)
def test_zero_in_the_interval(low: float, high: float, raised: bool) -> None:
    """Not distinguishable from zero is told with the upper limit."""
    got = cadr_zero_flag(replace(CADR, low_m3h=low, high_m3h=high))
    assert (got.code, got.raised, got.value) == ("CADR_ZERO", raised, high)
    assert got.validity == ("notes" if raised else "rated")


@pytest.mark.parametrize(
    ("cadr", "raised"), [(29.0, True), (31.0, False), (-29.0, True), (0.0, True)]
)
def test_natural_decay_too_vague(cadr: float, raised: bool) -> None:
    """A half-width of 0.1/h in 30 m3 is more than a tenth of under 30 m3/h."""
    got = natural_width_flag(DecayEstimate(0.35, 0.05, 0.25, 0.45), 30.0, cadr)
    assert (got.code, got.about, got.raised) == ("SE_K", "natural", raised)
    with pytest.raises(MeasureError, match="not_positive"):
        natural_width_flag(NATURAL, 0.0, cadr)


@pytest.mark.parametrize(
    ("ages", "raised"),
    [
        ((), ["NAT_NONE"]),
        ((3.0,), ["NAT_ONE"]),
        ((None,), ["NAT_ONE"]),
        ((3.0, 30.0), []),
        ((3.0, -30.0), []),
        ((3.0, 30.5), ["NAT_OLD"]),
        ((-31.0, 3.0, None), ["NAT_OLD"]),
        ((40.0,), ["NAT_ONE", "NAT_OLD"]),
    ],
)
def test_natural_runs(ages: tuple[float | None, ...], raised: list[str]) -> None:
    """None, one, or one older than 30 days is told; exactly 30 days is not old."""
    got = list(natural_flags(ages, 30.0))
    assert [item.code for item in got if item.raised] == raised


def test_only_no_natural_run_takes_the_rating() -> None:
    """Without a natural decay a result is not rated, with one or an old one it is."""
    assert [item.validity for item in natural_flags((), 30.0)] == [
        "not_rated",
        "rated",
        "rated",
    ]
    assert [item.validity for item in natural_flags((40.0,), 30.0)] == [
        "rated",
        "notes",
        "notes",
    ]


@pytest.mark.parametrize(("share", "raised"), [(0.5, False), (0.51, True)])
def test_volume_over_half_of_the_variance(share: float, raised: bool) -> None:
    """The volume is named when it makes up more than half of the variance."""
    assert volume_flag(replace(CADR, volume_share=share)).raised is raised


@pytest.mark.parametrize(
    ("airflow", "raised"),
    [(179.0, True), (180.0, False), (240.0, False), (None, False), (0.0, False)],
)
def test_more_clean_air_than_air(airflow: float | None, raised: bool) -> None:
    """More clean air than the measured airflow waits for a decision."""
    got = airflow_flag(180.0, airflow)
    assert (got.raised, got.decide) == (raised, raised)


@pytest.mark.parametrize(
    ("decay", "raised"), [(0.34, True), (0.35, True), (0.36, False)]
)
def test_start_no_faster_than_natural(decay: float, raised: bool) -> None:
    """A run that starts no faster than natural decay was perhaps not switched on."""
    got = off_flag(replace(SLOPE, decay_per_h=decay), NATURAL)
    assert (got.code, got.raised, got.decide) == ("OFF", raised, raised)
    assert off_flag(None, NATURAL).raised is False


@pytest.mark.parametrize("variable", [True, False])
def test_variable_is_passed_on(variable: bool) -> None:
    """A configuration that scatters more than the others carries a note."""
    got = variable_flag(0.09, 0.03, variable)
    assert (got.code, got.value, got.limit) == ("VARIABLE", 0.09, 0.03)
    assert got.validity == ("notes" if variable else "rated")


@pytest.mark.parametrize("outlying", [True, False])
def test_a_repeat_that_stands_off_asks_for_a_decision(outlying: bool) -> None:
    """It carries a note, never takes the rating, and waits for the tester."""
    got = outlier_flag(StandsOff(2, "robust", 4.1, 3.5, outlying))
    assert (got.code, got.value, got.limit) == ("OUTLIER", 4.1, 3.5)
    assert (got.raised, got.decide, got.about) == (outlying, outlying, "robust")
    assert got.validity == ("notes" if outlying else "rated")
    assert outlier_flag(None).raised is False
