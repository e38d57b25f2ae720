"""From several sensors' readings to one log signal.

Each sensor is logged after its zero offset is taken off; its own level (gain) is
removed by an additive two-way fit, so that a dropout of one sensor makes no step; the
sensors are then averaged. Raw concentrations are never averaged and per-sensor fits
never weighted together: the room's fluctuations are common to all sensors.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Bools, Floats


@dataclass(frozen=True, slots=True)
class SensorMean:
    """The common log signal of several sensors.

    Attributes:
        mean: mean over the sensors present, each at its level, shape (n,); NaN where
            no sensor has a reading.
        level: each sensor's ln level relative to the common signal, shape (sensors,);
            their mean over the sensors used is 0; NaN for one that is not used.
        used: which sensors are in the mean, shape (sensors,). A sensor with no
            reading, or whose readings overlap with no other's in time, cannot be put
            on the common level and is left out (the largest group is kept).
    """

    mean: Floats
    level: Floats
    used: Bools


def log_signal(readings: npt.ArrayLike, zero_offset: float = 0.0) -> Floats:
    """Return ln(reading - zero offset); NaN where missing or not positive.

    Noise of standard deviation s biases the logarithm by ``-(s/C)^2/2``: under 0.5 % at
    ten times s, which is where a sensor's floor lies.

    Args:
        readings: concentrations, any shape, NaN where missing. Zeros and negatives
            are readings, but have no logarithm: they count as missing here.
        zero_offset: what the sensor reads in particle-free air, same unit.

    Raises:
        MeasureError: ``not_finite`` for an infinite reading or offset.
    """
    values = np.asarray(readings, dtype=np.float64) - zero_offset
    if not np.isfinite(zero_offset) or np.any(np.isinf(values)):
        raise MeasureError("not_finite", what="reading")
    out = np.full(values.shape, np.nan)
    positive = values > 0.0
    out[positive] = np.log(values[positive])
    return out


def sensor_mean(logs: npt.ArrayLike) -> SensorMean:
    """Average the sensors' log signals after removing each one's own level.

    Least squares of ``y[s, i] = level[s] + signal[i]``: the levels solve the normal
    equations left when the signal is eliminated (a graph Laplacian of the sensors'
    common readings). Exact for gains: multiplying one sensor's readings by a constant
    leaves the signal's shape unchanged.

    Args:
        logs: ln signals, shape (sensors, n), NaN where missing.

    Raises:
        MeasureError: ``no_readings``.
    """
    values = np.asarray(logs, dtype=np.float64)
    seen = ~np.isnan(values)
    used = _largest_group(seen)
    if not used.any():
        raise MeasureError("no_readings")
    kept, there = np.where(seen, values, 0.0)[used], seen[used].astype(np.float64)
    at_once = there.sum(axis=0)
    share = np.divide(there, at_once, where=at_once > 0, out=np.zeros_like(there))
    laplacian = np.diag(there.sum(axis=1)) - there @ share.T
    right = kept.sum(axis=1) - share @ kept.sum(axis=0)
    # The levels are free up to a constant: the added block makes their mean 0.
    size = len(kept)
    level = np.linalg.solve(laplacian + 1.0 / size, right)
    level -= level.mean()
    total = ((kept - level[:, None]) * there).sum(axis=0)
    mean = np.full(values.shape[1], np.nan)
    np.divide(total, at_once, where=at_once > 0, out=mean)
    all_levels = np.full(len(values), np.nan)
    all_levels[used] = level
    return SensorMean(mean, all_levels, used)


def _largest_group(seen: Bools) -> Bools:
    """Return the sensors of the group, linked by common times, with most readings.

    Of groups with equally many, the one with the first sensor.
    """
    count = len(seen)
    together = (seen.astype(np.int64) @ seen.T.astype(np.int64)) > 0
    reach = together | np.eye(count, dtype=bool)
    for _ in range(count):
        reach = (reach.astype(np.int64) @ reach.astype(np.int64)) > 0
    best, most = np.zeros(count, dtype=bool), 0
    for group in reach:
        readings = int(seen[group].sum())
        if readings > most:
            best, most = group & seen.any(axis=1), readings
    return best
