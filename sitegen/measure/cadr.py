"""Clean air delivery rate from decays: one run's, and a configuration's.

``CADR = V (k_e - k_n)``. It belongs to a device at one speed with one filter, one
aerosol and one size metric.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from sitegen.errors import MeasureError
from sitegen.measure.arrays import checked_positive
from sitegen.measure.estimate import Z95, DecayEstimate
from sitegen.measure.pooling import random_effects
from sitegen.measure.repeatability import Repeatability, repeatability_factor

Basis = Literal["single", "repeatability", "random-effects"]

LINEARITY_PER_SENSOR = 0.03


@dataclass(frozen=True, slots=True)
class Room:
    """The room's volume.

    Attributes:
        volume_m3: net volume, m3.
        volume_u_m3: its standard uncertainty, m3.
    """

    volume_m3: float
    volume_u_m3: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a room without volume.

        Raises:
            MeasureError: ``not_positive``.
        """
        checked_positive("volume_m3", self.volume_m3)
        checked_positive("volume_u_m3", self.volume_u_m3, zero=True)


@dataclass(frozen=True, slots=True)
class Cadr:
    """A clean air delivery rate, m3/h.

    Attributes:
        cadr_m3h: the estimate; can be negative when nothing is cleaned.
        low_m3h: lower 95 % limit with volume and linearity in it.
        high_m3h: upper limit.
        basis: which interval this is.
        stat_low_m3h: lower limit without volume, linearity and zero offset: for
            comparing devices in the same room with the same sensors.
        stat_high_m3h: upper limit, likewise.
        u_stat_m3h: standard uncertainty of the statistical part.
        u_m3h: standard uncertainty of everything.
        volume_share: the volume's share of the variance ``u_m3h`` squared.
        decay_per_h: the k_e that it rests on.
        decay_low_per_h: its lower 95 % limit on the same basis, statistical part.
        decay_high_per_h: its upper limit.
        runs: how many runs with the device on.
    """

    cadr_m3h: float
    low_m3h: float
    high_m3h: float
    basis: Basis
    stat_low_m3h: float
    stat_high_m3h: float
    u_stat_m3h: float
    u_m3h: float
    volume_share: float
    decay_per_h: float
    decay_low_per_h: float
    decay_high_per_h: float
    runs: int


def default_linearity(sensors: int) -> float:
    """Return the relative standard uncertainty of k from the sensors' exponents.

    3 % over the root of the number of sensors, for sensors that were never compared
    with a reference (a reading that goes with C^p scales every k by p, invisibly).
    Simulated: without it 84 % of intervals hold the CADR of sensors whose exponents
    differ by 3 %, with it 96 %.

    Args:
        sensors: how many are averaged, 1 or more.

    Raises:
        MeasureError: ``too_few_values`` for no sensor.
    """
    if sensors < 1:
        raise MeasureError(
            "too_few_values", what="sensors", count=float(sensors), least=1.0
        )
    return float(LINEARITY_PER_SENSOR / np.sqrt(sensors))


def cadr_of_run(
    total: DecayEstimate, natural: DecayEstimate, room: Room, linearity: float = 0.0
) -> Cadr:
    """Return one run's CADR with the interval recovered from its parts' limits.

    ``low = CADR - V sqrt((k_e - k_e,low)^2 + (k_n,high - k_n)^2)`` and ``high``
    likewise; 1.96 times the volume's, the linearity's and the zero offsets' terms join
    in quadrature on each side. Simulated coverage 95.6 % (k_e 6.35/h) and 98.2 %
    (1.35/h). It does not know how runs differ from each other. The recovery of an
    interval from its parts' is that of Zou and Donner (2008).

    Args:
        total: decay with the device on, k_e and its limits, 1/h.
        natural: natural decay, pooled, k_n and its limits, 1/h.
        room: the room.
        linearity: relative standard uncertainty of k from the sensors, u_p.
    """
    set_up = _SetUp(natural, room, linearity)
    return set_up.joined(total, "single", 1, set_up.recovered(total))


def combined_cadr(
    runs: Sequence[DecayEstimate],
    natural: DecayEstimate,
    room: Room,
    linearity: float = 0.0,
    *,
    adopted: Repeatability | None = None,
    variable: bool = False,
) -> Cadr:
    """Return a configuration's CADR, on the basis that its runs allow.

    One run: its own interval (``single``), or the adopted repeatability's, never
    narrower than its own. More: random effects on k_e, the pooled k_n subtracted once;
    with an adopted repeatability the geometric mean of the runs' CADR and its factor,
    unless the configuration is ``variable`` or an interval would not stay above zero.
    The natural decay's own uncertainty, common to the runs, joins the repeatability in
    quadrature. Scatter between runs contains the within-run terms, so that with two or
    more only volume and linearity are added.

    Args:
        runs: decays of the accepted runs with the device on, one or more.
        natural: natural decay, pooled.
        room: the room.
        linearity: relative standard uncertainty of k from the sensors, u_p.
        adopted: the method's adopted repeatability, if any.
        variable: whether the configuration scatters more than the pooled ones.

    Raises:
        MeasureError: ``too_few_values`` for no run.
    """
    if not runs:
        raise MeasureError("too_few_values", what="runs", count=0.0, least=1.0)
    set_up = _SetUp(natural, room, linearity)
    if len(runs) == 1:
        own = cadr_of_run(runs[0], natural, room, linearity)
    else:
        pooled = random_effects(
            [run.decay_per_h for run in runs], [run.sd_per_h for run in runs]
        )
        total = DecayEstimate(pooled.mean, pooled.se, pooled.low, pooled.high)
        part = set_up.recovered(total)
        own = set_up.joined(total, "random-effects", len(runs), part)
    if adopted is None or variable:
        return own
    return _by_repeatability(runs, set_up, adopted, own) or own


@dataclass(frozen=True, slots=True)
class _Part:
    """The statistical part of an interval, m3/h.

    Attributes:
        below: from the estimate down to its lower limit.
        beyond: from the estimate up to its upper limit.
        u: standard uncertainty.
    """

    below: float
    beyond: float
    u: float


@dataclass(frozen=True, slots=True)
class _SetUp:
    """What all runs of a configuration share."""

    natural: DecayEstimate
    room: Room
    linearity: float

    def recovered(self, total: DecayEstimate) -> _Part:
        """Return the part that the two decays' limits give."""
        v, k_e, k_n = self.room.volume_m3, total, self.natural
        below = np.hypot(
            k_e.decay_per_h - k_e.low_per_h, k_n.high_per_h - k_n.decay_per_h
        )
        beyond = np.hypot(
            k_e.high_per_h - k_e.decay_per_h, k_n.decay_per_h - k_n.low_per_h
        )
        u = np.hypot(k_e.sd_per_h, k_n.sd_per_h)
        return _Part(v * float(below), v * float(beyond), v * float(u))

    def joined(
        self, total: DecayEstimate, basis: Basis, count: int, part: _Part
    ) -> Cadr:
        """Add volume, linearity and (for one run) zero offset to the part."""
        difference = total.decay_per_h - self.natural.decay_per_h
        cadr = self.room.volume_m3 * difference
        u_volume = abs(difference) * self.room.volume_u_m3
        u_linear = abs(cadr) * self.linearity
        zero = np.hypot(total.zero_u_per_h, self.natural.zero_u_per_h)
        u_zero = self.room.volume_m3 * float(zero) if count == 1 else 0.0
        common = u_volume**2 + u_linear**2 + u_zero**2
        u2 = part.u**2 + common
        return Cadr(
            cadr_m3h=cadr,
            low_m3h=cadr - float(np.sqrt(part.below**2 + Z95**2 * common)),
            high_m3h=cadr + float(np.sqrt(part.beyond**2 + Z95**2 * common)),
            basis=basis,
            stat_low_m3h=cadr - part.below,
            stat_high_m3h=cadr + part.beyond,
            u_stat_m3h=part.u,
            u_m3h=float(np.sqrt(u2)),
            volume_share=u_volume**2 / u2 if u2 > 0 else 0.0,
            decay_per_h=total.decay_per_h,
            decay_low_per_h=total.low_per_h,
            decay_high_per_h=total.high_per_h,
            runs=count,
        )


def _by_repeatability(
    runs: Sequence[DecayEstimate], set_up: _SetUp, adopted: Repeatability, own: Cadr
) -> Cadr | None:
    """Return the CADR with the adopted repeatability, or None where it cannot hold.

    ``own`` is what the runs say by themselves; of a single run the interval is never
    narrower than that.
    """
    k_n, v, count = set_up.natural, set_up.room.volume_m3, len(runs)
    each = np.array([run.decay_per_h for run in runs]) - k_n.decay_per_h
    if np.any(each <= 0):
        return None
    difference = float(np.exp(np.log(each).mean()))
    factor = repeatability_factor(adopted, count)
    k_e = DecayEstimate(
        k_n.decay_per_h + difference,
        difference * adopted.s_r / count**0.5,
        k_n.decay_per_h + difference / factor,
        k_n.decay_per_h + difference * factor,
        runs[0].zero_u_per_h,
    )
    part = set_up.recovered(k_e)
    if count == 1:
        k_e = replace(
            k_e,
            low_per_h=min(k_e.low_per_h, own.decay_low_per_h),
            high_per_h=max(k_e.high_per_h, own.decay_high_per_h),
        )
        part = _Part(
            max(part.below, own.cadr_m3h - own.stat_low_m3h),
            max(part.beyond, own.stat_high_m3h - own.cadr_m3h),
            max(part.u, own.u_stat_m3h),
        )
    if v * difference - part.below <= 0:
        return None
    return set_up.joined(k_e, "repeatability", count, part)
