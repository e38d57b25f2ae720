"""From records and a series to one run's fit, as data that can be stored."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sitegen.errors import MeasureError
from sitegen.findings.views import (
    Clearance,
    FlagView,
    RunCurve,
    SensorCurve,
    Validity,
)
from sitegen.measure import run_data as measured
from sitegen.measure.arrays import Floats
from sitegen.measure.clearance import derived_clearance
from sitegen.measure.decay import DecayFit, FractionFit, RunFit, fit_run
from sitegen.measure.flags import Flag
from sitegen.model import DecayMethod, DecayRun, Instrument, NaturalDecayRun
from sitegen.model.bench import Calibration
from sitegen.model.series import Series

ALL = "all"
OBSERVED_WIDER = 0.50 / 0.36
FURTHEST = 2.0


@dataclass(frozen=True, slots=True)
class FitSetup:
    """Everything but the readings that a run's fit depends on; plain picklable data.

    Attributes:
        kind: ``decay`` or ``natural``.
        method: what the method prescribes.
        sensors: instrument to fraction to its properties on the day of the run.
        units: instrument to fraction to unit of the readings.
        events: what the tester noted.
        conditions: the room.
        fixed_window_min: the record's own window, or nothing.
    """

    kind: measured.RunKind
    method: measured.DecayMethod
    sensors: Mapping[str, Mapping[str, measured.Sensor]]
    units: Mapping[str, Mapping[str, str]]
    events: tuple[measured.Event, ...]
    conditions: measured.Conditions
    fixed_window_min: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Slope:
    """The decay rate of one instrument and fraction, or of all instruments together.

    Attributes:
        instrument: its id, or ``all``.
        fraction: size fraction.
        points: readings fitted.
        start_min: first minute of the fitted part.
        end_min: last minute of the fitted part.
        zero_offset: what was subtracted; nothing for ``all``.
        zero_u_per_h: standard uncertainty of the rate from the zero offsets', 1/h.
        decay_per_h: decay rate, 1/h.
        sd_per_h: standard deviation of its posterior, 1/h.
        low_per_h: lower 95 % limit of the fit alone.
        high_per_h: upper 95 % limit of the fit alone.
        decay_low: lower 95 % limit with the zero offset's uncertainty.
        decay_high: upper 95 % limit with the zero offset's uncertainty.
        plain_per_h: ordinary least squares over the same points.
        plain_se_per_h: its standard error, independent readings assumed.
        r_squared: its coefficient of determination.
    """

    instrument: str
    fraction: str
    points: int
    start_min: float
    end_min: float
    zero_offset: float | None
    zero_u_per_h: float
    decay_per_h: float
    sd_per_h: float
    low_per_h: float
    high_per_h: float
    decay_low: float
    decay_high: float
    plain_per_h: float
    plain_se_per_h: float
    r_squared: float


@dataclass(frozen=True, slots=True)
class FractionChecks:
    """The outcome of a fraction's checks.

    Attributes:
        fraction: size fraction.
        flags: every check, raised or not.
        validity: worst validity of the raised ones.
        clearance: observed or modelled clearance time of a decay run.
        sensors: how many instruments were averaged.
    """

    fraction: str
    flags: tuple[FlagView, ...]
    validity: Validity
    clearance: Clearance | None
    sensors: int


@dataclass(frozen=True, slots=True)
class RunFound:
    """What one run's series says, before any other run is looked at.

    Attributes:
        error: code of why nothing could be fitted, or ``""``.
        start_rule: code of what decided the start of the fitted part.
        end_rule: code of what decided its end.
        slopes: decay rates, ``all`` first, by fraction.
        checks: outcome of the checks, by fraction.
        failures: ``FRACTION`` or ``INSTRUMENT.FRACTION`` and the code of why.
        curves: for drawing.
    """

    error: str
    start_rule: str
    end_rule: str
    slopes: tuple[Slope, ...]
    checks: tuple[FractionChecks, ...]
    failures: tuple[tuple[str, str], ...]
    curves: tuple[RunCurve, ...] = ()

    def without_curves(self) -> RunFound:
        """Return the same without what only drawing needs."""
        return RunFound(
            self.error,
            self.start_rule,
            self.end_rule,
            self.slopes,
            self.checks,
            self.failures,
        )

    def slope(self, fraction: str, instrument: str = ALL) -> Slope | None:
        """Return the decay rate of a fraction and instrument, if there is one."""
        for slope in self.slopes:
            if (slope.fraction, slope.instrument) == (fraction, instrument):
                return slope
        return None

    def check(self, fraction: str) -> FractionChecks | None:
        """Return the checks of a fraction, if it was fitted."""
        for checks in self.checks:
            if checks.fraction == fraction:
                return checks
        return None


def calibration_on(instrument: Instrument, day: dt.date) -> Calibration | None:
    """Return the calibration in force on a day: the last one not after it."""
    before = [entry for entry in instrument.calibrations if entry.date <= day]
    return max(before, key=lambda entry: entry.date) if before else None


def fit_setup(
    run: DecayRun | NaturalDecayRun,
    method: DecayMethod,
    instruments: Mapping[str, Instrument],
) -> FitSetup:
    """Return what a run's fit depends on beside its readings."""
    day = run.started.date()
    conditions = run.conditions
    door = conditions.door == "opened" or any(e.what == "door" for e in run.events)
    window = run.window_min
    start = method.start_range
    return FitSetup(
        kind="decay" if isinstance(run, DecayRun) else "natural",
        method=measured.DecayMethod(
            primary_fraction=method.primary_fraction,
            mixing_wait_min=method.mixing_wait_min,
            mixing_efold_s=method.mixing_efold_s,
            start_low=start.low if start else None,
            start_high=start.high if start else None,
            clearance_fraction=method.clearance_target,
            longest_min=method.longest_min,
            natural_min=method.natural_min,
        ),
        sensors={
            name: _sensors(instrument, day) for name, instrument in instruments.items()
        },
        units={
            name: {str(key): part.unit for key, part in instrument.fractions.items()}
            for name, instrument in instruments.items()
        },
        events=tuple(measured.Event(e.at_min, e.what) for e in run.events),
        conditions=measured.Conditions(
            humidity_pct=conditions.humidity_pct,
            temperature_change_k=conditions.temperature_change_k,
            door_open=door,
        ),
        fixed_window_min=(window.start, window.end) if window else None,
    )


def _sensors(instrument: Instrument, day: dt.date) -> dict[str, measured.Sensor]:
    found = calibration_on(instrument, day)
    sensors: dict[str, measured.Sensor] = {}
    for fraction, part in instrument.fractions.items():
        zero = found.zero_offset.get(fraction) if found else None
        zero = zero or part.zero_offset
        sensors[fraction] = measured.Sensor(
            zero_offset=zero.value,
            zero_uncertainty=zero.u,
            resolution=part.resolution,
            noise=part.noise,
            ceiling=part.range,
            saturation=part.saturation,
            response_s=part.response_s,
        )
    return sensors


def fit_series(setup: FitSetup, series: Series) -> RunFound:
    """Fit one run.

    What the data cannot support is reported as ``error``, never raised: a run whose
    series allows no fit is still shown.
    """
    known = {
        name: {key: values for key, values in parts.items() if key in setup.units[name]}
        for name, parts in series.readings.items()
        if name in setup.units
    }
    data = measured.RunData(
        kind=setup.kind,
        elapsed_min=series.elapsed_min,
        readings=known,
        sensors=setup.sensors,
        method=setup.method,
        events=setup.events,
        conditions=setup.conditions,
        fixed_window_min=setup.fixed_window_min,
    )
    try:
        fit = fit_run(data)
    except MeasureError as error:
        return RunFound(error.code, "", "", (), (), (), _unfitted(setup, data))
    return RunFound(
        error="",
        start_rule=fit.window.start_rule,
        end_rule=fit.window.end_rule,
        slopes=tuple(_slopes(fit)),
        checks=tuple(
            _checks(name, part, setup) for name, part in fit.fractions.items()
        ),
        failures=tuple(sorted(fit.failures.items())),
        curves=tuple(
            _curve(name, part, setup, data) for name, part in fit.fractions.items()
        ),
    )


def _slopes(fit: RunFit) -> list[Slope]:
    slopes = []
    for fraction, part in fit.fractions.items():
        slopes.append(_slope(ALL, fraction, part, part.combined))
        slopes += [
            _slope(name, fraction, part, own) for name, own in part.instruments.items()
        ]
    return slopes


def _slope(name: str, fraction: str, part: FractionFit, found: DecayFit) -> Slope:
    return Slope(
        instrument=name,
        fraction=fraction,
        points=found.fit.n,
        start_min=part.window.start_min,
        end_min=part.window.end_min,
        zero_offset=found.zero_offset,
        zero_u_per_h=found.zero_u_per_h,
        decay_per_h=found.fit.decay_per_h,
        sd_per_h=found.fit.sd_per_h,
        low_per_h=found.fit.low_per_h,
        high_per_h=found.fit.high_per_h,
        decay_low=found.decay_low,
        decay_high=found.decay_high,
        plain_per_h=found.plain.decay_per_h,
        plain_se_per_h=found.plain.se_per_h,
        r_squared=found.plain.r_squared,
    )


def flag_view(flag: Flag, *, decided: bool = False) -> FlagView:
    """Return a check's outcome as pages show it."""
    return FlagView(
        code=flag.code,
        raised=flag.raised,
        value=flag.value,
        limit=flag.limit,
        unit=flag.unit,
        validity=flag.validity,
        decide=flag.decide,
        decided=decided,
        instrument=flag.instrument,
        about=flag.about,
        at_min=flag.at_min,
    )


def _checks(name: str, part: FractionFit, setup: FitSetup) -> FractionChecks:
    return FractionChecks(
        fraction=name,
        flags=tuple(flag_view(flag) for flag in part.flags),
        validity=part.validity,
        clearance=_clearance(part, setup) if setup.kind == "decay" else None,
        sensors=len(part.instruments),
    )


def _clearance(part: FractionFit, setup: FitSetup) -> Clearance | None:
    """Return how long the room took to clear, and on what that rests.

    Observed where the series reaches the target. The interval of an observed time is
    as wide as the modelled time's, moved to the observed one and widened by the ratio
    of their simulated scatters (0.50 min to 0.36 min). Otherwise modelled, where the
    decay is certain and the time at most ``FURTHEST`` times as long as was watched;
    otherwise not reached.
    """
    seen = part.clearance
    rate = part.combined
    modelled = None
    if rate.decay_low > 0:
        modelled = derived_clearance(
            rate.fit.decay_per_h,
            rate.decay_low,
            rate.decay_high,
            setup.method.clearance_fraction,
        )
    if seen is not None and seen.minutes is not None:
        if modelled is None:
            return Clearance(seen.minutes, None, None, "observed")
        low = seen.minutes - OBSERVED_WIDER * (modelled.value - modelled.low)
        high = seen.minutes + OBSERVED_WIDER * (modelled.high - modelled.value)
        return Clearance(seen.minutes, max(low, 0.0), high, "observed")
    if seen is None:
        watched, lowest = part.window.end_min - part.window.start_min, None
    else:
        watched, lowest = seen.at_min, seen.lowest_fraction
    if modelled is not None and modelled.value <= FURTHEST * watched:
        return Clearance(modelled.value, modelled.low, modelled.high, "modelled")
    return Clearance(None, None, None, "not-reached", watched, lowest)


def _optional(values: Floats) -> tuple[float | None, ...]:
    return tuple(None if np.isnan(value) else float(value) for value in values)


def _curve(
    name: str, part: FractionFit, setup: FitSetup, data: measured.RunData
) -> RunCurve:
    times = np.asarray(data.elapsed_min, dtype=np.float64)
    readings = {
        key: parts[name] for key, parts in data.readings.items() if name in parts
    }
    line = part.combined.fit
    logs = []
    nonpositive = 0
    read = np.zeros(times.shape, dtype=bool)
    for key, values in readings.items():
        offset = setup.sensors[key][name].zero_offset
        net = np.asarray(values, dtype=np.float64) - offset
        nonpositive += int(np.sum(net <= 0))
        read |= ~np.isnan(net)
        with np.errstate(divide="ignore", invalid="ignore"):
            own = np.where(net > 0, np.log(net), np.nan)
        logs.append(own - part.level.get(key, 0.0))
    stacked = np.stack(logs)
    present = ~np.isnan(stacked)
    count = present.sum(axis=0)
    total = np.where(present, stacked, 0.0).sum(axis=0)
    mean = np.where(count > 0, total / np.maximum(count, 1), np.nan)
    # Read, but by no sensor above its zero: nought, which is no gap.
    share_at = np.where((count == 0) & read, -np.inf, mean)
    at_start = float(line.line(np.array([part.window.start_min / 60.0]))[0])
    residual = np.full(times.shape, np.nan)
    inside = (times >= part.window.start_min) & (times <= part.window.end_min)
    residual[inside] = (mean - line.line(times / 60.0))[inside]
    first = next(iter(readings))
    return RunCurve(
        fraction=name,
        unit=setup.units[first].get(name, "ug/m3"),
        elapsed_min=tuple(float(t) for t in times),
        sensors=tuple(
            SensorCurve(
                key,
                _optional(np.asarray(values, dtype=np.float64)),
                setup.sensors[key][name].zero_offset,
                float(np.exp(at_start + part.level[key]))
                if key in part.level
                else None,
            )
            for key, values in readings.items()
        ),
        combined=_optional(np.asarray(np.exp(share_at - at_start))),
        residuals=_optional(residual),
        start_min=part.window.start_min,
        end_min=part.window.end_min,
        decay_per_h=line.decay_per_h,
        decay_low=part.combined.decay_low,
        decay_high=part.combined.decay_high,
        target=setup.method.clearance_fraction,
        nonpositive=nonpositive,
    )


def _unfitted(setup: FitSetup, data: measured.RunData) -> tuple[RunCurve, ...]:
    """Return the readings of a run that could not be fitted, so that it is shown."""
    name = setup.method.primary_fraction
    readings = {
        key: parts[name] for key, parts in data.readings.items() if name in parts
    }
    if not readings:
        return ()
    times = tuple(float(t) for t in np.asarray(data.elapsed_min))
    nothing = (None,) * len(times)
    first = next(iter(readings))
    curve = RunCurve(
        fraction=name,
        unit=setup.units[first].get(name, "ug/m3"),
        elapsed_min=times,
        sensors=tuple(
            SensorCurve(key, _optional(np.asarray(values, dtype=np.float64)))
            for key, values in readings.items()
        ),
        combined=nothing,
        residuals=nothing,
        start_min=times[0],
        end_min=times[-1],
        decay_per_h=None,
        decay_low=None,
        decay_high=None,
        target=setup.method.clearance_fraction,
    )
    return (curve,)
