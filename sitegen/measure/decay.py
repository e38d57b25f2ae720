"""One run's decay: window, combined and per-instrument fits, flags, clearance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats, checked_times
from sitegen.measure.clearance import Clearance, observed_clearance
from sitegen.measure.estimate import Z95, DecayEstimate
from sitegen.measure.fit import Coefficient, SlopeFit
from sitegen.measure.flags import Flag, Validity, overall_validity
from sitegen.measure.plain import PlainFit, ols_fit
from sitegen.measure.run_checks import fraction_flags
from sitegen.measure.run_data import RunData, RunKind, Sensor
from sitegen.measure.run_series import Fitted, FractionSeries, fit_all, unfit
from sitegen.measure.signal import log_signal, sensor_mean
from sitegen.measure.step import Step
from sitegen.measure.window import (
    CEILING_SHARE,
    Window,
    before_floor,
    find_window,
    fixed_window,
    window_start,
)


@dataclass(frozen=True, slots=True)
class DecayFit:
    """One decay rate with everything published beside it.

    Attributes:
        fit: the headline fit; its own limits leave the zero offset's uncertainty out.
        plain: ordinary least squares over the same points.
        zero_offset: what was subtracted; None for the combined signal.
        zero_u_per_h: standard uncertainty of k from the zero offsets', 1/h.
        decay_low: lower 95 % limit with the zero-offset term in quadrature, 1/h.
        decay_high: upper limit.
    """

    fit: SlopeFit
    plain: PlainFit
    zero_offset: float | None
    zero_u_per_h: float
    decay_low: float
    decay_high: float

    def estimate(self) -> DecayEstimate:
        """Return what CADR and pooling need of it."""
        return DecayEstimate(
            self.fit.decay_per_h,
            self.fit.sd_per_h,
            self.fit.low_per_h,
            self.fit.high_per_h,
            self.zero_u_per_h,
        )


@dataclass(frozen=True, slots=True, eq=False)
class FractionFit:
    """One fraction of one run.

    Attributes:
        window: the readings fitted; indices are those of the run's arrays.
        combined: the fit of the sensors' mean, which results rest on.
        instruments: each instrument's own fit, as a check.
        elapsed_min: minutes in the window at which any sensor has a reading, (n,).
        log_mean: the mean ln signal there, shape (n,).
        residual: its residuals from the headline line, shape (n,).
        level: each instrument's ln level over the mean; absent when not in the mean.
        curvature: relative change of the decay over the window, 2cT/k with the plain
            fit's k; None with fewer than 5 points.
        step: the step that stands out most; None with fewer than 8 points.
        early: fit of the window's first third, for ``result_flags.off_flag``; None
            when it is too short.
        clearance: observed clearance from the window's start; None when there are
            too few readings.
        start_level: geometric mean over the sensors of the median of the first three
            readings, in the sensors' unit.
        start_in_range: whether that is in the method's start range.
        flags: every rule's outcome.
        validity: what the raised flags make of the run.
    """

    window: Window
    combined: DecayFit
    instruments: Mapping[str, DecayFit]
    elapsed_min: Floats
    log_mean: Floats
    residual: Floats
    level: Mapping[str, float]
    curvature: Coefficient | None
    step: Step | None
    early: SlopeFit | None
    clearance: Clearance | None
    start_level: float
    start_in_range: bool
    flags: tuple[Flag, ...]
    validity: Validity


@dataclass(frozen=True, slots=True, eq=False)
class RunFit:
    """One run.

    Attributes:
        kind: ``decay`` or ``natural``.
        window: the run's window, found on the primary fraction or fixed.
        fractions: each fraction that could be fitted, in the input's order.
        failures: ``FRACTION`` or ``INSTRUMENT.FRACTION`` to the code of the reason
            why it could not be fitted.
    """

    kind: RunKind
    window: Window
    fractions: Mapping[str, FractionFit]
    failures: Mapping[str, str]


def fit_run(data: RunData) -> RunFit:
    """Fit every fraction of a run.

    The model of a run is a mixed room with first-order losses, ``dC/dt = S - k C``
    with S small against k C in the window; k is the slope of ln C (``fit_slopes``).

    Args:
        data: times in minutes, readings in the sensors' unit, and what the method
            prescribes.

    Raises:
        MeasureError: ``no_primary_fraction``, ``lengths_differ``,
            ``time_not_increasing``, ``not_finite``, ``window_empty``,
            ``no_readings``, ``too_few_points`` or ``constant_series`` when the
            primary fraction cannot be fitted. Another fraction's or a single
            instrument's failure is reported in ``failures``.
    """
    t_min = checked_times(data.elapsed_min)
    names = fraction_names(data)
    primary = data.method.primary_fraction
    if primary not in names:
        raise MeasureError("no_primary_fraction", fraction=primary)
    window = _run_window(data, t_min)
    failures: dict[str, str] = {}
    series: dict[str, FractionSeries] = {}
    for name in names:
        try:
            series[name] = _series(data, t_min, name, window)
        except MeasureError as error:
            if name == primary:
                raise
            failures[name] = error.code
    fitted, zero = fit_all(t_min, series, failures)
    fractions = {
        name: _fraction(
            data,
            t_min,
            part,
            fitted=fitted[name],
            zero=zero[name],
            run_window=window,
        )
        for name, part in series.items()
    }
    return RunFit(data.kind, window, fractions, failures)


def fraction_names(data: RunData) -> tuple[str, ...]:
    """Return the fractions that any instrument has, in order of first appearance."""
    return tuple(dict.fromkeys(f for parts in data.readings.values() for f in parts))


def sensor_of(data: RunData, instrument: str, fraction: str) -> Sensor:
    """Return what is known of an instrument's fraction."""
    return data.sensors.get(instrument, {}).get(fraction, Sensor())


def _net(data: RunData, t_min: Floats, fraction: str) -> tuple[list[str], Floats]:
    """Return instruments and readings less zero offsets, shape (sensors, n)."""
    names = [name for name, parts in data.readings.items() if fraction in parts]
    rows = []
    for name in names:
        values = np.asarray(data.readings[name][fraction], dtype=np.float64)
        if values.shape != t_min.shape:
            raise MeasureError("lengths_differ", instrument=name, fraction=fraction)
        rows.append(values - sensor_of(data, name, fraction).zero_offset)
    return names, np.stack(rows)


def _floors(data: RunData, names: list[str], fraction: str) -> Floats:
    return np.array([sensor_of(data, name, fraction).floor for name in names])


def _last_high(data: RunData, t_min: Floats, fraction: str) -> float | None:
    """Return the last minute at which a reading is near its sensor's ceiling."""
    last: float | None = None
    for name, parts in data.readings.items():
        ceiling = sensor_of(data, name, fraction).ceiling
        if fraction not in parts or not ceiling:
            continue
        near = np.flatnonzero(np.asarray(parts[fraction]) >= CEILING_SHARE * ceiling)
        if near.size:
            at = float(t_min[near[-1]])
            last = at if last is None else max(last, at)
    return last


def _run_window(data: RunData, t_min: Floats) -> Window:
    """Find the run's window on the primary fraction."""
    if data.fixed_window_min is not None:
        return fixed_window(t_min, data.fixed_window_min)
    primary = data.method.primary_fraction
    names, net = _net(data, t_min, primary)
    high = _last_high(data, t_min, primary)
    start_min, _ = window_start(t_min, data.method, data.events, high)
    # Sensors' levels are found on what can be in the window, so that readings before
    # the start, when the room is not yet mixed, do not enter.
    logs = log_signal(np.where(t_min >= start_min - 1e-9, net, np.nan))
    if np.isnan(logs).all() and np.any(net > 0.0):
        raise MeasureError("window_empty", start_min=start_min)
    return find_window(
        data.kind,
        t_min,
        sensor_mean(logs).mean,
        data.method,
        events=data.events,
        last_high_min=high,
        floor_last=before_floor(t_min, net, _floors(data, names, primary), start_min),
    )


def _series(
    data: RunData, t_min: Floats, fraction: str, window: Window
) -> FractionSeries:
    """Cut one fraction to its window and average its sensors."""
    names, net = _net(data, t_min, fraction)
    floors = _floors(data, names, fraction)
    if window.end_rule != "fixed":
        last = before_floor(t_min, net, floors, window.start_min)
        if last is not None and last < window.last:
            if last < window.first + 2:
                raise MeasureError("below_floor", fraction=fraction)
            window = replace(
                window, last=last, end_min=float(t_min[last]), end_rule="floor"
            )
    rows = slice(window.first, window.last + 1)
    logs = np.full(net.shape, np.nan)
    logs[:, rows] = log_signal(net[:, rows])
    mean = sensor_mean(logs)
    reason = unfit(mean.mean)
    if reason:
        raise MeasureError(reason, fraction=fraction)
    sensors = {name: sensor_of(data, name, fraction) for name in names}
    return FractionSeries(window, sensors, net, floors, logs, mean)


def _decay_fit(
    t_h: Floats, y: Floats, fit: SlopeFit, zero_offset: float | None, zero_u: float
) -> DecayFit:
    """Join the zero offset's term to a fit's interval."""
    term = Z95 * zero_u
    below = float(np.hypot(fit.decay_per_h - fit.low_per_h, term))
    beyond = float(np.hypot(fit.high_per_h - fit.decay_per_h, term))
    return DecayFit(
        fit=fit,
        plain=ols_fit(t_h, y),
        zero_offset=zero_offset,
        zero_u_per_h=zero_u,
        decay_low=fit.decay_per_h - below,
        decay_high=fit.decay_per_h + beyond,
    )


def _fraction(
    data: RunData,
    t_min: Floats,
    part: FractionSeries,
    *,
    fitted: Fitted,
    zero: Mapping[str, float],
    run_window: Window,
) -> FractionFit:
    """Put one fraction's result together."""
    t_h = t_min / 60.0
    mean = part.mean.mean
    combined = _decay_fit(t_h, mean, fitted.combined, None, zero[""])
    rows = list(part.sensors)
    instruments = {
        name: _decay_fit(
            t_h,
            part.logs[rows.index(name)],
            fit,
            part.sensors[name].zero_offset,
            zero[name],
        )
        for name, fit in fitted.instruments.items()
    }
    seen = ~np.isnan(mean)
    residual = mean[seen] - combined.fit.line(t_h[seen])
    start = float(np.exp(np.median(mean[seen][:3])))
    low, high = data.method.start_low, data.method.start_high
    flags = tuple(
        fraction_flags(
            data,
            t_min,
            part,
            fitted=fitted,
            residual=residual,
            run_window=run_window,
        )
    )
    return FractionFit(
        window=part.window,
        combined=combined,
        instruments=instruments,
        elapsed_min=t_min[seen],
        log_mean=mean[seen],
        residual=residual,
        level={
            name: float(part.mean.level[i])
            for i, name in enumerate(rows)
            if part.mean.used[i]
        },
        curvature=fitted.curvature,
        step=fitted.step,
        early=fitted.first,
        clearance=_clearance(data, t_min, part),
        start_level=start,
        start_in_range=(low is None or start >= low)
        and (high is None or start <= high),
        flags=flags,
        validity=overall_validity(flags),
    )


def _clearance(data: RunData, t_min: Floats, part: FractionSeries) -> Clearance | None:
    """Watch the level from the window's start to the end of the record."""
    first = part.window.first
    logs = log_signal(part.net[:, first:])
    try:
        return observed_clearance(
            t_min[first:], sensor_mean(logs).mean, data.method.clearance_fraction
        )
    except MeasureError as error:
        if error.code == "too_few_points":
            return None
        raise
