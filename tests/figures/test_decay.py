"""Decay curves: lines, gaps, names, what is said in words and numbers."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import pytest

from sitegen.figures.decay import DecayFigure, DecayLine, spec
from sitegen.figures.decay_said import caption, cleared_min, description, table
from sitegen.figures.theme import NARROW, WIDE, Frame, colour, dash
from tests.figures.examples import (
    ALL_FRAMES,
    Rows,
    boxes,
    decay_figure,
    decay_line,
    overlap,
    texts,
)


def drawn(figure: DecayFigure, frame: Frame = WIDE) -> dict[str, Rows]:
    made: dict[str, Rows] = spec(figure, frame)["datasets"]
    return made


def line_of(values: tuple[float | None, ...], **more: Any) -> DecayLine:
    times = tuple(float(t) for t in range(len(values)))
    return replace(decay_line(), t_min=times, value=values, **more)


def test_shares_are_per_cent() -> None:
    """A share of 0.25 is drawn at 25 per cent, at its own minute."""
    rows = drawn(decay_figure(line_of((1.0, 0.5, 0.25))))
    assert [(row["t"], row["y"]) for row in rows["middles"]] == [
        (0, 100),
        (1, 50),
        (2, 25),
    ]


def test_roles_are_drawn_apart() -> None:
    """Middle run, repeats and fit are layers of their own, in one colour and dash."""
    figure = decay_figure(
        decay_line(), decay_line(role="repeat"), decay_line(role="fit")
    )
    rows = drawn(figure)
    for name in ("middles", "repeats", "fits"):
        assert {row["colour"] for row in rows[name]} == {colour(0)}
        assert len({row["line"] for row in rows[name]}) == 1
    assert rows["middles"][0]["dash"] == rows["repeats"][0]["dash"] == dash(0)
    assert {(row["low"] < row["high"]) for row in rows["bands"]} == {True}


def test_lines_differ_in_dash_as_in_colour() -> None:
    """Two series differ in colour and in dash."""
    rows = drawn(decay_figure(decay_line("A"), decay_line("B", index=1)))
    looks = {(row["colour"], tuple(row["dash"])) for row in rows["middles"]}
    assert len({look[0] for look in looks}) == 2
    assert len({look[1] for look in looks}) == 2


def test_gap_stays_a_gap() -> None:
    """A missing reading is drawn as missing, not bridged."""
    rows = drawn(decay_figure(line_of((1.0, None, 0.8, 0.7))))
    assert [row["y"] for row in rows["middles"]] == [100, None, 80, 70]
    assert rows["floored"] == []


@pytest.mark.parametrize("low", [0.0, -0.02, 1e-6])
def test_too_low_for_the_axis_is_marked(low: float) -> None:
    """A reading of zero, below zero or far under the axis is a triangle at its edge."""
    figure = decay_figure(line_of((1.0, 0.1, low, 0.05)))
    made = spec(figure)
    (mark,) = made["datasets"]["floored"]
    bottom = made["layer"][1]["encoding"]["y"]["scale"]["domain"][0]
    assert (mark["t"], mark["y"]) == (2, bottom)
    triangle = [
        layer["mark"]["shape"]
        for layer in made["layer"]
        if layer["data"]["name"] == "floored"
    ]
    assert triangle == ["triangle-down"]
    assert "Triangles mark readings under" in caption(figure)


def test_on_a_linear_axis_nothing_is_floored() -> None:
    """A linear axis reaches below zero where readings do."""
    figure = decay_figure(line_of((1.0, 0.1, -0.02)), scale="linear")
    made = spec(figure)
    assert made["datasets"]["floored"] == []
    assert made["layer"][1]["encoding"]["y"]["scale"]["domain"][0] < 0
    assert "Triangles" not in caption(figure)


def test_target_line() -> None:
    """The target is a rule at its share with its name beside it."""
    rows = drawn(decay_figure())
    assert rows["target"] == [{"y": 10}]
    assert "target 10\u00a0%" in texts(rows["labels"])


def test_no_target() -> None:
    """Without a common target there is neither rule nor name."""
    rows = drawn(decay_figure(target=None))
    assert rows["target"] == []
    assert texts(rows["labels"]) == ["Alder, high"]


def test_target_is_on_the_axis() -> None:
    """A target under all readings is on the axis all the same."""
    figure = decay_figure(line_of((1.0, 0.9)), target=0.05)
    low, high = spec(figure)["layer"][1]["encoding"]["y"]["scale"]["domain"]
    assert low <= 5 <= high


def test_names_stand_at_the_ends() -> None:
    """Lines that end together have their names beside them, none on another."""
    figure = decay_figure(
        *(
            decay_line(f"Device {at}", index=at, rate_per_h=5 + at / 9)
            for at in range(5)
        )
    )
    rows = drawn(figure)
    assert texts(rows["labels"])[:5] == [f"Device {at}" for at in range(5)]
    assert len(rows["leaders"]) == 5
    assert rows["key"] == []
    for one, other in itertools.combinations(boxes(rows["labels"], WIDE.text_px), 2):
        assert not overlap(one, other)


def far_apart() -> DecayFigure:
    return decay_figure(
        decay_line("Alder, high", minutes=12),
        decay_line("Birch, low", index=1, rate_per_h=2.0, minutes=61),
        decay_line("Cedar, low", index=2, rate_per_h=2.02, minutes=61),
    )


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_lines_that_end_far_apart_are_numbered(frame: Frame) -> None:
    """Where one line ends early each has a number at its end and a key below."""
    rows = drawn(far_apart(), frame)
    numbers = [row for row in rows["labels"] if row["text"][0].isdigit()]
    assert texts(numbers) == ["1", "2", "3"]
    assert rows["leaders"] == []
    assert [(row["number"], " ".join(row["text"])) for row in rows["key"]] == [
        ("1", "Alder, high"),
        ("2", "Birch, low"),
        ("3", "Cedar, low"),
    ]
    assert [row["colour"] for row in rows["key"]] == [colour(at) for at in range(3)]
    for one, other in itertools.combinations(boxes(numbers, frame.text_px), 2):
        assert not overlap(one, other)


def test_number_stands_at_its_line_end() -> None:
    """The early line's number stands where that line ends, not at the margin."""
    made = spec(far_apart())
    first = next(row for row in made["datasets"]["labels"] if row["text"] == ["1"])
    # It ends at 11 of 60 minutes.
    assert first["px"] == pytest.approx(made["width"] * 11 / 60, abs=WIDE.text_px)


def test_a_single_early_line_has_its_name() -> None:
    """A line alone is never numbered."""
    rows = drawn(decay_figure(decay_line(minutes=12)))
    assert "Alder, high" in texts(rows["labels"])
    assert rows["key"] == []


def test_names_too_long_for_the_side_are_keyed() -> None:
    """On a phone long names stand in a key, in full."""
    long = [f"Alder Tower with the second fine filter, speed {at}" for at in range(6)]
    lines = [decay_line(name, index=at) for at, name in enumerate(long)]
    rows = drawn(decay_figure(*lines), NARROW)
    assert texts(rows["key"]) == long


def test_line_without_readings_is_not_named() -> None:
    """A line of gaps alone has no end to put a name at."""
    figure = decay_figure(line_of((None, None), index=1, label="Empty"), decay_line())
    assert "Empty" not in " ".join(texts(drawn(figure)["labels"]))
    assert "Empty" not in description(figure)


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_drawing_has_the_width_of_its_frame(frame: Frame) -> None:
    """Plot and margins together are as wide as the frame."""
    made = spec(decay_figure(), frame)
    padding = made["padding"]
    assert made["width"] + padding["left"] + padding["right"] == pytest.approx(
        frame.width, abs=0.05
    )
    if frame.height:
        assert made["height"] + padding["top"] + padding["bottom"] == pytest.approx(
            frame.height, abs=0.05
        )


def test_still_has_title_and_credit() -> None:
    """A still says its title and its credit; in a page the page says them."""
    still = ALL_FRAMES[-1]
    assert still.titled
    figure = decay_figure(credit="Bench, 2024")
    said = [
        value["text"]
        for layer in spec(figure, still)["layer"]
        for value in layer["data"].get("values", [])
    ]
    assert said == ["Decay", "Bench, 2024"]
    assert all("values" not in one["data"] for one in spec(figure)["layer"])


def test_cleared() -> None:
    """A time between readings is found on the exponential: ln 10 / 6 hours."""
    assert cleared_min(decay_line(), 0.1) == pytest.approx(23.02585093)
    sparse = replace(decay_line(), t_min=(0.0, 30.0), value=(1.0, 0.0497870684))
    assert cleared_min(sparse, 0.1) == pytest.approx(23.02585093)


def test_cleared_over_a_gap_or_never() -> None:
    """A gap is passed over, a reading of nothing ends it, and never is none."""
    assert cleared_min(line_of((1.0, None, 0.25)), 0.5) == pytest.approx(1.0)
    assert cleared_min(line_of((1.0, 0.6, 0.0)), 0.5) == 2.0
    assert cleared_min(line_of((0.4, 0.3)), 0.5) == 0.0
    assert cleared_min(line_of((1.0, 0.9)), 0.5) is None


def test_description() -> None:
    """Each line is said with its time to the target, or what was left at last."""
    slow = decay_line("Birch, low", rate_per_h=2.0, index=1)
    assert description(decay_figure(decay_line(), slow)) == (
        "Decay of the aerosol, as a share of its start. "
        "Alder, high: 10 % left after 23 min; Birch, low: 37 % left after 30 min."
    )


def test_description_begins_as_told() -> None:
    """The sentence of a comparison begins the text alternative."""
    said = description(decay_figure(description="A is faster than B."))
    assert said.startswith("A is faster than B. Alder, high:")


def test_caption() -> None:
    """The caption tells of repeats, bands and thinned points where there are any."""
    assert caption(decay_figure()) == ""
    many = line_of(tuple(1.0 - at / 2000 for at in range(1000)))
    said = caption(
        decay_figure(many, decay_line(role="repeat"), decay_line(role="fit"))
    )
    assert said == (
        "Strong lines are the middle run, thin lines its repeats. "
        "Shaded: 95 % band of the fit. "
        "Fewer points are drawn than were read; the data have them all."
    )


def test_table() -> None:
    """The table has a column a run, per cent at round times, none for the fit."""
    figure = decay_figure(
        decay_line(), decay_line(role="repeat"), decay_line(role="fit")
    )
    header, rows = table(figure)
    assert header == (
        "Time since the start, min",
        "Alder, high, %",
        "Alder, high, repeat 1, %",
    )
    assert [row[0] for row in rows] == ["0", "5", "10", "15", "20", "25", "30"]
    # exp(-1) after ten minutes.
    assert rows[0] == ("0", "100", "100")
    assert rows[2] == ("10", "36.8", "36.8")


def test_table_leaves_gaps_empty() -> None:
    """Where a line was not read near a round time its cell is empty."""
    short = decay_line("Birch, high", minutes=13, index=1)
    _, rows = table(decay_figure(decay_line(), short))
    cells = {row[0]: row[2] for row in rows}
    assert cells["10"] == "36.8"
    assert cells["20"] == ""


def test_decimal_comma() -> None:
    """Words and numbers have the decimal sign of the page's language."""
    figure = decay_figure(decimal=",")
    assert table(figure)[1][2][1] == "36,8"
    assert spec(figure)["config"]["locale"]["number"]["decimal"] == ","
