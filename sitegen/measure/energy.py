"""Electricity of a year, and clean air for each watt."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import checked_numbers, checked_positive

DAYS_A_YEAR = 365
LABEL_HOURS_ON = 5840
LABEL_HOURS_OFF = 2920


@dataclass(frozen=True, slots=True)
class Power:
    """A mean of power readings, W.

    Attributes:
        watts: arithmetic mean.
        sd: standard deviation of the readings; None for a single one.
        readings: how many.
    """

    watts: float
    sd: float | None
    readings: int


def mean_power(readings_w: npt.ArrayLike) -> Power:
    """Return the mean of power readings.

    Args:
        readings_w: watts, shape (m,), m >= 1, not negative; of a true-power meter, at
            one speed. The deviation is of the readings, not of the mean.

    Raises:
        MeasureError: ``too_few_values``, ``not_finite`` or ``not_positive``.
    """
    watts = checked_numbers("readings_w", readings_w, 1)
    if np.any(watts < 0):
        raise MeasureError("not_positive", what="power", value=float(watts.min()))
    sd = float(watts.std(ddof=1)) if watts.size > 1 else None
    return Power(float(watts.mean()), sd, watts.size)


def year_energy_kwh(
    on_w: float, hours_on_per_day: float, standby_w: float = 0.0
) -> float:
    """Return a year's electricity, kWh.

    ``(P_on h_on + P_sb (24 - h_on)) 365/1000``: every day alike, years of 365 days.

    Args:
        on_w: power at the speed in question, W.
        hours_on_per_day: 0 to 24.
        standby_w: power when off, W.

    Raises:
        MeasureError: ``not_positive``; ``hours_out_of_range``.
    """
    checked_positive("on_w", on_w, zero=True)
    checked_positive("standby_w", standby_w, zero=True)
    if not 0.0 <= hours_on_per_day <= 24.0:
        raise MeasureError("hours_out_of_range", value=hours_on_per_day)
    day_wh = on_w * hours_on_per_day + standby_w * (24.0 - hours_on_per_day)
    return day_wh * DAYS_A_YEAR / 1000.0


def label_energy_kwh(on_w: float, standby_w: float) -> float:
    """Return a year's electricity at 16 hours a day, as US labels count it, kWh.

    ``(5840 P_on + 2920 P_sb)/1000``. Convention recalled, not read in its document:
    not to be printed as authority.

    Args:
        on_w: P_on, W.
        standby_w: P_sb, W.

    Raises:
        MeasureError: ``not_positive``.
    """
    checked_positive("on_w", on_w, zero=True)
    checked_positive("standby_w", standby_w, zero=True)
    return (on_w * LABEL_HOURS_ON + standby_w * LABEL_HOURS_OFF) / 1000.0


def label_factor_cfm_per_w(cadr_cfm: float, label_kwh: float) -> float:
    """Return clean air for each watt of the label's energy, cfm/W.

    ``CADR/(AEC 1000/5840)``, the integrated energy factor of US efficiency rules as
    described elsewhere; of this unit, and no label's figure.

    Args:
        cadr_cfm: PM2.5 CADR, cubic feet per minute.
        label_kwh: AEC, by ``label_energy_kwh``, kWh a year.

    Raises:
        MeasureError: ``not_positive``.
    """
    return cadr_cfm / (
        checked_positive("label_kwh", label_kwh) * 1000.0 / LABEL_HOURS_ON
    )


def cadr_per_watt(cadr: float, power_w: float | None) -> float | None:
    """Return clean air for each watt at the same speed, in the CADR's unit per W.

    ``CADR/P``. None where the power is missing or 0: there is nothing to divide by.

    Args:
        cadr: in any unit of flow.
        power_w: P at that speed with that filter, W.

    Raises:
        MeasureError: ``not_positive`` for a negative power.
    """
    if power_w is None or power_w == 0:
        return None
    return cadr / checked_positive("power_w", power_w)


def root_product_cadr(smoke: float, dust: float) -> float:
    """Return the geometric mean of a smoke and a dust CADR, in their unit.

    ``sqrt(smoke dust)``: how a regulated PM2.5 CADR can be stated in the US (recalled,
    not read). An optical PM2.5 CADR measured here is another quantity.

    Args:
        smoke: CADR, any unit of flow, positive.
        dust: CADR in the same unit, positive.

    Raises:
        MeasureError: ``not_positive``.
    """
    product = checked_positive("smoke", smoke) * checked_positive("dust", dust)
    return float(product**0.5)
