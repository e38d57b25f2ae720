"""Results that stand off from the rest: looked at, never thrown out by rule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats, checked_numbers
from sitegen.measure.quantiles import t_quantile
from sitegen.measure.repeatability import LIMIT_FACTOR, Repeatability

ROBUST_Z_LIMIT = 3.5
LEAST_FOR_GRUBBS = 4
LEAST_FOR_ROBUST = 3


@dataclass(frozen=True, slots=True)
class Grubbs:
    """Grubbs' two-sided test for one outlier.

    Attributes:
        index: of the value that stands off most.
        statistic: its distance from the mean in standard deviations.
        critical: what that must exceed.
        outlying: whether it does.
    """

    index: int
    statistic: float
    critical: float
    outlying: bool


def grubbs(values: npt.ArrayLike, alpha: float = 0.05) -> Grubbs:
    """Test the value that stands off most.

    ``G = max |x - mean|/s > (n - 1)/sqrt(n) sqrt(t^2/(n - 2 + t^2))``, t at
    ``alpha/(2n)`` with n - 2 degrees of freedom (Grubbs 1969). For one outlier among
    normal values; two of them can hide each other.

    Args:
        values: shape (n,), any unit, n >= 4: of three, two that agree by chance would
            condemn the third.
        alpha: probability of a false alarm.

    Raises:
        MeasureError: ``too_few_values``; ``constant_series``.
    """
    x = checked_numbers("values", values, 4)
    sd = float(x.std(ddof=1))
    if sd == 0:
        raise MeasureError("constant_series")
    off = np.abs(x - x.mean()) / sd
    n = x.size
    t2 = t_quantile(1 - alpha / (2 * n), n - 2) ** 2
    critical = (n - 1) / n**0.5 * float(np.sqrt(t2 / (n - 2 + t2)))
    index = int(np.argmax(off))
    return Grubbs(index, float(off[index]), critical, bool(off[index] > critical))


def robust_z(values: npt.ArrayLike) -> Floats:
    """Return each value's distance from the median in robust standard deviations.

    ``(x - median)/(1.4826 MAD)`` (Iglewicz and Hoaglin 1993); beyond 3.5 it stands
    off.

    Args:
        values: shape (n,), any unit, n >= 3.

    Returns:
        Shape (n,), signed, without unit.

    Raises:
        MeasureError: ``too_few_values``; ``constant_series`` when more than half of
            the values are equal, so that MAD is 0.
    """
    x = checked_numbers("values", values, 3)
    off = x - np.median(x)
    mad = float(np.median(np.abs(off)))
    if mad == 0:
        raise MeasureError("constant_series")
    return np.asarray(off / (1.4826 * mad))


@dataclass(frozen=True, slots=True)
class StandsOff:
    """The repeat that stands off most, by the rule that says the most about it.

    Attributes:
        index: of the repeat.
        rule: ``grubbs`` or ``robust``.
        statistic: how far it is off, in the rule's own measure.
        limit: what that must exceed.
        outlying: whether it does.
    """

    index: int
    rule: Literal["grubbs", "robust"]
    statistic: float
    limit: float
    outlying: bool


def standing_off(
    results: npt.ArrayLike, known: Repeatability | None = None
) -> StandsOff | None:
    """Return which repeat stands off most, and whether it is to be looked at.

    Four repeats or more are held against Grubbs' test at 5 %. Where the repeatability
    is known, three or more are also held against the robust z of 3.5, and then the
    repeat must lie farther from the median than the repeatability limit,
    ``2.77 s_r``: alone, that z flags 29, 17, 21 and 15 % of clean sets of 3, 4, 5 and
    6 repeats, for a few of them agree by chance; with the limit about 2 % (simulated,
    200,000 sets each). Logarithms are tested, as repeats scatter in proportion; with
    a result that is not positive, the results themselves, by Grubbs' test alone.

    Args:
        results: of one configuration, shape (m,).
        known: repeatability of the method, from other repeats too.

    Returns:
        None when there are too few repeats for a rule, or none of them differ.

    Raises:
        MeasureError: ``not_finite``.
    """
    values = checked_numbers("results", results, 0)
    positive = bool(np.all(values > 0))
    x = np.log(values) if positive else values
    robust = _by_robust_z(x, known) if positive and known is not None else None
    if robust is not None and robust.outlying:
        return robust
    if x.size < LEAST_FOR_GRUBBS or float(np.ptp(x)) == 0:
        return robust
    test = grubbs(x)
    return StandsOff(test.index, "grubbs", test.statistic, test.critical, test.outlying)


def _by_robust_z(x: Floats, known: Repeatability) -> StandsOff | None:
    """Hold logarithms of repeats against the robust z and the repeatability limit."""
    if x.size < LEAST_FOR_ROBUST:
        return None
    off = np.abs(x - np.median(x))
    index = int(np.argmax(off))
    mad = float(np.median(off))
    if mad == 0:
        return None
    z = float(off[index]) / (1.4826 * mad)
    far = float(off[index]) > LIMIT_FACTOR * known.s_r
    return StandsOff(index, "robust", z, ROBUST_Z_LIMIT, far and z > ROBUST_Z_LIMIT)
