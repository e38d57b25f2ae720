"""A decay rate as later steps need it, and the normal factor they share."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.errors import MeasureError

Z95 = 1.959963984540054


@dataclass(frozen=True, slots=True)
class DecayEstimate:
    """One decay rate with its within-run uncertainty.

    Attributes:
        decay_per_h: k, 1/h.
        sd_per_h: standard deviation without the zero offset's part, 1/h.
        low_per_h: lower 95 % limit, likewise without it.
        high_per_h: upper limit.
        zero_u_per_h: standard uncertainty from the zero offsets, 1/h.
    """

    decay_per_h: float
    sd_per_h: float
    low_per_h: float
    high_per_h: float
    zero_u_per_h: float = 0.0

    def __post_init__(self) -> None:
        """Refuse limits that do not enclose the value.

        Raises:
            MeasureError: ``limits_crossed``.
        """
        if not self.low_per_h <= self.decay_per_h <= self.high_per_h:
            raise MeasureError(
                "limits_crossed",
                low=self.low_per_h,
                value=self.decay_per_h,
                high=self.high_per_h,
            )
