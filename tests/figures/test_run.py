"""One run's readings: axis, gaps, events, and what is said of them."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from sitegen.figures.labels import width_em
from sitegen.figures.run import (
    EVENTS,
    RunFigure,
    RunLine,
    caption,
    description,
    spec,
    table,
)
from sitegen.figures.theme import INK, NARROW, WIDE, Frame, colour
from tests.figures.examples import ALL_FRAMES, Rows, boxes, overlap, run_figure, texts


def one_line(*values: float | None, **more: Any) -> RunFigure:
    times = tuple(float(t) for t in range(len(values)))
    lines = (RunLine("Bench A", times, values),)
    return run_figure(lines=lines, events=(), window_min=None, rate_per_h=None, **more)


def drawn(figure: RunFigure, frame: Frame = WIDE) -> dict[str, Rows]:
    made: dict[str, Rows] = spec(figure, frame)["datasets"]
    return made


def y_scale(made: dict[str, Any]) -> dict[str, Any]:
    scale: dict[str, Any] = next(
        layer["encoding"]["y"]["scale"]
        for layer in made["layer"]
        if layer["data"]["name"] == "readings"
    )
    return scale


def test_readings_as_logged() -> None:
    """Readings stand as logged on a logarithmic axis, a gap stays a gap."""
    made = spec(one_line(300.0, None, 200.0))
    assert [row["y"] for row in made["datasets"]["readings"]] == [300, None, 200]
    assert y_scale(made)["type"] == "log"
    assert made["datasets"]["floored"] == []


@pytest.mark.parametrize("low", [0.0, -3.0, 1e-4])
def test_what_the_axis_cannot_show_is_marked(low: float) -> None:
    """A reading of zero, below zero or four decades down is a triangle at the edge."""
    figure = one_line(300.0, low, 100.0)
    made = spec(figure)
    (mark,) = made["datasets"]["floored"]
    assert (mark["t"], mark["y"]) == (1, y_scale(made)["domain"][0])
    assert "Triangles mark readings of zero, below zero" in caption(figure)
    assert "Triangles" not in caption(one_line(300.0, 200.0, 100.0))


def test_run_without_a_positive_reading() -> None:
    """A run that read nothing at all is drawn all the same, every reading marked."""
    made = spec(one_line(0.0, -1.0, 0.0))
    assert len(made["datasets"]["floored"]) == 3
    low, high = y_scale(made)["domain"]
    assert 0 < low < high


def test_run_without_readings() -> None:
    """A run whose instrument logged nothing has neither line nor name."""
    rows = drawn(one_line(None, None))
    assert [row["y"] for row in rows["readings"]] == [None, None]
    assert rows["labels"] == []


def test_instruments_differ_in_colour_and_dash() -> None:
    """Two instruments differ in colour and in dash, and each fit is a dark line."""
    rows = drawn(run_figure())
    looks = {(row["colour"], tuple(row["dash"])) for row in rows["readings"]}
    assert {look[0] for look in looks} == {colour(0), colour(1)}
    assert len({look[1] for look in looks}) == 2
    assert {row["colour"] for row in rows["fits"]} == {INK}
    assert texts(rows["labels"]) == ["Bench A", "Bench B"]


def test_fitted_part_is_shaded() -> None:
    """The fitted part is shaded from its first to its last minute, or not at all."""
    (shade,) = drawn(run_figure())["window"]
    assert (shade["from"], shade["to"]) == (4.0, 30.0)
    assert drawn(run_figure(window_min=None))["window"] == []


def test_fit_below_the_axis_is_left_out() -> None:
    """A fit that falls under the axis ends there."""
    times = (0.0, 1.0, 2.0)
    line = RunLine("Bench A", times, (300.0, 200.0, 100.0), times, (300.0, 1.0, 1e-9))
    made = spec(run_figure(lines=(line,)))
    bottom = y_scale(made)["domain"][0]
    assert len(made["datasets"]["fits"]) < 3
    assert all(row["y"] >= bottom for row in made["datasets"]["fits"])


def rules_and_names(
    events: tuple[tuple[float, str], ...], frame: Frame
) -> tuple[
    list[tuple[float, float]],
    list[tuple[float, float, float, float]],
    dict[str, Any],
]:
    """Return each event's rule (x, its upper end), each name's box, and the spec."""
    # A short name leaves little room at the right.
    lines = (replace(run_figure().lines[0], label="A"),)
    made = spec(run_figure(events=events, lines=lines), frame)
    first, last = next(
        layer["encoding"]["x"]["scale"]["domain"]
        for layer in made["layer"]
        if layer["data"]["name"] == "readings"
    )
    rows = made["datasets"]
    rules = [
        ((row["t"] - first) / (last - first) * made["width"], row["top"])
        for row in rows["events"]
    ]
    return rules, boxes(rows["event_names"], frame.text_px), made


def check_events(events: tuple[tuple[float, str], ...], frame: Frame) -> None:
    rules, names, made = rules_and_names(events, frame)
    assert len(rules) == len(names) == len(events)
    for one, other in itertools.combinations(names, 2):
        assert not overlap(one, other), events
    for across, top in rules:
        for left, _, right, bottom in names:
            assert not (left < across < right and top < bottom), events
    padding = made["padding"]
    for left, top, right, _ in names:
        assert left >= -padding["left"], events
        assert right <= made["width"] + padding["right"], events
        assert top >= -padding["top"], events


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_event_at_the_end_keeps_its_name(frame: Frame) -> None:
    """The name of an event at the end of a run is not cut off by the sheet's edge."""
    check_events(((0.0, "injected"), (30.0, "device_off")), frame)


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_rule_never_crosses_a_name(frame: Frame) -> None:
    """A name that ends between two rules stands above the nearer one's name."""
    check_events(((0.0, "door"), (2.0, "injected"), (4.0, "door")), frame)
    check_events(((0.0, "injected"), (3.0, "device_off"), (6.0, "door")), frame)


@pytest.mark.parametrize("frame", ALL_FRAMES, ids=lambda frame: frame.name)
def test_events_anywhere(frame: Frame) -> None:
    """In 60 random runs no names overlap, no rule crosses a name and none is cut."""
    rng = np.random.default_rng(11)
    kinds = list(EVENTS)
    for _ in range(20):
        count = int(rng.integers(1, 5))
        events = tuple(
            (float(rng.integers(0, 31)), kinds[int(rng.integers(len(kinds)))])
            for _ in range(count)
        )
        check_events(events, frame)


def test_name_stands_at_its_rule() -> None:
    """A name begins or ends at its own rule."""
    events = ((2.0, "injected"), (15.0, "door"), (30.0, "device_off"))
    rules, names, _ = rules_and_names(events, NARROW)
    em = NARROW.text_px
    for (across, _), (left, _, right, _) in zip(rules, names, strict=True):
        assert min(abs(left - across), abs(right - across)) < 0.5 * em
    assert width_em("cleaner off") * em < NARROW.width


def test_unknown_event_is_named_by_its_code() -> None:
    """An event that has no words yet is still shown."""
    assert texts(drawn(run_figure(events=((3.0, "lamp_on"),)))["event_names"]) == [
        "lamp_on"
    ]


def test_description() -> None:
    """The text alternative names instruments, fit and events in order of time."""
    figure = run_figure(events=((1.0, "device_on"), (0.0, "injected")))
    assert description(figure) == (
        "Readings of Bench A and Bench B against time. "
        "Fitted from minute 4.00 to minute 30.0: decay rate 6.00 per hour. "
        "Events: aerosol in at minute 0; cleaner on at minute 1.00."
    )


def test_description_of_a_run_without_fit() -> None:
    """A run that could not be fitted is said to have no rate by saying none."""
    figure = replace(one_line(3.0, 2.0), description="Nothing could be fitted.")
    assert description(figure) == "Nothing could be fitted."


def test_caption() -> None:
    """The caption tells what is shaded, and of points that are not drawn."""
    assert caption(run_figure()) == ("Shaded: the fitted part; strong line: the fit.")
    many = one_line(*(300.0 - at / 10 for at in range(1000)))
    assert caption(many) == (
        "Fewer points are drawn than were read; the data have them all."
    )


def test_table() -> None:
    """About twenty readings of each instrument stand in the table, ends included."""
    figure = one_line(*(float(1000 - at) for at in range(200)))
    header, rows = table(figure)
    assert header == ("Elapsed time, min", "Bench A, µg/m³")
    assert len(rows) == 21
    assert (rows[0], rows[-1]) == (("0", "1000"), ("199", "801"))


def test_table_of_gaps() -> None:
    """A missing reading is an empty cell."""
    assert table(one_line(300.0, None))[1] == (("0", "300"), ("1.00", ""))
