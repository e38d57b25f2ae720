"""Rules on one run."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from scipy import stats

from sitegen.measure.fit import Coefficient, SlopeFit
from sitegen.measure.flags import Flag
from sitegen.measure.run_data import Conditions, DecayMethod, Event, RunKind
from sitegen.measure.run_flags import (
    STEP_Z,
    environment_flags,
    floor_flag,
    gap_flags,
    late_start_flag,
    mad_sd,
    mixing_flags,
    point_flags,
    sensor_spread_flags,
    shape_flags,
)
from sitegen.measure.step import Step
from sitegen.measure.window import Window

Floats = npt.NDArray[np.float64]

GOOD = SlopeFit(
    decay_per_h=6.0,
    sd_per_h=0.1,
    low_per_h=5.8,
    high_per_h=6.2,
    intercept=5.7,
    reference_h=0.0,
    covariance=((1e-4, 0.0), (0.0, 1e-2)),
    correlation_h=0.02,
    nugget=0.5,
    n=46,
    nu=44,
    span_h=0.375,
)
WINDOW = Window(8, 53, 4.0, 26.5, "device_on", "fraction")
HALVES = np.arange(0.0, 40.5, 0.5)
CALM: Floats = np.random.default_rng(1).normal(0, 0.03, 46)


def only(flags: Iterable[Flag], code: str, about: str = "") -> Flag:
    """Return the one flag of a code and case."""
    (found,) = [one for one in flags if one.code == code and one.about == about]
    return found


@pytest.mark.parametrize(
    ("n", "raised", "limit", "validity"),
    [
        (20, False, 20.0, "rated"),
        (19, True, 20.0, "notes"),
        (10, True, 20.0, "notes"),
        (9, True, 10.0, "not_rated"),
    ],
)
def test_number_of_points(n: int, raised: bool, limit: float, validity: str) -> None:
    """Under 20 points is noted, under 10 takes the rating."""
    got = only(point_flags(replace(GOOD, n=n), "decay"), "N_LOW")
    assert (got.raised, got.limit, got.validity) == (raised, limit, validity)


@pytest.mark.parametrize(
    ("kind", "decay", "raised"),
    [
        ("decay", math.log(3.001) / 0.375, False),
        ("decay", math.log(2.999) / 0.375, True),
        ("natural", -math.log(0.8999) / 0.375, False),
        ("natural", -math.log(0.9001) / 0.375, True),
        ("natural", -0.1, True),
    ],
)
def test_range_of_the_fit(kind: RunKind, decay: float, raised: bool) -> None:
    """A fitted fall under a factor of 3, or 10 % of a natural run, is not rated."""
    got = only(point_flags(replace(GOOD, decay_per_h=decay), kind), "RANGE")
    assert (got.raised, got.validity == "not_rated") == (raised, raised)


@pytest.mark.parametrize(("half", "raised"), [(0.59, False), (0.61, True)])
def test_width_of_the_interval(half: float, raised: bool) -> None:
    """A half-width over a tenth of the decay is noted."""
    fit = replace(GOOD, low_per_h=6.0 - half, high_per_h=6.0 + half)
    assert only(point_flags(fit, "decay"), "SE_K").raised is raised
    assert not [one for one in point_flags(fit, "natural") if one.code == "SE_K"]


@pytest.mark.parametrize(("tau", "raised"), [(0.093, False), (0.094, True)])
def test_correlation_time(tau: float, raised: bool) -> None:
    """A correlation time over a quarter of the window is noted."""
    got = only(point_flags(replace(GOOD, correlation_h=tau), "decay"), "CORR")
    assert got.raised is raised


@pytest.mark.parametrize(
    ("value", "low", "high", "raised"),
    [
        (-0.15, -0.30, -0.01, True),
        (0.15, 0.01, 0.30, True),
        (-0.15, -0.31, 0.08, False),
        (0.09, 0.05, 0.13, False),
        (0.10, 0.05, 0.15, False),
    ],
)
def test_curvature(value: float, low: float, high: float, raised: bool) -> None:
    """A bend over 10 % is noted only if its interval leaves out 0."""
    bend = Coefficient(value, 0.05, low, high)
    assert only(shape_flags(bend, None, CALM), "CURV").raised is raised


@pytest.mark.parametrize(
    ("z", "size", "raised"),
    [
        (STEP_Z + 0.1, 0.06, True),
        (-STEP_Z - 0.1, -0.06, True),
        (STEP_Z + 0.1, 0.049, False),
        (STEP_Z, 0.2, False),
    ],
)
def test_step(z: float, size: float, raised: bool) -> None:
    """A step over 5 % that stands out waits for a decision."""
    got = only(shape_flags(None, Step(z, size, 0.2), CALM), "STEP")
    assert (got.raised, got.decide) == (raised, raised)
    assert got.value == abs(z)


def test_shapes_that_could_not_be_looked_for() -> None:
    """With too few points there is no bend and no step, and none is claimed."""
    got = list(shape_flags(None, None, np.empty(0)))
    assert [(one.code, one.raised) for one in got] == [
        ("CURV", False),
        ("STEP", False),
        ("RESID", False),
    ]


@pytest.mark.parametrize(("count", "raised"), [(1, False), (2, True)])
def test_far_residuals(count: int, raised: bool) -> None:
    """Two of 60 residuals beyond four robust deviations are over 2 %, one is not."""
    residual = np.tile([-0.03, 0.03, 0.01], 20)
    residual[:count] = 0.5
    got = only(shape_flags(None, None, residual), "RESID")
    assert got.value == pytest.approx(count / 60)
    assert got.raised is raised


def test_robust_deviation() -> None:
    """The robust deviation is SciPy's for normal data, and 0 for nothing."""
    want = float(stats.median_abs_deviation(CALM, scale="normal"))
    assert mad_sd(CALM) == pytest.approx(want, rel=1e-5)
    assert mad_sd(np.empty(0)) == 0.0


def sensors(*decays: float, sd: float = 0.1) -> dict[str, SlopeFit]:
    """Return fits of several sensors."""
    return {
        f"bench-{i}": replace(GOOD, decay_per_h=k, sd_per_h=sd)
        for i, k in enumerate(decays)
    }


@pytest.mark.parametrize(
    ("decays", "raised"), [((5.71, 6.29), False), ((5.69, 6.31), True)]
)
def test_spread_of_sensors(decays: tuple[float, ...], raised: bool) -> None:
    """Sensors over 10 % apart wait for a decision."""
    got = only(sensor_spread_flags(sensors(*decays)), "SENSOR", "spread")
    assert (got.raised, got.decide) == (raised, raised)


def test_one_sensor_has_no_spread() -> None:
    """A single sensor is compared with nothing."""
    (got,) = sensor_spread_flags(sensors(6.0))
    assert (got.value, got.raised) == (None, False)


def test_sensor_that_stands_off() -> None:
    """Of four sensors the one far from the others' median is named."""
    got = sensor_spread_flags(sensors(6.0, 6.05, 5.95, 6.5, sd=0.1))
    named = [one.instrument for one in got if one.raised and one.about == "outlier"]
    assert named == ["bench-3"]


def test_a_vague_sensor_does_not_stand_off() -> None:
    """The distance is never measured in less than the sensor's own deviation."""
    got = sensor_spread_flags(sensors(6.0, 6.0, 6.0, 6.5, sd=0.2))
    assert not [one for one in got if one.raised and one.about == "outlier"]


@pytest.mark.parametrize(
    ("decay", "efold", "raised"),
    [
        (17.9, 60.0, []),
        (18.1, 60.0, ["mixing_time"]),
        (25.1, 60.0, ["mixing_time", "rate"]),
        (25.1, 30.0, ["rate"]),
        (25.0, 30.0, []),
    ],
)
def test_mixing(decay: float, efold: float, raised: list[str]) -> None:
    """A decay faster than the room mixes, or over 25/h, is noted."""
    got = mixing_flags(decay, DecayMethod(mixing_efold_s=efold))
    assert [one.about for one in got if one.raised] == raised


def test_floor_cut_the_window() -> None:
    """A fraction that ended at its floor is noted, with how much earlier it ended."""
    cut = replace(WINDOW, end_min=20.5, end_rule="floor")
    got = floor_flag(cut, WINDOW, 1.2)
    assert (got.raised, got.value, got.unit) == (True, 6.0, "min")


@pytest.mark.parametrize(
    ("level", "raised", "value"),
    [(0.99, True, 0.99), (1.0, False, 1.0), (math.inf, False, None)],
)
def test_floor_inside_the_window(
    level: float, raised: bool, value: float | None
) -> None:
    """A level under the floor inside a fixed window is noted."""
    got = floor_flag(WINDOW, WINDOW, level)
    assert (got.raised, got.value) == (raised, value)


def gaps(seen: npt.NDArray[np.bool_], t_min: Floats) -> list[str]:
    """Return the cases of GAP that are raised."""
    readings = np.where(seen, 1.0, np.nan)
    return [one.about for one in gap_flags(t_min, readings) if one.raised]


def test_share_of_missing_readings() -> None:
    """Over a tenth of all sensors' readings missing is noted."""
    t_min = np.arange(50.0)
    seen = np.ones((2, 50), dtype=bool)
    seen[0, ::5] = False
    assert gaps(seen, t_min) == []
    seen[1, 7] = False
    assert gaps(seen, t_min) == ["share"]


def test_rows_that_were_never_written_are_missing() -> None:
    """A logger that skipped rows has missing readings all the same."""
    t_min = np.delete(np.arange(51.0), np.arange(10, 48, 7))
    assert gaps(np.ones((1, t_min.size), dtype=bool), t_min) == ["share"]


@pytest.mark.parametrize(("missing", "raised"), [(9, []), (10, ["longest"])])
def test_longest_gap(missing: int, raised: list[str]) -> None:
    """A hole of 5.5 of 40 minutes is over an eighth and noted, one of 5 is not."""
    seen = np.ones((1, 81), dtype=bool)
    # At steps of half a minute the hole is one step longer than what is missing.
    seen[0, 10 : 10 + missing] = False
    assert [one for one in gaps(seen, HALVES) if one != "share"] == raised


def test_hole_at_the_end_counts() -> None:
    """A window whose last readings are missing has a hole up to its end."""
    seen = np.ones((1, 81), dtype=bool)
    seen[0, 69:] = False
    assert "longest" in gaps(seen, HALVES)


def test_one_sensor_of_two_fills_the_other_ones_hole() -> None:
    """A hole is where no sensor reads."""
    seen = np.ones((2, 81), dtype=bool)
    seen[0, 10:26] = False
    assert gaps(seen, HALVES) == []


@pytest.mark.parametrize(
    ("conditions", "raised"),
    [
        (Conditions(), []),
        (Conditions(60.0, 5.0), []),
        (Conditions(60.1, -5.1), ["humidity", "temperature"]),
        (Conditions(door_open=True), ["door"]),
    ],
)
def test_environment(conditions: Conditions, raised: list[str]) -> None:
    """Humidity over 60 %, over 5 K either way, or an open door is noted."""
    got = environment_flags(conditions, (), WINDOW)
    assert [one.about for one in got if one.raised] == raised


@pytest.mark.parametrize(
    ("at_min", "raised"), [(3.9, False), (4.0, True), (26.5, True), (26.6, False)]
)
def test_door_inside_the_window(at_min: float, raised: bool) -> None:
    """A door counts from the window's first to its last minute."""
    events = (Event(at_min, "door"), Event(10.0, "injected"))
    got = only(environment_flags(Conditions(), events, WINDOW), "ENV", "door")
    assert got.raised is raised


@pytest.mark.parametrize(
    ("decay", "high", "raised"),
    [(2.9, 3.5, True), (3.1, 3.5, False), (2.9, 5.9, False)],
)
def test_late_start(decay: float, high: float, raised: bool) -> None:
    """A first third under half as fast, its interval apart, was perhaps not on."""
    first = replace(GOOD, decay_per_h=decay, low_per_h=2.0, high_per_h=high)
    got = late_start_flag(first, GOOD)
    assert (got.raised, got.decide) == (raised, raised)


def test_late_start_needs_both_parts() -> None:
    """Without both parts, or with a rest that does not fall, nothing is claimed."""
    assert not late_start_flag(None, GOOD).raised
    assert not late_start_flag(GOOD, None).raised
    assert not late_start_flag(GOOD, replace(GOOD, decay_per_h=0.0)).raised
