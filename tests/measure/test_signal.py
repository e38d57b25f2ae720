"""From several sensors to one log signal."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from sitegen.errors import MeasureError
from sitegen.measure.signal import log_signal, sensor_mean

Floats = npt.NDArray[np.float64]

SIGNAL = np.linspace(5.7, 3.3, 40)
GAINS = np.array([0.3, -0.1, -0.2])


def noisy(seed: int) -> Floats:
    """Return three sensors' logs with gains, noise and dropouts."""
    rng = np.random.default_rng(seed)
    logs = SIGNAL + GAINS[:, None] + rng.normal(0, 0.03, (3, 40))
    logs[rng.random((3, 40)) < 0.2] = np.nan
    return np.asarray(logs)


def test_log_of_what_is_above_zero() -> None:
    """Readings less their zero offset are logged; at or below it they are missing."""
    got = log_signal([11.0, 1.0, 0.5, np.nan], 1.0)
    assert got[0] == pytest.approx(np.log(10.0))
    assert np.isnan(got[1:]).all()


def test_zero_offset_makes_a_plateau_a_line() -> None:
    """An exponential over a zero offset has a straight log signal once it is off."""
    t = np.linspace(0.0, 0.4, 30)
    got = log_signal(5.0 + 300.0 * np.exp(-6.0 * t), 5.0)
    assert got == pytest.approx(np.log(300.0) - 6.0 * t, rel=1e-12)


@pytest.mark.parametrize(("values", "zero"), [([1.0, np.inf], 0.0), ([1.0], np.nan)])
def test_infinite_readings_are_refused(values: list[float], zero: float) -> None:
    """An infinite reading or offset raises a typed error."""
    with pytest.raises(MeasureError, match="not_finite"):
        log_signal(values, zero)


@pytest.mark.parametrize("seed", range(5))
def test_mean_is_the_additive_least_squares_fit(seed: int) -> None:
    """Levels and signal are those of a dense least-squares fit of both."""
    logs = noisy(seed)
    sensor, time = np.nonzero(~np.isnan(logs))
    design = np.zeros((sensor.size + 1, 3 + 40))
    design[np.arange(sensor.size), sensor] = 1.0
    design[np.arange(sensor.size), 3 + time] = 1.0
    design[-1, :3] = 1.0
    y = np.append(logs[sensor, time], 0.0)
    want = np.linalg.lstsq(design, y, rcond=None)[0]
    got = sensor_mean(logs)
    assert got.level == pytest.approx(want[:3], abs=1e-10)
    there = ~np.isnan(logs).all(axis=0)
    assert got.mean[there] == pytest.approx(want[3:][there], abs=1e-10)
    assert np.isnan(got.mean[~there]).all()
    assert got.used.all()


def test_dropout_makes_no_step() -> None:
    """A sensor that falls silent halfway leaves a noise-free signal untouched."""
    logs = SIGNAL + GAINS[:, None]
    logs[0, 20:] = np.nan
    logs[1, 5:9] = np.nan
    assert sensor_mean(logs).mean == pytest.approx(SIGNAL, abs=1e-12)


def test_gain_moves_the_level_only() -> None:
    """One sensor read 1.3 times as high changes no difference within the signal."""
    logs = noisy(1)
    base = sensor_mean(logs)
    logs[1] += np.log(1.3)
    moved = sensor_mean(logs)
    shift = moved.mean - base.mean
    there = ~np.isnan(shift)
    assert np.ptp(shift[there]) < 1e-12
    assert moved.level[1] - moved.level[0] == pytest.approx(
        base.level[1] - base.level[0] + np.log(1.3)
    )


def test_order_of_sensors_does_not_matter() -> None:
    """Shuffled sensors give the same signal and their levels shuffled."""
    logs, order = noisy(2), [2, 0, 1]
    base, turned = sensor_mean(logs), sensor_mean(logs[order])
    assert turned.mean == pytest.approx(base.mean, abs=1e-12, nan_ok=True)
    assert turned.level == pytest.approx(base.level[order], abs=1e-12)


def test_one_sensor_is_its_own_mean() -> None:
    """With a single sensor the signal is its log and its level is 0."""
    got = sensor_mean(SIGNAL[None, :])
    assert got.mean == pytest.approx(SIGNAL, abs=1e-14)
    assert got.level.tolist() == [0.0]


def test_sensor_without_readings_is_left_out() -> None:
    """A silent sensor has no level and does not count."""
    logs = np.vstack([SIGNAL, np.full(40, np.nan), SIGNAL + 0.2])
    got = sensor_mean(logs)
    assert got.used.tolist() == [True, False, True]
    assert np.isnan(got.level[1])
    assert got.level[[0, 2]] == pytest.approx([-0.1, 0.1])


def test_sensors_that_never_read_together() -> None:
    """Of groups without a common time only the one with most readings is kept."""
    logs = np.full((3, 40), np.nan)
    logs[0, :10] = SIGNAL[:10]
    logs[1, 10:30] = SIGNAL[10:30]
    logs[2, 25:] = SIGNAL[25:] + 0.4
    got = sensor_mean(logs)
    assert got.used.tolist() == [False, True, True]
    assert np.isnan(got.mean[:10]).all()
    assert np.diff(got.mean[10:]) == pytest.approx(np.diff(SIGNAL[10:]))


def test_sensors_linked_through_a_third() -> None:
    """Two that never read together are put on one level by a third that saw both."""
    logs = np.full((3, 40), np.nan)
    logs[0, :20] = SIGNAL[:20] + 0.5
    logs[1, 20:] = SIGNAL[20:] - 0.3
    logs[2, 15:25] = SIGNAL[15:25]
    got = sensor_mean(logs)
    assert got.used.all()
    assert np.diff(got.mean) == pytest.approx(np.diff(SIGNAL))


def test_first_of_equal_groups_is_kept() -> None:
    """Of two groups with equally many readings the first sensor's is kept."""
    logs = np.full((2, 40), np.nan)
    logs[0, :20], logs[1, 20:] = SIGNAL[:20], SIGNAL[20:]
    assert sensor_mean(logs).used.tolist() == [True, False]


def test_no_readings_at_all() -> None:
    """Sensors without a single reading raise a typed error."""
    with pytest.raises(MeasureError, match="no_readings"):
        sensor_mean(np.full((2, 5), np.nan))
