"""Results over time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sitegen.findings.views import Interval, Labels
from sitegen.pages.history_line import history_lines
from sitegen.pages.run_rows import RunBrief
from sitegen.pages.words import ENGLISH
from tests.pages.builders import SITE

LABELS = Labels(
    id="alder",
    name="Alder",
    maker="Fen",
    form="portable",
    speeds=(("low", "Low"), ("high", "High")),
    filters=(("fine", "Alder fine filter"),),
    held=False,
    withdrawn=False,
)
FAMILIES = {"decay-1": "decay-2", "decay-2": "decay-2"}


def _run(
    name: str, day: str, cadr: float, *, unit: str = "a", method: str = "decay-2"
) -> RunBrief:
    return RunBrief(
        id=name,
        kind="decay",
        day=day,
        status="accepted",
        filter="fine",
        speed="high",
        method=method,
        specimen=unit,
        cadr=Interval(cadr, cadr - 10, cadr + 10),
    )


RUNS = (
    _run("r1", "2024-01-01", 200.0),
    _run("r2", "2024-07-01", 150.0, method="decay-1"),
    _run("r3", "2024-12-31", 100.0, unit="b"),
)


def test_a_run_stands_at_its_date_and_its_value() -> None:
    """Half a year is half the width, half the CADR half the height over nought."""
    (line,) = history_lines(ENGLISH, SITE, LABELS, RUNS, FAMILIES)
    x = [float(mark.x.removesuffix("%")) for mark in line.marks]
    assert x[1] - x[0] == pytest.approx((x[2] - x[0]) * 182 / 365, abs=0.1)
    nought = next(float(y) for y, text in line.ticks if text == "0")
    up = [nought - float(mark.y) for mark in line.marks]
    assert up[0] == pytest.approx(2 * up[2], abs=0.2)
    reach = [float(mark.low) - float(mark.high) for mark in line.marks]
    assert reach == pytest.approx([up[0] * 20 / 200] * 3, abs=0.2)
    assert line.setting == "High, fine filter"
    assert "3 runs from 1 January 2024 to 31 December 2024" in line.said
    assert "between 100 and 200 m³/h" in line.said


def test_a_unit_is_named_where_it_begins() -> None:
    """One letter for runs of one unit that follow each other; none for one alone."""
    (line,) = history_lines(ENGLISH, SITE, LABELS, RUNS, FAMILIES)
    assert [mark.unit for mark in line.marks] == ["a", "", "b"]
    (alone,) = history_lines(ENGLISH, SITE, LABELS, RUNS[:2], FAMILIES)
    assert [mark.unit for mark in alone.marks] == ["", ""]


def test_what_is_no_history_is_not_drawn() -> None:
    """Repeats of a week, rejected runs, and methods that share no set draw no line."""
    week = (_run("r1", "2024-01-01", 200.0), _run("r2", "2024-01-08", 190.0))
    rejected = (RUNS[0], replace(RUNS[2], status="rejected"))
    apart = (RUNS[0], replace(RUNS[2], method="other"))
    for runs in (week, rejected, apart):
        assert history_lines(ENGLISH, SITE, LABELS, runs, FAMILIES) == ()
