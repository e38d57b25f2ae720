"""The best trade-offs of two quantities, plain and beyond doubt."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.errors import MeasureError
from sitegen.measure.frontier import not_clearly_beaten, unbeaten

POINTS = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=25)
BOXES = st.lists(
    st.tuples(
        st.integers(0, 8), st.integers(0, 4), st.integers(0, 8), st.integers(0, 4)
    ),
    max_size=25,
)


def test_by_hand() -> None:
    """Three trade one quantity for the other; the fourth is worse than one of them."""
    got = unbeaten([100.0, 180.0, 260.0, 170.0], [-35.0, -45.0, -55.0, -46.0])
    assert got.tolist() == [2, 1, 0]


@given(POINTS)
def test_unbeaten_equals_all_pairs(points: list[tuple[int, int]]) -> None:
    """Exactly those stay that comparing every pair leaves."""
    slow = {
        i
        for i, a in enumerate(points)
        if not any(b[0] >= a[0] and b[1] >= a[1] and b != a for b in points)
    }
    found = unbeaten([x for x, _ in points], [y for _, y in points]).tolist()
    assert set(found) == slow
    assert len(found) == len(slow)


@given(BOXES)
def test_not_clearly_beaten_equals_all_pairs(
    boxes: list[tuple[int, int, int, int]],
) -> None:
    """Exactly those stay whose best no other's worst reaches on both, with one over."""
    ends = [(x, x + w, y, y + h) for x, w, y, h in boxes]
    slow = [
        not any(
            other[0] >= own[1]
            and other[2] >= own[3]
            and (other[0] > own[1] or other[2] > own[3])
            for other in ends
        )
        for own in ends
    ]
    columns = [[end[at] for end in ends] for at in range(4)]
    assert not_clearly_beaten(*columns).tolist() == slow


@given(BOXES)
def test_what_nobody_beats_nobody_beats_clearly(
    boxes: list[tuple[int, int, int, int]],
) -> None:
    """The plain set of any values inside the intervals is part of the robust one."""
    x = [(low + low + wide) / 2 for low, wide, _, _ in boxes]
    y = [(low + low + wide) / 2 for _, _, low, wide in boxes]
    still = not_clearly_beaten(
        [b[0] for b in boxes],
        [b[0] + b[1] for b in boxes],
        [b[2] for b in boxes],
        [b[2] + b[3] for b in boxes],
    )
    assert all(still[at] for at in unbeaten(x, y))


def test_without_intervals_both_sets_are_the_same() -> None:
    """Where every end is the value, beyond doubt means no more than beaten."""
    rng = np.random.default_rng(4)
    x, y = rng.integers(0, 50, 300), rng.integers(0, 50, 300)
    still = np.flatnonzero(not_clearly_beaten(x, x, y, y))
    assert sorted(unbeaten(x, y).tolist()) == still.tolist()


def test_an_open_end_is_never_clearly_beaten() -> None:
    """A quantity that may be as good as can be is beaten by no other."""
    got = not_clearly_beaten([1.0, 9.0], [np.inf, 9.0], [1.0, 9.0], [1.0, 9.0])
    assert got.tolist() == [True, True]


@pytest.mark.parametrize(
    ("ends", "code"),
    [
        (([1.0], [1.0], [1.0, 2.0], [1.0]), "lengths_differ"),
        (([1.0], [1.0, 2.0], [1.0], [1.0, 2.0]), "lengths_differ"),
        (([2.0], [1.0], [1.0], [1.0]), "limits_crossed"),
        (([float("nan")], [1.0], [1.0], [1.0]), "not_finite"),
    ],
)
def test_impossible_input_is_refused(ends: tuple[list[float], ...], code: str) -> None:
    """Ends without a meaning raise a typed error."""
    with pytest.raises(MeasureError) as caught:
        not_clearly_beaten(*ends)
    assert caught.value.code == code


def test_nothing_has_no_best() -> None:
    """Of no results none is unbeaten."""
    assert unbeaten([], []).tolist() == []
    assert not_clearly_beaten([], [], [], []).tolist() == []
