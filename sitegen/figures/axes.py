"""Limits and tick values of axes: round numbers, few of them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis, from data to pixels.

    Attributes:
        low: value at its start.
        high: value at its end.
        ticks: values that have a grid line and a number.
        log: whether it is logarithmic.
    """

    low: float
    high: float
    ticks: tuple[float, ...]
    log: bool = False

    def share(self, value: float) -> float:
        """Return where ``value`` stands between start (0) and end (1)."""
        if self.log:
            span = math.log(self.high / self.low)
            return math.log(value / self.low) / span
        return (value - self.low) / (self.high - self.low)


def step_of(span: float, count: int) -> float:
    """Return the step of 1, 2 or 5 times a power of ten that gives ``count`` ticks."""
    if not span > 0:
        return 1.0
    rough = span / max(count, 1)
    power: float = 10.0 ** math.floor(math.log10(rough))
    return next(
        (nice * power for nice in (1, 2, 5) if nice * power >= rough * 0.999),
        10 * power,
    )


def clean(value: float) -> float:
    """Return ``value`` without the dust of binary fractions."""
    return float(f"{value:.10g}")


def linear(
    values: Iterable[float],
    *,
    count: int = 5,
    zero: bool = False,
    round_ends: bool = True,
) -> Axis:
    """Return a linear axis that holds all of ``values``.

    Args:
        values: what must fit; may be empty.
        count: about how many ticks.
        zero: whether it starts at zero when nothing is negative.
        round_ends: whether its ends are moved out to ticks.
    """
    found = [value for value in values if math.isfinite(value)]
    low, high = min(found, default=0.0), max(found, default=1.0)
    if zero:
        low, high = min(low, 0.0), max(high, 0.0)
    if high <= low:
        around = abs(low) * 0.1 or 1.0
        low, high = low - (0.0 if zero and low == 0 else around), high + around
    step = step_of(high - low, count)
    if round_ends:
        low = math.floor(low / step + 1e-9) * step
        high = math.ceil(high / step - 1e-9) * step
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    ticks = tuple(clean(at * step) for at in range(first, last + 1))
    return Axis(clean(low), clean(high), ticks)


def logarithmic(values: Sequence[float], *, top: float, lowest: float) -> Axis:
    """Return a logarithmic axis from a round number under the least value to ``top``.

    Args:
        values: what must fit; those that are not above zero are ignored.
        top: least value at its end.
        lowest: value that its start never goes below.
    """
    above = [value for value in values if value > 0 and math.isfinite(value)]
    high = max([top, *above])
    low = max(min([*above, top / 10]), lowest)
    power = 10.0 ** math.floor(math.log10(low))
    start = max(nice * power for nice in (1, 2, 5) if nice * power <= low * 1.0001)
    ticks: list[float] = []
    each = 10.0 ** math.floor(math.log10(start))
    nices = (1, 2, 5) if high / start <= 250 else (1,)
    while each <= high:
        ticks += [clean(n * each) for n in nices if start <= n * each * 1.0001]
        each *= 10
    return Axis(
        clean(start), high, tuple(t for t in ticks if start <= t <= high * 1.0001), True
    )
