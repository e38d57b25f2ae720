"""Rules on one sensor's readings."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from sitegen.measure.flags import Flag
from sitegen.measure.run_data import Sensor
from sitegen.measure.sensor_checks import quantum_seen, sensor_flags

Floats = npt.NDArray[np.float64]

T = np.arange(0.0, 23.0, 0.5)
CLEAN: Floats = np.round(280.0 * np.exp(-6.0 * T / 60.0), 1)


def flags(
    readings: Floats,
    sensor: Sensor,
    decay_per_h: float = 6.0,
    residual_sd: float = 0.03,
    t_min: Floats = T,
) -> dict[str, Flag]:
    """Return the flags by code and case."""
    found = sensor_flags(
        "bench-a",
        t_min,
        readings,
        sensor,
        decay_per_h=decay_per_h,
        residual_sd=residual_sd,
    )
    return {f"{one.code}.{one.about}".rstrip("."): one for one in found}


def test_clean_sensor_raises_nothing() -> None:
    """A known sensor well inside its range gives no flag, and every rule's figure."""
    sensor = Sensor(0.0, 0.2, 1.0, 0.5, 1000.0, 30000.0, 10.0)
    got = flags(CLEAN, sensor)
    assert not any(one.raised for one in got.values())
    assert all(one.value is not None for one in got.values())
    assert set(got) == {
        "SAT.ceiling",
        "SAT.flat_top",
        "SAT.coincidence",
        "HELD",
        "QUANT",
        "LAG",
    }


def test_unknown_sensor_raises_nothing() -> None:
    """Where nothing is known of a sensor its rules have no figure and stay quiet."""
    got = flags(CLEAN, Sensor())
    assert not any(one.raised for one in got.values())
    assert [code for code, one in got.items() if one.value is None] == [
        "SAT.ceiling",
        "SAT.coincidence",
        "QUANT",
        "LAG",
    ]


@pytest.mark.parametrize("readings", [np.full(46, np.nan), np.empty(0)])
def test_no_readings_raise_nothing(readings: Floats) -> None:
    """A silent sensor breaks no rule."""
    sensor = Sensor(0.0, 0.2, 1.0, 0.5, 1000.0, 30000.0, 10.0)
    got = flags(readings, sensor, t_min=T[: readings.size])
    assert not any(one.raised for one in got.values())


@pytest.mark.parametrize(("ceiling", "raised"), [(280.0 / 0.9, True), (312.0, False)])
def test_near_the_ceiling(ceiling: float, raised: bool) -> None:
    """A reading at nine tenths of the range takes the rating, one under it does not."""
    got = flags(CLEAN, Sensor(ceiling=ceiling))["SAT.ceiling"]
    assert got.raised is raised
    assert got.validity == ("not_rated" if raised else "rated")
    assert got.instrument == "bench-a"


def test_ceiling_is_held_against_the_raw_reading() -> None:
    """The range ends where the sensor's own reading does, before zero is taken off."""
    got = flags(CLEAN, Sensor(zero_offset=50.0, ceiling=300.0))["SAT.ceiling"]
    assert got.value == pytest.approx(280.0 / 300.0)


def test_flat_top() -> None:
    """Equal maxima side by side, with finer steps below, are a hard ceiling."""
    got = flags(np.minimum(CLEAN, 200.0), Sensor())["SAT.flat_top"]
    assert got.raised
    assert got.validity == "not_rated"
    # 280 exp(-t/10) is above 200 until 3.36 min.
    assert got.value == 7.0


def test_two_equal_maxima_are_chance() -> None:
    """Two equal maxima are not enough, nor are three far apart."""
    two = CLEAN.copy()
    two[1] = two[0]
    assert not flags(two, Sensor())["SAT.flat_top"].raised
    apart = CLEAN.copy()
    apart[[10, 20]] = apart[0]
    assert not flags(apart, Sensor())["SAT.flat_top"].raised


def test_coarse_readings_have_equal_maxima() -> None:
    """Where the scatter is under two quanta equal maxima are to be expected."""
    coarse = np.round(CLEAN / 10.0) * 10.0
    coarse[:3] = 280.0
    assert not flags(coarse, Sensor(), residual_sd=0.03)["SAT.flat_top"].raised
    assert flags(coarse, Sensor(), residual_sd=0.10)["SAT.flat_top"].raised


@pytest.mark.parametrize(("scale", "raised"), [(13000.0, True), (14000.0, False)])
def test_coincidence_loss(scale: float, raised: bool) -> None:
    """A start above 2 % of the saturation scale is noted, and no more."""
    got = flags(CLEAN, Sensor(saturation=scale))["SAT.coincidence"]
    assert got.raised is raised
    assert got.validity == ("notes" if raised else "rated")
    # Median of the first three readings, 280 exp(-0.05).
    assert got.value == pytest.approx(266.3 / scale, rel=1e-3)


@pytest.mark.parametrize(("length", "raised"), [(4, False), (5, True)])
def test_held_value(length: int, raised: bool) -> None:
    """Five equal readings, more than a tenth of 46, take the rating; four do not."""
    held = CLEAN.copy()
    held[10 : 10 + length] = held[10]
    got = flags(held, Sensor())["HELD"]
    assert got.raised is raised
    assert got.validity == ("not_rated" if raised else "rated")
    assert got.value == pytest.approx(length / 46 if raised else 0.0)


def test_held_for_a_small_part() -> None:
    """Five equal readings of 60 are under a tenth and are let pass."""
    t_min = np.arange(0.0, 30.0, 0.5)
    readings = np.round(280.0 * np.exp(-6.0 * t_min / 60.0), 1)
    readings[10:15] = readings[10]
    got = flags(readings, Sensor(), t_min=t_min)["HELD"]
    assert got.value == pytest.approx(5 / 60)
    assert not got.raised


def test_slow_decay_on_a_coarse_sensor_is_not_held() -> None:
    """Where no change was to be seen equal readings are what they should be."""
    slow = np.round(30.0 * np.exp(-0.3 * T / 60.0))
    got = flags(slow, Sensor(), decay_per_h=0.3, residual_sd=0.01)["HELD"]
    assert got.value == 0.0


def test_gaps_do_not_break_a_held_value() -> None:
    """A value that comes back after missing readings is still the same value."""
    held = CLEAN.copy()
    held[10:16] = held[10]
    held[12] = np.nan
    assert flags(held, Sensor())["HELD"].value == pytest.approx(5 / 45)


@pytest.mark.parametrize(("resolution", "raised"), [(3.1, True), (3.0, False)])
def test_few_quanta(resolution: float, raised: bool) -> None:
    """The smoothed level falls below ten quanta, or stays just above."""
    # The last full window of five has 280 exp(-2.15) = 32.6 in its middle.
    steady = np.concatenate([CLEAN[:41], np.full(5, 30.5)])
    got = flags(steady, Sensor(resolution=resolution))["QUANT"]
    assert got.value == pytest.approx(30.5 / resolution)
    assert got.raised is raised


def test_quanta_count_above_zero() -> None:
    """Quanta are counted from the sensor's own zero."""
    sensor = Sensor(zero_offset=5.0, resolution=1.0)
    steady = np.concatenate([CLEAN[:41], np.full(5, 14.9)])
    got = flags(steady, sensor)["QUANT"]
    assert got.value == pytest.approx(9.9)
    assert got.raised


@pytest.mark.parametrize(("seconds", "raised"), [(121.0, True), (120.0, False)])
def test_slow_sensor(seconds: float, raised: bool) -> None:
    """At 6/h a response of more than 120 s is a fifth of the decay's own time."""
    got = flags(CLEAN, Sensor(response_s=seconds))["LAG"]
    assert got.raised is raised
    assert got.value == pytest.approx(seconds / 600.0)


def test_quantum_seen() -> None:
    """The finest step between readings counts, else the stated resolution, else 0."""
    assert quantum_seen(np.array([3.0, 5.0, 4.5, 5.0]), Sensor()) == 0.5
    assert quantum_seen(np.array([3.0, 3.0]), Sensor(resolution=0.1)) == 0.1
    assert quantum_seen(np.array([3.0, 3.0]), Sensor()) == 0.0
