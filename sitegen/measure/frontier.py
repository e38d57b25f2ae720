"""The best trade-offs of two quantities: what no other result beats on both."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats

Indices = npt.NDArray[np.int64]


def unbeaten(x: npt.ArrayLike, y: npt.ArrayLike) -> Indices:
    """Return who is beaten by nobody (the Pareto set), from the largest x on.

    j beats i when it is as good on both quantities and better on one. Those alike on
    both do not beat each other. One sort, then one pass: O(n log n).

    Args:
        x: the first quantity, the larger the better (negate where less is), (n,).
        y: the second, likewise, shape (n,).

    Returns:
        Indices; of equals in the order given.

    Raises:
        MeasureError: ``lengths_differ`` or ``not_finite``.
    """
    across, up = _checked(x, y)
    order = np.lexsort((-up, -across))
    highest, last = float("-inf"), (float("nan"), float("nan"))
    found = []
    for i in order:
        here = (float(across[i]), float(up[i]))
        if here[1] > highest or here == last:
            highest, last = here[1], here
            found.append(i)
    return np.array(found, dtype=np.int64)


def not_clearly_beaten(
    x_low: npt.ArrayLike,
    x_high: npt.ArrayLike,
    y_low: npt.ArrayLike,
    y_high: npt.ArrayLike,
) -> npt.NDArray[np.bool_]:
    """Tell who is beaten by nobody beyond doubt (the robust Pareto set).

    j clearly beats i when its worst is as good as i's best on both quantities and
    better on one: ``x_low_j >= x_high_i`` and ``y_low_j >= y_high_i``. A quantity
    without an interval has equal ends; one whose small differences mean nothing (1 dB
    of sound) is given that width by the caller. O(n log n).

    Args:
        x_low: worst that the first quantity may be, the larger the better, shape (n,).
        x_high: best that it may be.
        y_low: worst that the second may be.
        y_high: best that it may be.

    Raises:
        MeasureError: ``lengths_differ``, ``not_finite``, or ``limits_crossed``.
    """
    worst_x, worst_y = _checked(x_low, y_low)
    best_x, best_y = _checked(x_high, y_high)
    if worst_x.shape != best_x.shape:
        raise MeasureError("lengths_differ", values=float(best_x.size))
    if np.any(worst_x > best_x) or np.any(worst_y > best_y):
        raise MeasureError("limits_crossed")
    if not worst_x.size:
        return np.zeros(0, dtype=np.bool_)
    order = np.argsort(worst_x, kind="stable")
    ordered = worst_x[order]
    # The best of the second quantity among all whose first is at least so good.
    above = np.maximum.accumulate(worst_y[order][::-1])[::-1]
    above = np.append(above, -np.inf)
    as_good = above[np.searchsorted(ordered, best_x, side="left")]
    better = above[np.searchsorted(ordered, best_x, side="right")]
    return np.asarray(~((as_good > best_y) | (better >= best_y)))


def _checked(x: npt.ArrayLike, y: npt.ArrayLike) -> tuple[Floats, Floats]:
    across = np.asarray(x, dtype=np.float64)
    up = np.asarray(y, dtype=np.float64)
    if across.shape != up.shape or across.ndim != 1:
        raise MeasureError("lengths_differ", values=float(across.size))
    if np.any(np.isnan(across)) or np.any(np.isnan(up)):
        raise MeasureError("not_finite", what="quantity")
    return across, up
