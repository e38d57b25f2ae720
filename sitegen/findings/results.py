"""A configuration's result under one method: its runs pooled, nothing left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sitegen.findings.fitted import OBSERVED_WIDER, RunFound
from sitegen.findings.index import RunEntry
from sitegen.findings.reports import (
    RoomFigures,
    estimate_of,
    pooled_natural,
    usable_naturals,
    worst,
)
from sitegen.findings.views import DecayReport, Interval, ResultRow, Validity
from sitegen.measure.cadr import Cadr, combined_cadr
from sitegen.measure.clearance import derived_clearance
from sitegen.measure.estimate import DecayEstimate
from sitegen.measure.outliers import StandsOff, standing_off
from sitegen.measure.ranking import NaturalShare
from sitegen.measure.repeatability import Repeatability, is_variable
from sitegen.measure.result_flags import cadr_zero_flag, outlier_flag


@dataclass(frozen=True, slots=True)
class PooledRun:
    """One run with what pooling needs.

    Attributes:
        entry: the run.
        found: what its series says.
        report: its report.
        decided: whether the record holds a decision of the tester.
    """

    entry: RunEntry
    found: RunFound
    report: DecayReport
    decided: bool = False

    def validity(self, fraction: str) -> Validity:
        """Return its validity for a fraction."""
        for row in self.report.rows:
            if (row.instrument, row.fraction) == ("all", fraction):
                return row.validity
        return "not_rated"

    def flags(self, fraction: str) -> tuple[str, ...]:
        """Return the flags raised for a fraction."""
        for row in self.report.rows:
            if (row.instrument, row.fraction) == ("all", fraction):
                return row.flags
        return ()


@dataclass(frozen=True, slots=True)
class Outlying:
    """A run that stands off from the other repeats; it stays in the result.

    Attributes:
        run: its id.
        rule: ``grubbs`` or ``robust``.
        statistic: how far it is off, in the rule's own measure.
        limit: what that exceeds.
        included: CADR with it, as published, m³/h.
        excluded: CADR without it.
        decided: whether the run's record holds a decision of the tester.
    """

    run: str
    rule: str
    statistic: float
    limit: float
    included: Interval
    excluded: Interval
    decided: bool


@dataclass(frozen=True, slots=True)
class Pooled:
    """A configuration's pooled decay result.

    Attributes:
        row: the row of ``results.csv``, without sound, power, costs and rank.
        specimens: units that the runs were made with.
        each_m3h: CADR of every pooled run, for repeatability and ratios.
        stat_low: lower 95 % limit without what all devices in the room share.
        stat_high: upper limit, likewise.
        target: share of the start that counts as cleared.
        natural: what the natural decay taken off does to it, or nothing without one.
        outlying: the repeat that stands off from the others, or nothing.
        told: whether every run by itself can tell its CADR from zero.
    """

    row: ResultRow
    specimens: tuple[str, ...]
    each_m3h: tuple[float, ...]
    stat_low: float | None
    stat_high: float | None
    target: float
    natural: NaturalShare | None = None
    outlying: Outlying | None = None
    told: bool = True


def pool(
    runs: Sequence[PooledRun],
    naturals: Mapping[str, tuple[RunEntry, RunFound]],
    fraction: str,
    figures: RoomFigures,
    adopted: Repeatability | None,
    target: float,
) -> Pooled:
    """Return the result of one configuration, method and fraction.

    Rejected and superseded runs and those not rated do not enter the number; when
    none is left the row stands all the same, without a CADR. k_e is pooled, and the
    natural decay pooled over all natural runs concerned is subtracted once.

    Args:
        runs: every decay run of the configuration under the method.
        naturals: natural decays by id.
        fraction: size fraction.
        figures: room and method.
        adopted: the method's adopted repeatability, if any.
        target: share of the start that counts as cleared.
    """
    counted = [
        run
        for run in runs
        if run.entry.counts
        and run.validity(fraction) != "not_rated"
        and run.found.slope(fraction) is not None
    ]
    shown = counted or [run for run in runs if run.entry.counts] or list(runs)
    first = runs[0].entry
    flags = tuple(dict.fromkeys(f for run in shown for f in run.flags(fraction)))
    ids = tuple(run.entry.id for run in counted)
    bare = ResultRow(
        device=first.device,
        filter=first.filter,
        speed=first.speed,
        method=first.method,
        fraction=fraction,
        runs=len(counted),
        run_ids=ids,
        validity="not_rated",
        flags=flags,
    )
    specimens = tuple(sorted({run.entry.specimen for run in shown}))
    used = sorted({name for run in counted for name in run.report.natural_runs})
    off = [naturals[name] for name in used if name in naturals]
    natural = pooled_natural(off, fraction)
    if not counted or natural is None:
        return Pooled(bare, specimens, (), None, None, target)
    each = tuple(
        figures.volume_m3 * (rate - natural.estimate.decay_per_h)
        for run in counted
        if (rate := _rate(run, fraction)) is not None
    )
    variable = _variable(each, adopted)
    if variable:
        flags = (*flags, "VARIABLE")
    checks = [run.found.check(fraction) for run in counted]
    sensors = min((c.sensors for c in checks if c is not None), default=1)
    slopes = [run.found.slope(fraction) for run in counted]
    rates = [estimate_of(slope) for slope in slopes if slope is not None]

    def combined(of: Sequence[DecayEstimate], *, variable: bool) -> Cadr:
        return combined_cadr(
            of,
            natural.estimate,
            figures.room,
            figures.linearity(sensors),
            adopted=adopted,
            variable=variable,
        )

    cadr = combined(rates, variable=variable)
    validity = worst([run.validity(fraction) for run in counted])
    zero = cadr_zero_flag(cadr)
    # What a single run could not tell, or told otherwise, the pooled interval decides.
    flags = tuple(code for code in flags if code != zero.code)
    if zero.raised:
        flags = (*flags, zero.code)
        validity = worst([validity, zero.validity])
    if variable:
        validity = worst([validity, "notes"])
    found, outlying = standing_off(each, adopted), None
    off_flag = outlier_flag(found)
    if found is not None and off_flag.raised:
        flags = (*flags, off_flag.code)
        validity = worst([validity, off_flag.validity])
        at = found.index
        still = _variable((*each[:at], *each[at + 1 :]), adopted)
        rest = combined((*rates[:at], *rates[at + 1 :]), variable=still)
        outlying = _outlying(counted[at], found, cadr, rest)
    minutes, low, high, basis = _clearance(counted, fraction, cadr, target)
    row = replace(
        bare,
        validity=validity,
        flags=flags,
        cadr_m3h=cadr.cadr_m3h,
        cadr_low=cadr.low_m3h,
        cadr_high=cadr.high_m3h,
        cadr_basis=cadr.basis,
        decay_per_h=cadr.decay_per_h,
        natural_per_h=natural.estimate.decay_per_h,
        clearance_min=minutes,
        clearance_low=low,
        clearance_high=high,
        clearance_basis=basis,
    )
    k_n = natural.estimate
    share = NaturalShare(
        figures.volume_m3 * 0.5 * (k_n.high_per_h - k_n.low_per_h),
        tuple(entry.id for entry, _ in usable_naturals(off, fraction)),
    )
    return Pooled(
        row,
        specimens,
        each,
        cadr.stat_low_m3h,
        cadr.stat_high_m3h,
        target,
        share,
        outlying,
        all("CADR_ZERO" not in run.flags(fraction) for run in counted),
    )


def _variable(each: Sequence[float], adopted: Repeatability | None) -> bool:
    """Tell whether repeats scatter more than the adopted repeatability allows."""
    if adopted is None or not all(value > 0 for value in each):
        return False
    return is_variable(each, adopted)


def _outlying(run: PooledRun, found: StandsOff, cadr: Cadr, rest: Cadr) -> Outlying:
    """Return the run that stands off, with the CADR with and without it."""
    return Outlying(
        run=run.entry.id,
        rule=found.rule,
        statistic=found.statistic,
        limit=found.limit,
        included=Interval(cadr.cadr_m3h, cadr.low_m3h, cadr.high_m3h),
        excluded=Interval(rest.cadr_m3h, rest.low_m3h, rest.high_m3h),
        decided=run.decided,
    )


def _rate(run: PooledRun, fraction: str) -> float | None:
    slope = run.found.slope(fraction)
    return None if slope is None else slope.decay_per_h


def _clearance(
    runs: Sequence[PooledRun], fraction: str, cadr: Cadr, target: float
) -> tuple[float | None, float | None, float | None, str]:
    """Return clearance time, limits and basis of pooled runs.

    Observed when every run reached the target (the median of their times); modelled
    from the pooled decay when every run has a time and not all were observed; not
    reached when any run is without: the lower limit is then the time for which every
    one of those was watched in vain. Bases are never mixed.
    """
    found = [
        checks.clearance
        for run in runs
        if (checks := run.found.check(fraction)) is not None and checks.clearance
    ]
    vain = [c.within_min for c in found if c.basis == "not-reached"]
    if vain or len(found) < len(runs):
        watched = min((each for each in vain if each is not None), default=None)
        return None, watched, None, "not-reached" if found else ""
    if cadr.decay_per_h <= 0:
        return None, None, None, "not-reached"
    modelled = derived_clearance(
        cadr.decay_per_h, cadr.decay_low_per_h, cadr.decay_high_per_h, target
    )
    high = modelled.high if np.isfinite(modelled.high) else None
    if all(c.basis == "observed" for c in found):
        middle = float(np.median([c.minutes for c in found if c.minutes is not None]))
        low = middle - OBSERVED_WIDER * (modelled.value - modelled.low)
        top = (
            None if high is None else middle + OBSERVED_WIDER * (high - modelled.value)
        )
        return middle, max(low, 0.0), top, "observed"
    return modelled.value, modelled.low, high, "modelled"
