"""Puts the rules of ``run_flags`` and ``sensor_checks`` to one fraction of a run."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sitegen.measure.arrays import Floats, running_median
from sitegen.measure.flags import Flag
from sitegen.measure.run_data import RunData
from sitegen.measure.run_flags import (
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
from sitegen.measure.run_series import Fitted, FractionSeries
from sitegen.measure.sensor_checks import sensor_flags
from sitegen.measure.window import Window


def fraction_flags(
    data: RunData,
    t_min: Floats,
    part: FractionSeries,
    *,
    fitted: Fitted,
    residual: Floats,
    run_window: Window,
) -> Iterator[Flag]:
    """Yield every rule's outcome that the run alone decides.

    Args:
        data: the run.
        t_min: elapsed minutes, shape (n,).
        part: the fraction's series.
        fitted: its fits.
        residual: ln residuals of the combined fit, without NaN.
        run_window: the run's window.
    """
    yield from point_flags(fitted.combined, data.kind)
    yield from shape_flags(fitted.curvature, fitted.step, residual)
    yield from sensor_spread_flags(fitted.instruments)
    if data.kind == "decay":
        yield from mixing_flags(fitted.combined.decay_per_h, data.method)
        yield late_start_flag(fitted.first, fitted.rest)
    rows = slice(part.window.first, part.window.last + 1)
    inside = part.net[:, rows]
    for i, (name, sensor) in enumerate(part.sensors.items()):
        fit = fitted.instruments.get(name)
        if fit is None:
            continue
        logs = part.logs[i, rows]
        off = logs - fit.line(t_min[rows] / 60.0)
        yield from sensor_flags(
            name,
            t_min[rows],
            inside[i] + sensor.zero_offset,
            sensor,
            decay_per_h=fit.decay_per_h,
            residual_sd=mad_sd(off[~np.isnan(off)]),
        )
    yield floor_flag(part.window, run_window, _lowest_over_floor(inside, part.floors))
    yield from gap_flags(t_min[rows], inside)
    yield from environment_flags(data.conditions, data.events, part.window)


def _lowest_over_floor(inside: Floats, floors: Floats) -> float:
    """Return the lowest smoothed level over the sensor's floor; infinite if none."""
    lowest = float("inf")
    for values, floor in zip(inside, floors, strict=True):
        present = values[~np.isnan(values)]
        if floor > 0 and present.size:
            lowest = min(lowest, float(running_median(present).min() / floor))
    return lowest
