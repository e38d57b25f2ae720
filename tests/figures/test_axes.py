"""Limits and ticks of axes."""

from __future__ import annotations

import numpy as np
import pytest

from sitegen.figures.axes import Axis, clean, linear, logarithmic, step_of


@pytest.mark.parametrize(
    ("span", "count", "step"),
    [
        (10, 5, 2),
        (11, 5, 5),
        (1, 5, 0.2),
        (100, 4, 50),
        (0.03, 6, 0.005),
        (6000, 6, 1000),
        (7, 1, 10),
        (0, 5, 1),
        (-3, 5, 1),
        (float("nan"), 5, 1),
    ],
)
def test_step(span: float, count: int, step: float) -> None:
    """A step is 1, 2 or 5 times a power of ten, and one where there is no span."""
    assert step_of(span, count) == pytest.approx(step)


def test_round_ends() -> None:
    """The ends move out to round numbers that hold everything."""
    assert linear([12, 188]) == Axis(0, 200, (0, 50, 100, 150, 200))
    assert linear([0.12, 0.31]) == Axis(0.1, 0.35, (0.1, 0.15, 0.2, 0.25, 0.3, 0.35))


def test_ends_as_they_are() -> None:
    """Ends that are not rounded stay, with ticks at the round numbers inside."""
    assert linear([1.5, 26.5], count=6, round_ends=False) == Axis(
        1.5, 26.5, (5, 10, 15, 20, 25)
    )


@pytest.mark.parametrize(
    ("values", "low", "high"),
    [([3, 8], 0, 8), ([-8, -3], -8, 0), ([-2, 8], -2, 8), ([0], 0, 1)],
)
def test_zero_is_on_the_axis(values: list[float], low: float, high: float) -> None:
    """An axis from zero holds zero, on whichever side the values lie."""
    axis = linear(values, zero=True)
    assert (axis.low, axis.high) == (low, high)
    assert 0 in axis.ticks


def test_one_value() -> None:
    """A single value stands inside its axis, not on its edge."""
    axis = linear([40.0])
    assert axis.low < 40 < axis.high
    assert len(axis.ticks) > 1


@pytest.mark.parametrize("values", [[], [float("nan")], [float("inf")]])
def test_nothing_to_hold(values: list[float]) -> None:
    """An axis without values runs from nought to one."""
    axis = linear(values)
    assert (axis.low, axis.high) == (0, 1)


def test_ticks_have_no_dust() -> None:
    """Ticks are the decimals that are printed: 0.3 and not 0.30000000000000004."""
    assert linear([0, 0.5]).ticks == (0, 0.1, 0.2, 0.3, 0.4, 0.5)
    assert clean(0.1 + 0.2) == 0.3


def test_every_linear_axis_holds_its_values() -> None:
    """For 300 spans of all sizes the values lie inside, between two to nine ticks."""
    rng = np.random.default_rng(3)
    for _ in range(300):
        low = float(rng.normal() * 10.0 ** rng.integers(-3, 5))
        high = low + float(10.0 ** rng.uniform(-3, 5))
        axis = linear([low, high])
        dust = 1e-8 * (high - low)
        assert axis.low <= low + dust
        assert axis.high >= high - dust
        assert 2 <= len(axis.ticks) <= 9
        assert list(axis.ticks) == sorted(set(axis.ticks))


def test_logarithmic() -> None:
    """A logarithmic axis starts at a round number under the least value."""
    assert logarithmic([3.0, 40.0], top=100, lowest=0.1) == Axis(
        2, 100, (2, 5, 10, 20, 50, 100), True
    )


def test_logarithmic_goes_no_lower() -> None:
    """Readings far below, of nothing or less do not stretch the axis."""
    axis = logarithmic([-5.0, 0.0, 1e-9, 50.0], top=100, lowest=0.1)
    assert (axis.low, axis.high) == (0.1, 100)


def test_logarithmic_over_many_decades() -> None:
    """Over more than 250 to 1 only the powers of ten have a tick."""
    assert logarithmic([0.1, 100.0], top=100, lowest=0.1).ticks == (0.1, 1, 10, 100)


def test_logarithmic_without_values() -> None:
    """Without a value above zero the axis is the decade under its top."""
    axis = logarithmic([], top=100, lowest=0.1)
    assert (axis.low, axis.high) == (10, 100)


@pytest.mark.parametrize(("value", "share"), [(1, 0.0), (10, 0.5), (100, 1.0)])
def test_share_of_a_logarithmic_axis(value: float, share: float) -> None:
    """Equal ratios take equal room."""
    assert Axis(1, 100, (), log=True).share(value) == pytest.approx(share)


@pytest.mark.parametrize(
    ("value", "share"), [(-10, 0.0), (0, 0.25), (30, 1.0), (50, 1.5)]
)
def test_share_of_a_linear_axis(value: float, share: float) -> None:
    """Equal differences take equal room, also beyond the ends."""
    assert Axis(-10, 30, ()).share(value) == pytest.approx(share)
