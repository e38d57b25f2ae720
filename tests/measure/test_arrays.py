"""Checks at the door and the running median."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from sitegen.errors import MeasureError
from sitegen.measure.arrays import (
    checked_numbers,
    checked_positive,
    checked_times,
    running_median,
)


def test_running_median_is_that_of_five() -> None:
    """Inside, each value is the median of the five about it."""
    x = np.random.default_rng(1).normal(size=30)
    got = running_median(x)
    want = [float(np.median(x[i - 2 : i + 3])) for i in range(2, 28)]
    assert got[2:28].tolist() == want


def test_running_median_at_the_ends() -> None:
    """The two values at either end have the median of the nearest five."""
    x = np.array([9.0, 1.0, 5.0, 2.0, 3.0, 4.0, 0.0])
    assert running_median(x).tolist() == [3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0]
    rising = np.arange(7.0)
    assert running_median(rising).tolist() == [2.0, 2.0, 2.0, 3.0, 4.0, 4.0, 4.0]


@pytest.mark.parametrize("n", [1, 4, 5])
def test_running_median_of_few(n: int) -> None:
    """Of five readings or fewer each has the median of all."""
    x = np.arange(float(n))
    assert running_median(x).tolist() == [float(np.median(x))] * n
    assert running_median(np.empty(0)).size == 0


@pytest.mark.parametrize(
    ("t", "code"),
    [
        ([[0.0, 1.0]], "not_one_dimensional"),
        ([0.0, np.nan], "not_finite"),
        ([0.0, np.inf], "not_finite"),
        ([0.0, 1.0, 1.0], "time_not_increasing"),
        ([0.0, 2.0, 1.0], "time_not_increasing"),
    ],
)
def test_times_that_are_none(t: npt.ArrayLike, code: str) -> None:
    """Times must be a list of finite, rising numbers."""
    with pytest.raises(MeasureError) as caught:
        checked_times(t)
    assert caught.value.code == code


def test_error_carries_its_figures() -> None:
    """A refused list tells what it was, how long, and how long it must be."""
    with pytest.raises(MeasureError, match="too_few_values") as caught:
        checked_numbers("runs", [1.0], 2)
    assert caught.value.detail == {"what": "runs", "count": 1.0, "least": 2.0}


@pytest.mark.parametrize("value", [0.0, -1.0, np.nan, np.inf])
def test_positive_numbers(value: float) -> None:
    """Zero, negatives and what is not finite are not positive."""
    with pytest.raises(MeasureError, match="not_positive"):
        checked_positive("volume", value)
    assert checked_positive("volume", 0.0, zero=True) == 0.0
