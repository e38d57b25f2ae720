"""Sound levels, dB(A): energy means, background, sums, and the best quiet speed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import checked_numbers, checked_positive
from sitegen.measure.estimate import Z95
from sitegen.measure.quantiles import t_quantile

Grade = Literal["no_correction", "corrected", "indicative", "background_limited"]
Limit = Literal["", "at_most"]

_EDGE_DB = 1e-9
"""Readings of one decimal differ by 3 dB also where 32.3 - 29.3 gives 2.9999...96."""

TIE_DBA = 1.0
"""Levels closer than this are ties, whatever the instruments say."""


@dataclass(frozen=True, slots=True)
class Background:
    """A level with the background taken off.

    Attributes:
        level_dba: the device's own level; for ``background_limited`` the measured one.
        correction_db: what was taken off (K1).
        difference_db: measured less background.
        grade: ``no_correction`` above 15 dB, ``corrected`` 6 to 15, ``indicative`` 3
            to 6, ``background_limited`` under 3.
        limit: ``at_most`` where the measured level is all that can be claimed.
    """

    level_dba: float
    correction_db: float
    difference_db: float
    grade: Grade
    limit: Limit


@dataclass(frozen=True, slots=True)
class Level:
    """A published sound level.

    Attributes:
        level_dba: the device's own level, or what it is at most.
        low_dba: lower 95 % limit.
        high_dba: upper limit.
        u_db: standard uncertainty, dB.
        background: how the background was treated; None when none was measured.
        limit: ``at_most`` where the level is only an upper bound.
    """

    level_dba: float
    low_dba: float
    high_dba: float
    u_db: float
    background: Background | None
    limit: Limit


def energy_mean(levels_dba: npt.ArrayLike) -> float:
    """Return the energy mean of levels, ``10 log10(mean 10^(L/10))``, dB(A).

    Standard acoustics; for levels at one distance with one weighting.

    Args:
        levels_dba: L, dB(A), shape (m,), m >= 1.

    Raises:
        MeasureError: ``too_few_values`` or ``not_finite``.
    """
    levels = checked_numbers("levels_dba", levels_dba, 1)
    top = float(levels.max())
    return top + 10.0 * float(np.log10(np.mean(10.0 ** ((levels - top) / 10.0))))


def energy_sum(levels_dba: npt.ArrayLike) -> float:
    """Return the level of several sources together, ``10 log10 sum 10^(L/10)``, dB(A).

    Holds for sources that are not in step with each other.

    Args:
        levels_dba: L of each, dB(A), shape (m,), m >= 1.

    Raises:
        MeasureError: ``too_few_values`` or ``not_finite``.
    """
    levels = checked_numbers("levels_dba", levels_dba, 1)
    return energy_mean(levels) + 10.0 * float(np.log10(levels.size))


def energy_difference(total_dba: float, part_dba: float) -> float:
    """Return the level of what remains when one source is taken off a total, dB(A).

    ``10 log10(10^(L_total/10) - 10^(L_part/10))``. Uncertain when the two are close:
    ``background_correction`` says from where on it is not valid.

    Args:
        total_dba: L_total, dB(A).
        part_dba: L_part, dB(A), below it.

    Raises:
        MeasureError: ``background_limited`` when the part is not below the total.
    """
    if not total_dba > part_dba:
        raise MeasureError("background_limited", total=total_dba, part=part_dba)
    rest = -np.expm1(-(total_dba - part_dba) * np.log(10.0) / 10.0)
    return total_dba + 10.0 * float(np.log10(rest))


def several_units(level_dba: float, units: int) -> float:
    """Return the level of several equal units, ``L + 10 log10 n``, dB(A).

    Args:
        level_dba: L of one, dB(A), at the same distance from each.
        units: n, 1 or more.

    Raises:
        MeasureError: ``not_positive``.
    """
    return level_dba + 10.0 * float(np.log10(checked_positive("units", units)))


def background_correction(measured_dba: float, background_dba: float) -> Background:
    """Take the background off a level, as far as that is valid.

    ``K1 = -10 log10(1 - 10^(-dL/10))``. The 6 to 15 dB band and the limit below it
    follow the convention of ISO 3744, 3746 and 10140-4 as described elsewhere; the
    documents themselves were not read.

    Args:
        measured_dba: device on, dB(A).
        background_dba: device off, same conditions, dB(A); dL is their difference.

    Raises:
        MeasureError: ``not_finite``.
    """
    difference = measured_dba - background_dba
    if not np.isfinite(difference):
        raise MeasureError("not_finite", what="level")
    if difference > 15.0 + _EDGE_DB:
        return Background(measured_dba, 0.0, difference, "no_correction", "")
    if difference < 3.0 - _EDGE_DB:
        return Background(
            measured_dba, 0.0, difference, "background_limited", "at_most"
        )
    own = energy_difference(measured_dba, background_dba)
    off = measured_dba - own
    if difference < 6.0 - _EDGE_DB:
        return Background(own, off, difference, "indicative", "at_most")
    return Background(own, off, difference, "corrected", "")


def corrected_uncertainty(
    measured_u_db: float, background_u_db: float, difference_db: float
) -> float:
    """Return the standard uncertainty of a corrected level, dB.

    ``sqrt((u_L/(1 - q))^2 + (q u_b/(1 - q))^2)``, ``q = 10^(-dL/10)``: first-order
    propagation through ``energy_difference``, good from about 3 dB on.

    Args:
        measured_u_db: u_L, standard uncertainty with the device on, dB.
        background_u_db: u_b, with the device off, dB.
        difference_db: dL, measured less background, dB, positive.

    Raises:
        MeasureError: ``not_positive`` when the difference is not positive.
    """
    q = 10.0 ** (-checked_positive("difference_db", difference_db) / 10.0)
    return float(np.hypot(measured_u_db, q * background_u_db) / (1.0 - q))


def measured_level(
    readings_dba: npt.ArrayLike,
    background_dba: npt.ArrayLike | None = None,
    instrument_u_db: float = 0.5,
) -> Level:
    """Return the published level of one speed.

    The readings' energy mean with the background taken off. The scatter of the
    readings' mean enters by t, the instrument's uncertainty by 1.96, in quadrature.
    Where the background allows no more than "at most", the level is the measured one.
    The method's own rule; levels of other distances or weightings do not compare.

    Args:
        readings_dba: repeats or positions, shape (m,), m >= 1.
        background_dba: device off, shape (b,), or None when it was not measured.
        instrument_u_db: standard uncertainty of the meter's level, dB.

    Raises:
        MeasureError: ``too_few_values``, ``not_finite`` or ``not_positive``.
    """
    checked_positive("instrument_u_db", instrument_u_db, zero=True)
    level, scatter, factor = _mean_and_scatter(readings_dba)
    u = float(np.hypot(scatter, instrument_u_db))
    half = float(np.hypot(factor * scatter, Z95 * instrument_u_db))
    if background_dba is None:
        return Level(level, level - half, level + half, u, None, "")
    base, base_scatter, base_factor = _mean_and_scatter(background_dba)
    found = background_correction(level, base)
    if found.grade in ("no_correction", "background_limited", "indicative"):
        return Level(level, level - half, level + half, u, found, found.limit)
    own = found.level_dba
    # One meter reads both levels: its uncertainty does not cancel in the difference
    # of energies when gain and linearity are unknown, so both are kept.
    base_u = float(np.hypot(base_scatter, instrument_u_db))
    base_half = float(np.hypot(base_factor * base_scatter, Z95 * instrument_u_db))
    u = corrected_uncertainty(u, base_u, found.difference_db)
    half = corrected_uncertainty(half, base_half, found.difference_db)
    return Level(own, own - half, own + half, u, found, "")


def _mean_and_scatter(levels_dba: npt.ArrayLike) -> tuple[float, float, float]:
    """Return energy mean, standard error of the mean in dB, and its 95 % factor."""
    levels = checked_numbers("levels_dba", levels_dba, 1)
    mean = energy_mean(levels)
    if levels.size < 2:
        return mean, 0.0, 0.0
    se = float(levels.std(ddof=1)) / float(np.sqrt(levels.size))
    return mean, se, t_quantile(0.975, levels.size - 1)


@dataclass(frozen=True, slots=True)
class Speed:
    """A tested speed, for choosing the best quiet one.

    Attributes:
        speed: its id.
        level_dba: its level, or what it is at most; None when not measured.
        half_db: half-width of the level's 95 % interval, dB.
        cadr_m3h: its CADR; None when not measured.
    """

    speed: str
    level_dba: float | None
    half_db: float
    cadr_m3h: float | None


@dataclass(frozen=True, slots=True)
class QuietBest:
    """The most clean air at or under a cap.

    Attributes:
        speed: the speed with the highest CADR among those at or under the cap, or
            empty when none can be given.
        reason: empty, ``none_quiet_enough``, ``quiet_speed_not_tested`` (a quiet
            speed has no CADR) or ``no_levels``.
        near_cap: the level lies within its own uncertainty of the cap.
        quietest_dba: lowest level tested, or None.
    """

    speed: str
    reason: str
    near_cap: bool
    quietest_dba: float | None


def best_under_cap(speeds: Sequence[Speed], cap_dba: float) -> QuietBest:
    """Choose among tested speeds; never interpolate between them.

    Where no speed meets the cap the answer is none, not 0 and not the quietest one.

    Args:
        speeds: the device's tested, lockable speeds, quietest first; of equal CADR the
            first wins.
        cap_dba: highest level allowed.
    """
    known = [s.level_dba for s in speeds if s.level_dba is not None]
    if not known:
        return QuietBest("", "no_levels", False, None)
    quietest = min(known)
    quiet = [s for s in speeds if s.level_dba is not None and s.level_dba <= cap_dba]
    if not quiet:
        return QuietBest("", "none_quiet_enough", False, quietest)
    tested = [s for s in quiet if s.cadr_m3h is not None]
    if not tested:
        return QuietBest("", "quiet_speed_not_tested", False, quietest)
    best = max(tested, key=lambda s: s.cadr_m3h or 0.0)
    near = abs((best.level_dba or 0.0) - cap_dba) <= best.half_db
    return QuietBest(best.speed, "", near, quietest)
