"""A decay series: readings over elapsed time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Series:
    """What one series file holds.

    Attributes:
        name: stem of the file.
        elapsed_min: elapsed time, minutes, shape (n,), increasing.
        readings: instrument id to fraction to readings, each shape (n,), in the
            unit of the instrument's record; NaN where the cell is empty.
    """

    name: str
    elapsed_min: NDArray[np.float64]
    readings: Mapping[str, Mapping[str, NDArray[np.float64]]]
