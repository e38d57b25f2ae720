"""Widths, line breaks, and labels that do not collide."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from sitegen.figures.labels import Box, clipped, spread, width_em, wrapped


def test_width_grows_with_every_letter() -> None:
    """A text is as wide as its letters together, broad ones wider than slim ones."""
    assert width_em("") == 0
    assert width_em("ab") == pytest.approx(width_em("a") + width_em("b"))
    assert width_em("W") > width_em("N") > width_em("n") > width_em("i")
    assert width_em("空") >= 1.0


def test_clipped() -> None:
    """A text that fits stays; one that does not ends in an ellipsis and fits."""
    assert clipped("Alder", 10) == "Alder"
    short = clipped("Alder Tower with two filters", 8)
    assert short.endswith("…")
    assert width_em(short) <= 8
    assert "Alder Tower with two filters".startswith(short[:-1])


def test_clipped_leaves_no_loose_point() -> None:
    """No space, comma or point is left before the ellipsis."""
    for room in np.linspace(2, 14, 60):
        assert not clipped("Alder, fine. Speed · two", float(room))[:-1].endswith(
            (" ", ",", ".", "·")
        )


def test_wrapped_breaks_between_words() -> None:
    """Words are put on lines in order, none lost while the lines suffice."""
    lines = wrapped("Alder Tower fine filter high", 8, 4)
    assert " ".join(lines) == "Alder Tower fine filter high"
    assert len(lines) > 1
    assert all(width_em(line) <= 8 for line in lines)


def test_wrapped_ends_in_an_ellipsis() -> None:
    """What does not fit on the last line is cut, with an ellipsis."""
    lines = wrapped("Alder Tower fine filter high speed and ioniser", 8, 2)
    assert len(lines) == 2
    assert lines[1].endswith("…")
    assert all(width_em(line) <= 8 for line in lines)


def test_wrapped_keeps_what_belongs_together() -> None:
    """A no-break space is no place to break at."""
    assert "90\u00a0%" in wrapped("target 90\u00a0% left", 4.2, 3)


@pytest.mark.parametrize("text", ["", "  "])
def test_wrapped_nothing(text: str) -> None:
    """An empty text is one empty line."""
    assert wrapped(text, 8) == [""]


def test_labels_that_do_not_meet_stay() -> None:
    """Labels with room between them stand where they are wanted."""
    assert spread([10, 50, 90], [10, 10, 10], 0, 100) == [10, 50, 90]


def test_two_labels_at_one_place() -> None:
    """Two labels wanted at one place part to either side of it."""
    assert spread([50, 50], [10, 10], 0, 100) == [45, 55]


def test_labels_at_the_edge_are_moved_in() -> None:
    """A label wanted beyond an edge stands inside it."""
    assert spread([-20, 120], [10, 10], 0, 100) == [5, 95]


def test_too_many_labels_are_packed_from_the_top() -> None:
    """Labels that cannot all fit are packed from the upper edge, none overlapping."""
    assert spread([50, 50, 50], [20, 20, 20], 0, 40) == [10, 30, 50]


def test_labels_never_overlap() -> None:
    """In 200 random cases no two overlap, their order holds and all lie inside."""
    rng = np.random.default_rng(5)
    for _ in range(200):
        count = int(rng.integers(1, 9))
        wanted = [float(value) for value in rng.uniform(-50, 350, count)]
        heights = [float(value) for value in rng.uniform(5, 30, count)]
        centres = spread(wanted, heights, 0, 300)
        order = [at for _, at in sorted(zip(wanted, range(count), strict=True))]
        for upper, lower in itertools.pairwise(order):
            apart = centres[lower] - centres[upper]
            assert apart >= (heights[upper] + heights[lower]) / 2 - 1e-9
        for at in range(count):
            assert centres[at] - heights[at] / 2 >= -1e-9
            assert centres[at] + heights[at] / 2 <= 300 + 1e-9


def test_least_movement() -> None:
    """Three that collide move by the least sum of squares: their mean stays."""
    centres = spread([100, 101, 105], [10, 10, 10], 0, 300)
    assert centres == pytest.approx([92, 102, 112])


def test_boxes() -> None:
    """Boxes meet when they share area, not when they touch."""
    one = Box(0, 0, 10, 10)
    assert one.meets(Box(9, 9, 20, 20))
    assert not one.meets(Box(10, 0, 20, 10))
    assert not one.meets(Box(0, 10, 10, 20))
    assert Box(1, 1, 10, 10).within(one)
    assert not Box(1, 1, 10.5, 10).within(one)
