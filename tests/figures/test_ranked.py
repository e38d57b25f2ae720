"""One quantity of several configurations, with their intervals."""

from __future__ import annotations

import itertools

import pytest

from sitegen.figures.ranked import RankedRow, caption, description, spec, table
from sitegen.figures.theme import NARROW, SHEET, WIDE, Frame, colour
from tests.figures.examples import ALL_FRAMES, boxes, overlap, ranked_figure, texts


def test_order_is_kept() -> None:
    """Rows stand from above in the order given."""
    rows = spec(ranked_figure())["datasets"]
    assert [row["label"] for row in rows["dots"]] == [
        "Birch, high",
        "Alder, high",
        "Cedar, high",
    ]
    heights = [row["py"] for row in rows["dots"]]
    assert heights == sorted(heights)


def test_intervals_are_drawn_where_there_are_any() -> None:
    """Each interval is a bar between its limits; a value without has none."""
    rows = spec(ranked_figure())["datasets"]
    assert [(row["low"], row["high"]) for row in rows["bars"]] == [
        (237.417, 254.352),
        (176.295, 188.869),
    ]
    assert len(rows["dots"]) == 3


def test_what_is_not_rated_is_hollow() -> None:
    """A result that is not rated has a hollow mark, and the caption says so."""
    rows = spec(ranked_figure())["datasets"]
    assert [row["fill"] for row in rows["dots"]] == [colour(0), SHEET, colour(0)]
    assert caption(ranked_figure()) == (
        "Bars: 95 % intervals. Hollow marks: results that are not rated."
    )
    assert caption(ranked_figure(RankedRow("A", 1.0))) == ""


def test_axis_begins_at_zero() -> None:
    """An axis of amounts begins at zero and holds every limit."""
    made = spec(ranked_figure())
    low, high = made["layer"][1]["encoding"]["x"]["scale"]["domain"]
    assert (low, high) == (0, 300)


def test_an_interval_below_nought_does_not_stretch_the_axis() -> None:
    """It ends at nought, where the axis still begins, with an arrow that is told of."""
    figure = ranked_figure(RankedRow("A", 76.0, -73.0, 225.0), RankedRow("B", 60.0))
    made = spec(figure)
    low, high = made["layer"][1]["encoding"]["x"]["scale"]["domain"]
    assert (low, high) == (0, 250)
    (bar,) = made["datasets"]["bars"]
    assert (bar["low"], bar["high"]) == (0, 225.0)
    (arrow,) = made["datasets"]["beyond"]
    assert (arrow["px"], arrow["py"]) == (0, bar["py"])
    assert "An arrow: the interval goes on below nought." in caption(figure)
    # The numbers are told in full.
    assert table(figure)[1][0][2] == "−70 to 220"


def test_a_negative_value_is_within_its_axis() -> None:
    """Where a value itself is negative, the axis begins below it and nothing is cut."""
    figure = ranked_figure(RankedRow("A", -3.0, -8.0, 2.0), RankedRow("B", 60.0))
    made = spec(figure)
    low, _ = made["layer"][1]["encoding"]["x"]["scale"]["domain"]
    assert low <= -8
    assert made["datasets"]["beyond"] == []


def test_axis_of_levels_begins_nearby() -> None:
    """An axis of levels does not begin at nought decibels."""
    levels = ranked_figure(
        RankedRow("A", 52.0), RankedRow("B", 47.0), from_zero=False, decibels=True
    )
    low, _ = spec(levels)["layer"][3]["encoding"]["x"]["scale"]["domain"]
    assert 40 < low <= 47


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_words_do_not_collide(frame: Frame) -> None:
    """Names, values and head stand free of each other and inside the sheet."""
    figure = ranked_figure(
        *(
            RankedRow(
                f"Alder Tower with fine filter, speed {at}", 200.0 - at, 150.0, 250.0
            )
            for at in range(6)
        )
    )
    made = spec(figure, frame)
    rows = made["datasets"]
    words = boxes([*rows["names"], *rows["values"], *rows["heads"]], frame.text_px)
    for one, other in itertools.combinations(words, 2):
        assert not overlap(one, other)
    for left, _, right, _ in words:
        assert left >= -made["padding"]["left"] - 0.01
        assert right <= made["width"] + made["padding"]["right"] + 0.01


def test_names_over_bars_on_a_phone() -> None:
    """On a phone a name stands above its bar, on a wide screen beside it."""
    phone = spec(ranked_figure(), NARROW)["datasets"]
    wide = spec(ranked_figure(), WIDE)["datasets"]
    for name, dot in zip(phone["names"], phone["dots"], strict=True):
        assert name["py"] < dot["py"]
    for name, dot in zip(wide["names"], wide["dots"], strict=True):
        assert name["py"] == dot["py"]


def test_values_in_words() -> None:
    """Beside each row stands its interval, or the value where it has none."""
    assert texts(spec(ranked_figure())["datasets"]["values"]) == [
        "237.4 to 254.4",
        "176.3 to 188.9",
        "98.1",
    ]


def test_description() -> None:
    """The text alternative has every value with its interval and unit."""
    assert description(ranked_figure()) == (
        "CADR, in order. "
        "Birch, high: 245.7 m³/h, 95 % interval 237.4 to 254.4. "
        "Alder, high: 182.5 m³/h, 95 % interval 176.3 to 188.9. "
        "Cedar, high: 98.1 m³/h."
    )


def test_description_without_a_unit() -> None:
    """A quantity without a unit leaves no space before the stop."""
    figure = ranked_figure(RankedRow("A", 3.0), unit="", label="Runs")
    assert description(figure) == "Runs, in order. A: 3.00."


def test_table() -> None:
    """The table has value and interval apart, an empty cell where there is none."""
    header, rows = table(ranked_figure())
    assert header == ("Configuration", "CADR, m³/h", "95 % interval")
    assert rows == (
        ("Birch, high", "245.7", "237.4 to 254.4"),
        ("Alder, high", "182.5", "176.3 to 188.9"),
        ("Cedar, high", "98.1", ""),
    )


def test_levels_in_words() -> None:
    """Levels are said to half a decibel in every place."""
    figure = ranked_figure(
        RankedRow("A", 44.68, 43.7, 45.66),
        unit="dB(A)",
        label="Sound level",
        decibels=True,
    )
    assert table(figure)[1] == (("A", "44.5", "43.5 to 45.5"),)
    assert "A: 44.5 dB(A), 95 % interval 43.5 to 45.5." in description(figure)


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_nothing_to_rank(frame: Frame) -> None:
    """A figure without rows has an axis and no marks."""
    empty = ranked_figure()
    empty = type(empty)(title=empty.title, rows=(), label=empty.label)
    rows = spec(empty, frame)["datasets"]
    assert (rows["dots"], rows["bars"], rows["names"]) == ([], [], [])
