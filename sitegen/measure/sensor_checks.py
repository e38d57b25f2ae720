"""Rules on one sensor's readings inside the window."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sitegen.measure.arrays import Floats, running_median
from sitegen.measure.flags import Flag, above, flag
from sitegen.measure.run_data import Sensor
from sitegen.measure.window import CEILING_SHARE

HELD_REPEATS = 5
HELD_SHARE = 0.10
QUANTA = 10.0
SATURATION_SHARE = 0.02
LAG_LIMIT = 0.2


def sensor_flags(
    instrument: str,
    t_min: Floats,
    readings: Floats,
    sensor: Sensor,
    *,
    decay_per_h: float,
    residual_sd: float,
) -> Iterator[Flag]:
    """Yield the flags that one sensor's readings of one fraction give rise to.

    Args:
        instrument: the sensor's id.
        t_min: elapsed minutes in the window, shape (n,).
        readings: concentrations as the instrument gave them, shape (n,), NaN where
            missing.
        sensor: the instrument's properties.
        decay_per_h: this sensor's fitted decay, 1/h.
        residual_sd: robust standard deviation of its ln residuals.
    """
    present = ~np.isnan(readings)
    raw, times = readings[present], t_min[present]
    net = raw - sensor.zero_offset
    yield _ceiling(instrument, raw, sensor)
    yield _flat_top(instrument, raw, sensor, residual_sd)
    yield _saturation(instrument, net, sensor)
    yield _held(
        instrument,
        times,
        raw,
        net,
        decay_per_h=decay_per_h,
        residual_sd=residual_sd,
    )
    yield _quanta(instrument, net, sensor)
    yield _lag(instrument, decay_per_h, sensor)


def _ceiling(instrument: str, raw: Floats, sensor: Sensor) -> Flag:
    """A reading at or above 0.9 of the sensor's range."""
    if not sensor.ceiling or not raw.size:
        return flag("SAT", None, CEILING_SHARE, False, about="ceiling")
    value = float(raw.max()) / sensor.ceiling
    return flag(
        "SAT",
        value,
        CEILING_SHARE,
        value >= CEILING_SHARE,
        validity="not_rated",
        instrument=instrument,
        about="ceiling",
    )


def _flat_top(instrument: str, raw: Floats, sensor: Sensor, residual_sd: float) -> Flag:
    """Three or more equal maxima that cannot be chance.

    Equal highest readings are a sign of a hard ceiling when they make up most of the
    readings between the first and the last of them, and when the readings' own
    scatter is at least two quanta, so that equal values are not to be expected.
    """
    if raw.size < 3:
        return flag("SAT", None, 3.0, False, about="flat_top")
    at = np.flatnonzero(raw == raw.max())
    dense = at.size > 0.5 * (at[-1] - at[0] + 1)
    scatter = residual_sd * float(raw.max())
    likely = scatter < 2.0 * quantum_seen(raw, sensor)
    raised = at.size >= 3 and bool(dense) and not likely
    return flag(
        "SAT",
        float(at.size),
        3.0,
        raised,
        validity="not_rated",
        instrument=instrument,
        about="flat_top",
    )


def _saturation(instrument: str, net: Floats, sensor: Sensor) -> Flag:
    """A start above 2 % of the concentration that sets coincidence loss."""
    if not sensor.saturation or not net.size:
        return flag("SAT", None, SATURATION_SHARE, False, about="coincidence")
    value = float(np.median(net[:3])) / sensor.saturation
    return above(
        "SAT", value, SATURATION_SHARE, instrument=instrument, about="coincidence"
    )


def quantum_seen(raw: Floats, sensor: Sensor) -> float:
    """Return the finest step that occurs between readings, or the stated resolution.

    The stated resolution counts only where no two readings differ.
    """
    steps = np.diff(np.unique(raw))
    if steps.size:
        return float(steps.min())
    return sensor.resolution or 0.0


def _held(
    instrument: str,
    times: Floats,
    raw: Floats,
    net: Floats,
    *,
    decay_per_h: float,
    residual_sd: float,
) -> Flag:
    """One value repeated five times or more in over 10 % of the window's readings.

    A run of equal readings counts only when the sensor should have shown a change:
    finer steps occur than the fall over the run, or than its scatter.
    """
    if raw.size < HELD_REPEATS:
        return flag("HELD", None, HELD_SHARE, False, instrument=instrument)
    finest = quantum_seen(raw, Sensor())
    ends = np.flatnonzero(np.diff(raw) != 0)
    firsts = np.concatenate([[0], ends + 1])
    lasts = np.concatenate([ends, [raw.size - 1]])
    held = 0
    for a, b in zip(firsts, lasts, strict=True):
        level = abs(float(net[a]))
        hours = float(times[b] - times[a]) / 60.0
        fall = level * -float(np.expm1(-abs(decay_per_h) * hours))
        visible = fall >= 2.0 * finest or residual_sd * level >= 2.0 * finest
        if b - a + 1 >= HELD_REPEATS and finest > 0 and visible:
            held += int(b - a + 1)
    return above(
        "HELD",
        held / raw.size,
        HELD_SHARE,
        validity="not_rated",
        instrument=instrument,
    )


def _quanta(instrument: str, net: Floats, sensor: Sensor) -> Flag:
    """The smoothed level falls below ten quanta of the readings."""
    if not sensor.resolution or not net.size:
        return flag("QUANT", None, QUANTA, False, instrument=instrument)
    value = float(running_median(net).min()) / sensor.resolution
    return flag("QUANT", value, QUANTA, value < QUANTA, instrument=instrument)


def _lag(instrument: str, decay_per_h: float, sensor: Sensor) -> Flag:
    """The sensor's response is slow against the decay: k tau above 0.2."""
    if not sensor.response_s:
        return flag("LAG", None, LAG_LIMIT, False, instrument=instrument)
    value = decay_per_h * sensor.response_s / 3600.0
    return above("LAG", value, LAG_LIMIT, instrument=instrument)
