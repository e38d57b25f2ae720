"""The array types that the other modules share, and checks at their door."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]


def checked_times(t: npt.ArrayLike) -> Floats:
    """Return the times as floats, having checked them.

    Args:
        t: elapsed times in any unit, shape (n,), strictly increasing.

    Raises:
        MeasureError: ``not_one_dimensional``, ``not_finite`` or
            ``time_not_increasing``.
    """
    times = np.asarray(t, dtype=np.float64)
    if times.ndim != 1:
        raise MeasureError("not_one_dimensional", dimensions=float(times.ndim))
    if not np.all(np.isfinite(times)):
        raise MeasureError("not_finite", what="time")
    if times.size > 1 and not np.all(np.diff(times) > 0):
        raise MeasureError("time_not_increasing")
    return times


def checked_numbers(name: str, values: npt.ArrayLike, least: int) -> Floats:
    """Return a list of numbers as floats, having checked them.

    Args:
        name: what they are, for the error.
        values: shape (m,), every one finite.
        least: how many there must be.

    Raises:
        MeasureError: ``not_one_dimensional``, ``not_finite`` or ``too_few_values``.
    """
    numbers = np.asarray(values, dtype=np.float64)
    if numbers.ndim != 1:
        raise MeasureError("not_one_dimensional", what=name)
    if not np.all(np.isfinite(numbers)):
        raise MeasureError("not_finite", what=name)
    if numbers.size < least:
        raise MeasureError(
            "too_few_values", what=name, count=float(numbers.size), least=float(least)
        )
    return numbers


def checked_positive(name: str, value: float, *, zero: bool = False) -> float:
    """Return a number that must be positive (or, with ``zero``, not negative).

    Raises:
        MeasureError: ``not_positive``.
    """
    good = value >= 0 if zero else value > 0
    if not (good and np.isfinite(value)):
        raise MeasureError("not_positive", what=name, value=float(value))
    return float(value)


def running_median(values: Floats, width: int = 5) -> Floats:
    """Return the centred running median of complete readings.

    Args:
        values: shape (n,), no NaN.
        width: odd number of points.

    Returns:
        Shape (n,). Nearer to an end than half the width, where no full window fits,
        the value is that of the nearest full window (of all points when n < width).
    """
    if values.size <= width:
        return np.full(values.size, np.median(values)) if values.size else values
    inner = np.median(np.lib.stride_tricks.sliding_window_view(values, width), axis=1)
    return np.pad(inner, width // 2, mode="edge")
