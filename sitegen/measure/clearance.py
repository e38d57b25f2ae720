"""How long until the air is clear: observed, derived, and the agencies' table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import checked_positive, checked_times, running_median


@dataclass(frozen=True, slots=True)
class Interval:
    """A value with its 95 % limits, all in one unit.

    Attributes:
        value: the estimate.
        low: lower limit.
        high: upper limit; infinite where nothing bounds it.
    """

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Clearance:
    """When the measured level fell to a fraction of the reference level.

    Attributes:
        minutes: the time, or None when it was not reached while watched.
        censored: ``right`` when not reached: the time is more than ``at_min``.
        at_min: how long it was watched, from the reference time, minutes.
        lowest_fraction: lowest smoothed level as a share of the reference.
        fraction: the target share.
    """

    minutes: float | None
    censored: Literal["", "right"]
    at_min: float
    lowest_fraction: float
    fraction: float


def observed_clearance(
    t_min: npt.ArrayLike, log_mean: npt.ArrayLike, fraction: float
) -> Clearance:
    """Find the observed time to a fraction of the starting concentration.

    The reference is the median of the first three usable readings, and time counts
    from their median time. The five-point running median must stay at or below the
    target for three points; the crossing is interpolated linearly in ln C. A time that
    was not reached is censored: never replaced by the time watched, never
    extrapolated. The method's own rule: simulated standard deviation 0.50 min at 23 min
    and readings every 30 s.

    Args:
        t_min: elapsed minutes from the window's start on, shape (n,), increasing.
        log_mean: mean ln signal, shape (n,), NaN where missing.
        fraction: target share of the reference, between 0 and 1.

    Raises:
        MeasureError: ``not_a_fraction``; ``too_few_points`` with fewer than 5.
    """
    if not 0.0 < fraction < 1.0:
        raise MeasureError("not_a_fraction", value=fraction)
    times = checked_times(t_min)
    signal = np.asarray(log_mean, dtype=np.float64)
    present = ~np.isnan(signal)
    times, signal = times[present], signal[present]
    if times.size < 5:
        raise MeasureError("too_few_points", count=float(times.size), least=5.0)
    since = times - float(np.median(times[:3]))
    start = float(np.median(signal[:3]))
    smooth = running_median(signal)
    target = start + float(np.log(fraction))
    below = smooth <= target
    stays = below[:-2] & below[1:-1] & below[2:]
    lowest = float(np.exp(smooth.min() - start))
    watched = float(since[-1])
    if not stays.any():
        return Clearance(None, "right", watched, lowest, fraction)
    i = int(np.argmax(stays))
    if i == 0:
        return Clearance(max(float(since[0]), 0.0), "", watched, lowest, fraction)
    share = (smooth[i - 1] - target) / (smooth[i - 1] - smooth[i])
    reached = float(since[i - 1] + share * (since[i] - since[i - 1]))
    return Clearance(reached, "", watched, lowest, fraction)


def derived_clearance(
    decay_per_h: float, low_per_h: float, high_per_h: float, fraction: float
) -> Interval:
    """Return the test room's clearance time that follows from its decay rate.

    ``t = 60 ln(1/f)/k_e`` for a decay to zero in a mixed room; limits by the same
    formula, since it is monotone, and so with the same coverage as those of k_e.

    Args:
        decay_per_h: total decay with the device on, 1/h, positive.
        low_per_h: lower limit; at or below 0 the upper time limit is infinite.
        high_per_h: upper limit.
        fraction: target share of the start, between 0 and 1.

    Returns:
        Minutes.

    Raises:
        MeasureError: ``not_a_fraction`` or ``not_positive``.
    """
    if not 0.0 < fraction < 1.0:
        raise MeasureError("not_a_fraction", value=fraction)
    checked_positive("decay_per_h", decay_per_h)
    span = -60.0 * float(np.log(fraction))
    slowest = span / low_per_h if low_per_h > 0 else float("inf")
    return Interval(span / decay_per_h, span / high_per_h, slowest)


def plateau_clearance(
    start: float, target: float, plateau: float, decay_per_h: float
) -> float:
    """Return minutes to a level when the decay ends in a plateau.

    ``t = 60 ln[(C0 - C_ss)/(C_t - C_ss)]/k``: the mixed room's balance with a constant
    source, whose plateau is C_ss. Levels need a calibrated sensor.

    Args:
        start: concentration at the start, C0.
        target: concentration to reach, C_t, same unit.
        plateau: concentration at the end, C_ss, same unit.
        decay_per_h: total decay, 1/h.

    Raises:
        MeasureError: ``never_reached`` when the plateau is at or above the target;
            ``not_positive`` for the decay; ``start_below_target``.
    """
    checked_positive("decay_per_h", decay_per_h)
    if target <= plateau:
        raise MeasureError("never_reached", plateau=plateau, target=target)
    if start < target:
        raise MeasureError("start_below_target", start=start, target=target)
    return 60.0 * float(np.log((start - plateau) / (target - plateau))) / decay_per_h


def room_clearance(
    cadr_m3h: float, volume_m3: float, fraction: float, other_per_h: float = 0.0
) -> float:
    """Return minutes to a fraction in a room of the reader's own.

    ``t = 60 ln(1/f)/(CADR/V + lambda_other)``; perfect mixing, no source, and not the
    time observed in the test room.

    Args:
        cadr_m3h: clean air delivery rate, m3/h.
        volume_m3: the room's volume, m3.
        fraction: target share of the start, between 0 and 1.
        other_per_h: other losses, 1/h.

    Raises:
        MeasureError: ``not_a_fraction``, ``not_positive`` or ``never_reached``.
    """
    if not 0.0 < fraction < 1.0:
        raise MeasureError("not_a_fraction", value=fraction)
    rate = cadr_m3h / checked_positive("volume_m3", volume_m3) + checked_positive(
        "other_per_h", other_per_h, zero=True
    )
    if not rate > 0:
        raise MeasureError("never_reached", rate_per_h=rate)
    return -60.0 * float(np.log(fraction)) / rate


def agency_clearance(air_changes_per_h: float, removed: float) -> float:
    """Return minutes to remove a share of the particles at an air change rate.

    ``t = 60 ln(1/(1 - E))/ACH``: the formula behind table S3-1 of MMWR 1994;43(RR-13),
    which equals it rounded to whole minutes. Perfect mixing; the source multiplies by
    a mixing factor that "could be as high as 10".

    Args:
        air_changes_per_h: air changes, 1/h.
        removed: share removed, between 0 and 1 (0.99 for 99 %).

    Raises:
        MeasureError: ``not_a_fraction`` or ``not_positive``.
    """
    if not 0.0 < removed < 1.0:
        raise MeasureError("not_a_fraction", value=removed)
    checked_positive("air_changes_per_h", air_changes_per_h)
    return -60.0 * float(np.log1p(-removed)) / air_changes_per_h


def median_clearance(runs: list[Clearance]) -> Clearance:
    """Return the middle of several runs' observed times.

    A time not reached counts as longer than any that was reached. When the middle
    falls on a censored run, so is the result: more than the shortest time watched
    among the censored ones.

    Raises:
        MeasureError: ``too_few_values`` for an empty list; ``targets_differ``.
    """
    if not runs:
        raise MeasureError("too_few_values", what="clearance", count=0.0, least=1.0)
    if len({run.fraction for run in runs}) > 1:
        raise MeasureError("targets_differ")
    reached = sorted(run.minutes for run in runs if run.minutes is not None)
    lowest = min(run.lowest_fraction for run in runs)
    watched = min(run.at_min for run in runs)
    upper = len(runs) // 2
    lower = (len(runs) - 1) // 2
    fraction = runs[0].fraction
    if upper < len(reached):
        middle = 0.5 * (reached[lower] + reached[upper])
        return Clearance(middle, "", watched, lowest, fraction)
    held = min(run.at_min for run in runs if run.minutes is None)
    return Clearance(None, "right", held, lowest, fraction)
