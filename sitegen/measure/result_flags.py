"""Rules on a result: what a run alone cannot tell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitegen.measure.arrays import checked_positive
from sitegen.measure.cadr import Cadr
from sitegen.measure.estimate import DecayEstimate
from sitegen.measure.fit import SlopeFit
from sitegen.measure.flags import Flag, above, flag
from sitegen.measure.outliers import StandsOff


def cadr_zero_flag(cadr: Cadr) -> Flag:
    """Return CADR_ZERO: the 95 % interval includes 0.

    The value is the upper limit, m3/h, which is all that can be said.
    """
    raised = cadr.low_m3h <= 0.0 <= cadr.high_m3h
    return flag("CADR_ZERO", cadr.high_m3h, 0.0, raised, unit="m3/h")


def natural_width_flag(
    natural: DecayEstimate, volume_m3: float, cadr_m3h: float
) -> Flag:
    """Return SE_K for the natural decay: its half-width takes over 10 % of the CADR.

    Args:
        natural: the pooled natural decay.
        volume_m3: the room's volume, m3.
        cadr_m3h: the CADR that it is subtracted for, m3/h.

    Raises:
        MeasureError: ``not_positive`` for the volume.
    """
    half = 0.5 * (natural.high_per_h - natural.low_per_h)
    flow = checked_positive("volume_m3", volume_m3) * half
    share = flow / abs(cadr_m3h) if cadr_m3h else float("inf")
    return above("SE_K", share, 0.10, about="natural")


def natural_flags(
    age_days: Sequence[float | None], valid_days: float
) -> Iterator[Flag]:
    """Yield NAT_NONE, NAT_ONE and NAT_OLD.

    Args:
        age_days: days between each natural run used and the run that it is subtracted
            from, either sign, None when a date is not known.
        valid_days: how long the method lets a natural run count.
    """
    count = len(age_days)
    yield flag(
        "NAT_NONE",
        float(count),
        1.0,
        count == 0,
        unit="runs",
        validity="not_rated",
    )
    yield flag("NAT_ONE", float(count), 2.0, count == 1, unit="runs")
    oldest = max((abs(age) for age in age_days if age is not None), default=None)
    yield above("NAT_OLD", oldest, valid_days, unit="days")


def volume_flag(cadr: Cadr) -> Flag:
    """Return VOLUME: the room's volume makes up over half of the variance."""
    return above("VOLUME", cadr.volume_share, 0.5)


def airflow_flag(cadr_m3h: float, airflow_m3h: float | None) -> Flag:
    """Return AIRFLOW: more clean air than the airflow measured at the same setting.

    Args:
        cadr_m3h: m3/h.
        airflow_m3h: measured with this filter at this speed, m3/h, or None.
    """
    if airflow_m3h is None or airflow_m3h <= 0:
        return flag("AIRFLOW", None, 1.0, False, decide=True)
    return above("AIRFLOW", cadr_m3h / airflow_m3h, 1.0, decide=True)


def off_flag(early: SlopeFit | None, natural: DecayEstimate) -> Flag:
    """Return OFF, against the natural decay: the run starts no faster than that.

    Args:
        early: fit of the window's first third, or None when too short.
        natural: the pooled natural decay.
    """
    limit = natural.decay_per_h
    value = None if early is None else early.decay_per_h
    raised = value is not None and value <= limit
    return flag(
        "OFF", value, limit, raised, unit="1/h", decide=True, about="against_natural"
    )


def variable_flag(own_sd: float | None, pooled_sd: float, variable: bool) -> Flag:
    """Return VARIABLE: repeats of this configuration scatter more than the others'.

    Args:
        own_sd: standard deviation of ln(result), or None when not repeated.
        pooled_sd: the pooled repeatability.
        variable: what ``repeatability.is_variable`` says.
    """
    return flag("VARIABLE", own_sd, pooled_sd, variable)


def outlier_flag(found: StandsOff | None) -> Flag:
    """Return OUTLIER: one of the repeats stands off from the others.

    It asks the tester to look at that run; the run stays in the result.

    Args:
        found: what ``outliers.standing_off`` says of the repeats, or None.
    """
    if found is None:
        return flag("OUTLIER", None, 0.0, False, decide=True)
    return flag(
        "OUTLIER",
        found.statistic,
        found.limit,
        found.outlying,
        decide=True,
        about=found.rule,
    )
