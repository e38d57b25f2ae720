"""Filters side by side."""

from __future__ import annotations

import re

import pytest

from sitegen.findings.views import Labels, ResultRow
from sitegen.pages.filter_grid import filter_grid
from sitegen.pages.words import ENGLISH
from tests.pages.builders import SITE

LABELS = Labels(
    id="alder",
    name="Alder",
    maker="Fen",
    form="portable",
    speeds=(("low", "Low"), ("s2", "2"), ("high", "High")),
    filters=(("fine", "Alder fine filter"), ("coarse", "Coarse mat")),
    held=False,
    withdrawn=False,
)


def _row(fitted: str, speed: str, cadr: float | None) -> ResultRow:
    near = (None, None) if cadr is None else (cadr - 5, cadr + 5)
    return ResultRow(
        device="alder",
        filter=fitted,
        speed=speed,
        method="decay-1",
        fraction="pm2_5",
        runs=1,
        run_ids=("r",),
        validity="not_rated" if cadr is None else "rated",
        flags=(),
        cadr_m3h=cadr,
        cadr_low=near[0],
        cadr_high=near[1],
    )


def test_filters_stand_side_by_side_the_fastest_speed_first() -> None:
    """Speeds are rows from the fastest, filters columns as the record lists them."""
    rows = [
        _row("fine", "low", 60.0),
        _row("fine", "high", 180.0),
        _row("coarse", "high", 120.0),
        _row("coarse", "s2", None),
    ]
    grid = filter_grid(ENGLISH, SITE, LABELS, rows)
    assert grid is not None
    assert grid.filters == ("Fine filter", "Coarse mat")
    assert [speed for speed, _ in grid.rows] == ["High", "Speed 2", "Low"]
    shown = [
        [cell.cadr.value or cell.missing for cell in cells] for _, cells in grid.rows
    ]
    assert shown == [
        ["180.0", "120.0"],
        ["not tested", "not rated"],
        ["60.0", "not tested"],
    ]
    assert grid.rows[0][1][0].cadr.interval == "175.0 to 185.0"


def test_one_filter_needs_no_grid() -> None:
    """Where one filter was tested there is nothing to stand beside it."""
    assert filter_grid(ENGLISH, SITE, LABELS, [_row("fine", "low", 60.0)]) is None


def test_intervals_of_all_filters_are_drawn_on_one_scale() -> None:
    """Twice the clean air stands twice as far along, whichever the filter."""
    rows = [_row("fine", "high", 180.0), _row("coarse", "high", 90.0)]
    grid = filter_grid(ENGLISH, SITE, LABELS, rows)
    assert grid is not None
    places = []
    for cell in grid.rows[0][1]:
        crossed = re.fullmatch(r"ranged l\d+ r\d+ v(\d+)", cell.bar)
        assert crossed is not None
        places.append(int(crossed[1]))
    assert places[0] == pytest.approx(2 * places[1], abs=1)
    missing = filter_grid(ENGLISH, SITE, LABELS, [*rows, _row("fine", "low", None)])
    assert missing is not None
    assert missing.rows[1][1][0].bar == ""
