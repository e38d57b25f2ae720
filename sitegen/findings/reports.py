"""One run's report: its decay, the natural decay taken off, its CADR, its checks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sitegen.findings.fitted import ALL, RunFound, Slope, flag_view
from sitegen.findings.index import RunEntry, days_apart
from sitegen.findings.views import DecayReport, FlagView, RunRow, Validity
from sitegen.measure.cadr import Cadr, Room, cadr_of_run, default_linearity
from sitegen.measure.estimate import DecayEstimate
from sitegen.measure.flags import Flag
from sitegen.measure.natural import NaturalDecay, pool_natural
from sitegen.measure.result_flags import (
    airflow_flag,
    cadr_zero_flag,
    natural_flags,
    natural_width_flag,
    volume_flag,
)

_WORST: tuple[Validity, ...] = ("rated", "notes", "not_rated")


@dataclass(frozen=True, slots=True)
class RoomFigures:
    """What CADR needs of room and method.

    Attributes:
        volume_m3: net volume.
        volume_u_m3: its standard uncertainty.
        linearity_u: relative standard uncertainty of the response exponent, or
            nothing when it was never checked.
        natural_valid_days: how long a natural decay counts, days.
        primary_fraction: the fraction that results are headed by.
    """

    volume_m3: float
    volume_u_m3: float
    linearity_u: float | None
    natural_valid_days: int
    primary_fraction: str

    @property
    def room(self) -> Room:
        """Return the room as ``measure`` takes it."""
        return Room(self.volume_m3, self.volume_u_m3)

    def linearity(self, sensors: int) -> float:
        """Return u_p for the mean of some sensors."""
        if self.linearity_u is not None:
            return self.linearity_u
        return default_linearity(max(sensors, 1))


@dataclass(frozen=True, slots=True)
class DecayCase:
    """A decay run with all that its report needs.

    Attributes:
        entry: the run.
        found: what its series says.
        naturals: the natural decays to subtract, with what their series say.
        figures: room and method.
        decided: whether the record holds a decision of the tester.
        airflow_m3h: airflow measured at the same setting, or nothing.
    """

    entry: RunEntry
    found: RunFound
    naturals: tuple[tuple[RunEntry, RunFound], ...]
    figures: RoomFigures
    decided: bool
    airflow_m3h: float | None


def estimate_of(slope: Slope) -> DecayEstimate:
    """Return a slope as ``measure`` takes it."""
    return DecayEstimate(
        slope.decay_per_h,
        slope.sd_per_h,
        slope.low_per_h,
        slope.high_per_h,
        slope.zero_u_per_h,
    )


def pooled_natural(
    naturals: Sequence[tuple[RunEntry, RunFound]], fraction: str, instrument: str = ALL
) -> NaturalDecay | None:
    """Return the pooled natural decay of a fraction; nothing without a usable run."""
    usable = [
        estimate_of(slope)
        for _, slope in usable_naturals(naturals, fraction, instrument)
    ]
    return pool_natural(usable) if usable else None


def usable_naturals(
    naturals: Sequence[tuple[RunEntry, RunFound]], fraction: str, instrument: str = ALL
) -> list[tuple[RunEntry, Slope]]:
    """Return the natural runs that enter the pooled natural decay, with their rates.

    Runs that are not rated (too few points, no fall) do not enter.
    """
    return [
        (entry, slope)
        for entry, found in naturals
        if (slope := found.slope(fraction, instrument)) is not None
        and (checks := found.check(fraction)) is not None
        and checks.validity != "not_rated"
    ]


def worst(validities: Sequence[Validity]) -> Validity:
    """Return the worst of several validities; ``rated`` for none."""
    return max(validities, key=_WORST.index, default="rated")


def raised(flags: Sequence[FlagView]) -> tuple[str, ...]:
    """Return the codes of raised flags, each once, in order of appearance."""
    return tuple(dict.fromkeys(flag.code for flag in flags if flag.raised))


def _views(flags: Sequence[Flag], *, decided: bool) -> tuple[FlagView, ...]:
    return tuple(flag_view(flag, decided=decided and flag.decide) for flag in flags)


def decay_report(case: DecayCase) -> DecayReport:
    """Return the report of a run with the device on."""
    found, figures = case.found, case.figures
    rows: list[RunRow] = []
    primary_flags: tuple[FlagView, ...] = ()
    primary_validity: Validity = "not_rated"
    for checks in found.checks:
        fraction = checks.fraction
        natural = pooled_natural(case.naturals, fraction)
        slope = found.slope(fraction)
        if slope is None:
            continue
        cadr = _cadr(slope, natural, figures, checks.sensors)
        flags = (
            *(replace(f, decided=case.decided and f.decide) for f in checks.flags),
            *_result_flags(case, natural, cadr),
        )
        validity = worst([flag.validity for flag in flags if flag.raised])
        if fraction == figures.primary_fraction:
            primary_flags, primary_validity = flags, validity
        rows += _rows(case, fraction, validity, raised(flags), natural, cadr)
    primary = found.check(figures.primary_fraction)
    return DecayReport(
        run=case.entry.id,
        kind=case.entry.kind,
        validity=primary_validity,
        error=found.error,
        rows=tuple(rows) or (_empty_row(case.entry, figures.primary_fraction),),
        flags=primary_flags,
        clearance=primary.clearance if primary else None,
        natural_runs=tuple(entry.id for entry, _ in case.naturals),
        window_start_rule=found.start_rule,
        window_end_rule=found.end_rule,
    )


def natural_report(
    entry: RunEntry, found: RunFound, primary_fraction: str, *, decided: bool
) -> DecayReport:
    """Return the report of a natural-decay run."""
    rows: list[RunRow] = []
    flags: tuple[FlagView, ...] = ()
    validity: Validity = "not_rated"
    for checks in found.checks:
        own = tuple(replace(f, decided=decided and f.decide) for f in checks.flags)
        if checks.fraction == primary_fraction:
            flags, validity = own, checks.validity
        rows += [
            _row(entry, slope, checks.validity, raised(own))
            for slope in found.slopes
            if slope.fraction == checks.fraction
        ]
    return DecayReport(
        run=entry.id,
        kind=entry.kind,
        validity=validity,
        error=found.error,
        rows=tuple(rows) or (_empty_row(entry, primary_fraction),),
        flags=flags,
        clearance=None,
        natural_runs=(),
        window_start_rule=found.start_rule,
        window_end_rule=found.end_rule,
    )


def _cadr(
    slope: Slope, natural: NaturalDecay | None, figures: RoomFigures, sensors: int
) -> Cadr | None:
    if natural is None:
        return None
    return cadr_of_run(
        estimate_of(slope), natural.estimate, figures.room, figures.linearity(sensors)
    )


def _result_flags(
    case: DecayCase, natural: NaturalDecay | None, cadr: Cadr | None
) -> tuple[FlagView, ...]:
    ages = [float(days_apart(entry.day, case.entry.day)) for entry, _ in case.naturals]
    flags = list(
        natural_flags(
            ages if natural is not None else [], case.figures.natural_valid_days
        )
    )
    if natural is not None and cadr is not None:
        flags += [
            cadr_zero_flag(cadr),
            volume_flag(cadr),
            airflow_flag(cadr.cadr_m3h, case.airflow_m3h),
        ]
        if cadr.cadr_m3h:
            flags.append(
                natural_width_flag(
                    natural.estimate, case.figures.volume_m3, cadr.cadr_m3h
                )
            )
    return _views(flags, decided=case.decided)


def _rows(
    case: DecayCase,
    fraction: str,
    validity: Validity,
    flags: tuple[str, ...],
    natural: NaturalDecay | None,
    cadr: Cadr | None,
) -> list[RunRow]:
    rows = []
    for slope in case.found.slopes:
        if slope.fraction != fraction:
            continue
        own_natural, own_cadr = natural, cadr
        if slope.instrument != ALL:
            own_natural = pooled_natural(case.naturals, fraction, slope.instrument)
            own_cadr = _cadr(slope, own_natural, case.figures, 1)
        row = _row(case.entry, slope, validity, flags)
        if own_natural is not None and own_cadr is not None:
            row = replace(
                row,
                natural_per_h=own_natural.estimate.decay_per_h,
                natural_sd_per_h=own_natural.estimate.sd_per_h,
                cadr_m3h=own_cadr.cadr_m3h,
                cadr_low=own_cadr.low_m3h,
                cadr_high=own_cadr.high_m3h,
            )
        rows.append(row)
    return rows


def _row(
    entry: RunEntry, slope: Slope, validity: Validity, flags: tuple[str, ...]
) -> RunRow:
    return replace(
        _empty_row(entry, slope.fraction),
        validity=validity,
        instrument=slope.instrument,
        points=slope.points,
        window_start_min=slope.start_min,
        window_end_min=slope.end_min,
        zero_offset=slope.zero_offset,
        decay_per_h=slope.decay_per_h,
        decay_sd_per_h=slope.sd_per_h,
        decay_low=slope.decay_low,
        decay_high=slope.decay_high,
        plain_decay_per_h=slope.plain_per_h,
        plain_se_per_h=slope.plain_se_per_h,
        r_squared=slope.r_squared,
        flags=flags,
    )


def _empty_row(entry: RunEntry, fraction: str) -> RunRow:
    return RunRow(
        run=entry.id,
        kind=entry.kind,
        device=entry.device,
        filter=entry.filter,
        speed=entry.speed,
        method=entry.method,
        date=entry.day,
        status=entry.status,
        validity="not_rated",
        instrument=ALL,
        fraction=fraction,
        points=0,
    )
