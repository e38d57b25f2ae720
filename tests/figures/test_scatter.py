"""Two quantities against each other: points, names, what is said."""

from __future__ import annotations

import itertools

import pytest

from sitegen.figures.scatter import Side, caption, description, spec, table
from sitegen.figures.theme import NARROW, SHEET, WIDE, Frame, colour
from tests.figures.examples import (
    ALL_FRAMES,
    boxes,
    overlap,
    point,
    scatter_figure,
    texts,
)


def test_points_and_bars() -> None:
    """Each point stands at its two values, with a bar for each interval that it has."""
    rows = spec(scatter_figure())["datasets"]
    assert [(row["x"], row["y"]) for row in rows["points"]] == [
        (32, 80),
        (48, 182),
        (52, 245),
    ]
    assert rows["across"] == []
    assert rows["upright"][0] == {"x": 32, "low": 75, "high": 85}
    bare = spec(scatter_figure(point("A", 30, 100, None)))["datasets"]
    assert bare["upright"] == []


def test_what_is_not_rated_is_hollow() -> None:
    """A result that is not rated has a hollow mark, and the caption says so."""
    rows = spec(scatter_figure())["datasets"]
    assert [row["fill"] for row in rows["points"]] == [colour(0), colour(0), SHEET]
    assert caption(scatter_figure()) == (
        "Bars: 95 % intervals. Hollow marks: results that are not rated."
    )
    assert caption(scatter_figure(point("A", 30, 100, None))) == ""


def test_axes() -> None:
    """Amounts begin at zero, levels nearby, and every limit is on its axis."""
    layer = spec(scatter_figure())["layer"][2]["encoding"]
    assert layer["x"]["scale"]["domain"][0] > 0
    assert layer["x"]["scale"]["domain"][0] <= 32
    assert layer["y"]["scale"]["domain"] == [0, 250]


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_names_stand_free(frame: Frame) -> None:
    """Names beside points that lie apart are whole and meet neither each other."""
    rows = spec(scatter_figure(), frame)["datasets"]
    assert texts(rows["labels"]) == ["Alder, low", "Alder, high", "Birch, high"]
    assert rows["key"] == []
    for one, other in itertools.combinations(boxes(rows["labels"], frame.text_px), 2):
        assert not overlap(one, other)


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_crowded_names_become_numbers(frame: Frame) -> None:
    """Points too near for their names have numbers, in order, and a key in full."""
    names = [f"Alder Tower with fine filter, speed {at}" for at in range(12)]
    points = [point(name, 40 + at / 50, 100 + at / 5) for at, name in enumerate(names)]
    rows = spec(scatter_figure(*points), frame)["datasets"]
    numbers = [str(at + 1) for at in range(12)]
    assert texts(rows["labels"]) == numbers
    assert [row["number"] for row in rows["key"]] == numbers
    assert texts(rows["key"]) == names


def test_key_does_not_overlap_itself() -> None:
    """The entries of a key stand free of each other, on both sheets."""
    names = [f"Alder Tower with the second fine filter, speed {at}" for at in range(9)]
    points = [point(name, 40 + at / 50, 100 + at / 5) for at, name in enumerate(names)]
    for frame in (WIDE, NARROW):
        made = spec(scatter_figure(*points), frame)
        found = boxes(made["datasets"]["key"], frame.text_px)
        assert len(found) == 9
        for one, other in itertools.combinations(found, 2):
            assert not overlap(one, other)
        lowest = max(bottom for *_, bottom in found)
        assert lowest <= made["height"] + made["padding"]["bottom"]


def crowd() -> tuple[str, str]:
    unnamed = [point(f"Other {at}", 50 + at, 100 - at, named=False) for at in range(3)]
    figure = scatter_figure(point("Best", 30, 200), *unnamed)
    rows = spec(figure)["datasets"]
    assert len(rows["points"]) == 4
    assert texts(rows["labels"]) == ["Best"]
    # What stands out has a colour of its own, and is drawn last.
    inks = [row["fill"] for row in rows["points"]]
    assert inks[-1] not in inks[:-1]
    assert rows["points"][-1]["label"] == "Best"
    return description(figure), caption(figure)


def test_unnamed_points_are_drawn_and_counted() -> None:
    """A point without a name is drawn, counted in words, and in the table."""
    said, under = crowd()
    assert said.endswith("3 more are each beaten by one of these on both counts.")
    assert "Other" not in said
    assert under.endswith(
        "Named, in a colour of their own: those that no other beats on both counts."
    )
    one = scatter_figure(point("Best", 30, 200), point("Other", 50, 100, named=False))
    assert "1 more is beaten by one of these on both counts." in description(one)
    assert [row[0] for row in table(one)[1]] == ["Best", "Other"]


def test_description() -> None:
    """The text alternative has both values of every point, rounded as each is read."""
    assert description(scatter_figure(point("Alder, high", 48.26, 182.4))) == (
        "CADR against sound level. Alder, high: 182.4 m³/h at 48.5 dB(A)."
    )


def test_side_without_a_unit() -> None:
    """A quantity without a unit leaves no space behind its value."""
    figure = scatter_figure(point("A", 30, 100), y=Side("Runs"))
    assert "A: 100.0 at 30.0 dB(A)." in description(figure)


def test_table() -> None:
    """The table has values and intervals apart, empty where there is none."""
    header, rows = table(
        scatter_figure(point("A", 48.0, 182.4), point("B", 50, 90, None))
    )
    assert header == (
        "Configuration",
        "Sound level, dB(A)",
        "95 % interval",
        "CADR, m³/h",
        "95 % interval",
    )
    assert rows == (
        ("A", "48.0", "", "182.4", "177.4 to 187.4"),
        ("B", "50.0", "", "90.0", ""),
    )


def test_one_and_none() -> None:
    """A single point lies inside its axes; without points there are axes alone."""
    layer = spec(scatter_figure(point("A", 40, 100)))["layer"][2]["encoding"]
    low, high = layer["x"]["scale"]["domain"]
    assert low < 40 < high
    empty = type(scatter_figure())(
        title="None", points=(), x=Side("Sound level"), y=Side("CADR")
    )
    assert spec(empty)["datasets"]["points"] == []
    assert table(empty)[1] == ()


def test_an_interval_below_nought_ends_at_nought() -> None:
    """It does not stretch the axis, is said in full, and the caption tells of it."""
    figure = scatter_figure(point("Low", 30, 3), point("High", 40, 200))
    drawn = spec(figure)
    assert drawn["layer"][2]["encoding"]["y"]["scale"]["domain"][0] == 0
    upright = drawn["datasets"]["upright"]
    assert {(row["low"], row["high"]) for row in upright} == {(0.0, 8), (195, 205)}
    assert "A bar that ends at nought goes on below it." in caption(figure)
    assert "−2.0 to 8.0" in drawn["datasets"]["points"][0]["said_y"]


def test_values_below_nought_keep_their_intervals() -> None:
    """Where a value itself is negative the axis goes down to its limit."""
    figure = scatter_figure(point("Less", 30, -3), point("High", 40, 200))
    assert spec(figure)["layer"][2]["encoding"]["y"]["scale"]["domain"][0] <= -8
    assert "goes on below" not in caption(figure)
