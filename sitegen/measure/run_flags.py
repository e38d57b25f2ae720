"""Rules on one fraction of one run, judged from that run alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from sitegen.measure.arrays import Floats
from sitegen.measure.fit import Coefficient, SlopeFit
from sitegen.measure.flags import Flag, above, flag
from sitegen.measure.run_data import Conditions, DecayMethod, Event, RunKind
from sitegen.measure.step import Step
from sitegen.measure.window import Window

STEP_Z = 5.0
"""Limit of |z| in the step scan, calibrated by simulation to 5 % of false flags.

The plain limit 4 flags 7 % of clean runs where the room mixes poorly (noise of 180 s
correlation, 4 %) and 13 % where the readings go down to the sensor's own noise; 4.5
still flags 8 % there. At 5.0 the shares of clean runs flagged are 4.7 % there, 1.2 %
in the poorly mixed room and at most 0.5 % in seven other kinds of noise, with 40 to
120 readings. What it then finds is in ``step_power``.

With an eighth of the readings left out at each end, 4.25 would do (4.2 % at most) and
find more in the middle half: of steps of 10 % in the poorly mixed room 39 to 42 %
instead of 21 %. But a step in the outer eighths would be missed: there it finds 1 % of
steps of 15 %, the scan up to three readings from the ends 74 % (800 runs each).
"""
STEP_SIZE = 0.05
"""Least step that is flagged, as a share of the level."""


def point_flags(fit: SlopeFit, kind: RunKind) -> Iterator[Flag]:
    """Yield N_LOW, RANGE, SE_K, and CORR of the combined fit.

    Limits from simulation: 92 % of intervals hold the truth at 12 readings, 95 % at 46;
    91 % where the noise's correlation time exceeds a quarter of the window.

    Args:
        fit: of the sensors' common signal.
        kind: with the device on the fall must be a factor of 3, else 10 %.
    """
    few = fit.n < 10
    yield flag(
        "N_LOW",
        float(fit.n),
        10.0 if few else 20.0,
        fit.n < 20,
        unit="points",
        validity="not_rated" if few else "notes",
    )
    if kind == "decay":
        drop = float(np.exp(fit.decay_per_h * fit.span_h))
        yield flag("RANGE", drop, 3.0, drop < 3.0, validity="not_rated")
        half = 0.5 * (fit.high_per_h - fit.low_per_h)
        share = half / abs(fit.decay_per_h) if fit.decay_per_h else float("inf")
        yield above("SE_K", share, 0.10)
    else:
        drop = -float(np.expm1(-fit.decay_per_h * fit.span_h))
        yield flag("RANGE", drop, 0.10, drop < 0.10, validity="not_rated")
    yield above("CORR", fit.correlation_h / fit.span_h, 0.25)


def shape_flags(
    curvature: Coefficient | None, step: Step | None, residual: Floats
) -> Iterator[Flag]:
    """Yield CURV, STEP and RESID.

    Args:
        curvature: relative change of the decay over the window, 2cT/k, or None.
        step: the step that stands out most, or None.
        residual: ln residuals of the combined fit, shape (n,), no NaN.
    """
    if curvature is None:
        yield flag("CURV", None, 0.10, False)
    else:
        sure = curvature.low > 0 or curvature.high < 0
        size = abs(curvature.value)
        yield flag("CURV", size, 0.10, size > 0.10 and sure)
    if step is None:
        yield flag("STEP", None, STEP_Z, False)
    else:
        raised = abs(step.z) > STEP_Z and abs(step.step) > STEP_SIZE
        yield flag(
            "STEP",
            abs(step.z),
            STEP_Z,
            raised,
            decide=True,
            at_min=60.0 * step.at_h,
        )
    sd = mad_sd(residual)
    far = float(np.mean(np.abs(residual) > 4.0 * sd)) if sd > 0 else 0.0
    yield above("RESID", far, 0.02)


def mad_sd(values: Floats) -> float:
    """Return 1.4826 times the median absolute deviation; 0 for no values."""
    if not values.size:
        return 0.0
    return 1.4826 * float(np.median(np.abs(values - np.median(values))))


def sensor_spread_flags(fits: Mapping[str, SlopeFit]) -> Iterator[Flag]:
    """Yield SENSOR: the sensors' decays differ.

    Raised when their range exceeds 10 % of their mean, and for each sensor of three or
    more that stands off the others' median by more than 3.5 of their robust standard
    deviations (never taken smaller than its own fit's).
    """
    if len(fits) < 2:
        yield flag("SENSOR", None, 0.10, False, decide=True)
        return
    decays = np.array([fit.decay_per_h for fit in fits.values()])
    middle = abs(float(decays.mean()))
    spread = float(np.ptp(decays))
    share = spread / middle if middle > 0 else float("inf")
    yield above("SENSOR", share, 0.10, decide=True, about="spread")
    if len(fits) < 3:
        return
    for i, (name, fit) in enumerate(fits.items()):
        others = np.delete(decays, i)
        scale = max(mad_sd(others), fit.sd_per_h)
        z = abs(fit.decay_per_h - float(np.median(others))) / scale
        yield above("SENSOR", z, 3.5, decide=True, instrument=name, about="outlier")


def mixing_flags(decay_per_h: float, method: DecayMethod) -> Iterator[Flag]:
    """Yield MIX: the device clears the air faster than the room mixes.

    ``k t_mix > 0.3``, or k above 25/h. A room of 28.4 m3 is reported to under-read a
    strong device by 28 to 55 % (Indoor Environments 3(2):100165).

    Args:
        decay_per_h: k with the device on, 1/h.
        method: its e-fold time of the mixing transient, t_mix, s.
    """
    value = decay_per_h * method.mixing_efold_s / 3600.0
    yield above("MIX", value, 0.3, about="mixing_time")
    yield above("MIX", decay_per_h, 25.0, unit="1/h", about="rate")


def floor_flag(window: Window, run_window: Window, level: float) -> Flag:
    """Return FLOOR: a sensor came to its floor inside the window.

    Args:
        window: this fraction's window.
        run_window: the run's, from the primary fraction.
        level: lowest smoothed level over the floor, of all sensors; infinite when no
            floor is known.
    """
    cut = window.end_rule == "floor"
    early = run_window.end_min - window.end_min
    if cut:
        return flag("FLOOR", early, 0.0, True, unit="min")
    under = level < 1.0
    return flag("FLOOR", level if np.isfinite(level) else None, 1.0, under)


def gap_flags(t_min: Floats, seen_each: Floats) -> Iterator[Flag]:
    """Yield GAP: readings are missing.

    Args:
        t_min: elapsed minutes in the window, shape (n,).
        seen_each: readings, shape (sensors, n), NaN where missing. Rows that
            the record lacks altogether count as missing at the median step.
    """
    seen = ~np.isnan(seen_each)
    span = float(t_min[-1] - t_min[0])
    step = float(np.median(np.diff(t_min)))
    due = max(round(span / step) + 1, t_min.size) * len(seen)
    yield above("GAP", 1.0 - float(seen.sum()) / due, 0.10, about="share")
    times = t_min[seen.any(axis=0)]
    edges = np.concatenate([[t_min[0]], times, [t_min[-1]]])
    longest = float(np.diff(edges).max())
    raised = longest > span / 8.0 * (1 + 1e-9) and longest > 1.5 * step
    yield flag("GAP", longest, span / 8.0, raised, unit="min", about="longest")


def environment_flags(
    conditions: Conditions, events: Sequence[Event], window: Window
) -> Iterator[Flag]:
    """Yield ENV: humidity, temperature or a door."""
    yield above("ENV", conditions.humidity_pct, 60.0, unit="%", about="humidity")
    change = conditions.temperature_change_k
    yield above(
        "ENV",
        None if change is None else abs(change),
        5.0,
        unit="K",
        about="temperature",
    )
    moved = sum(
        event.what == "door" and window.start_min <= event.at_min <= window.end_min
        for event in events
    )
    doors = float(moved + conditions.door_open)
    yield above("ENV", doors, 0.0, unit="events", about="door")


def late_start_flag(first: SlopeFit | None, rest: SlopeFit | None) -> Flag:
    """Return OFF, from the run alone: the decay sets in only later in the window.

    Raised when the first third falls less than half as fast as the rest and the two
    95 % intervals do not meet.

    Args:
        first: fit of the first third of the window, or None when too short.
        rest: fit of the remainder, or None.
    """
    if first is None or rest is None or rest.decay_per_h <= 0:
        return flag("OFF", None, 0.5, False, decide=True, about="late_start")
    value = first.decay_per_h / rest.decay_per_h
    apart = first.high_per_h < rest.low_per_h
    return flag(
        "OFF", value, 0.5, value < 0.5 and apart, decide=True, about="late_start"
    )
