"""Results that stand off from the rest: looked at, never thrown out by rule."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats, checked_numbers
from sitegen.measure.quantiles import t_quantile

ROBUST_Z_LIMIT = 3.5


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
