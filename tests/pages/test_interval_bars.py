"""Intervals drawn in cells."""

from __future__ import annotations

import re

import pytest

from sitegen.findings.views import ResultRow
from sitegen.pages.interval_bars import WIDTH, bar_classes, bar_scale
from tests.conftest import ROOT


def _row(cadr: float | None, low: float | None, high: float | None) -> ResultRow:
    return ResultRow(
        device="a",
        filter="none",
        speed="s",
        method="m",
        fraction="pm2_5",
        runs=1,
        run_ids=(),
        validity="rated",
        flags=(),
        cadr_m3h=cadr,
        cadr_low=low,
        cadr_high=high,
        sound_dba=33.0,
        sound_low=32.0,
        sound_high=34.0,
    )


def test_a_flow_is_drawn_from_zero_to_the_largest_limit() -> None:
    """On 0 to 192, 48 to 192 with 96 is a quarter to the end, crossed half-way."""
    row = _row(96, 48, 192)
    scale = bar_scale([row], "cadr_m3h")
    assert bar_classes(scale, "cadr_m3h", row) == f"ranged l24 r{WIDTH} v48"


def test_a_sound_level_starts_at_a_whole_five() -> None:
    """Levels from 32 to 34 dB(A) stand on a scale from 30."""
    scale = bar_scale([_row(1, 1, 1)], "sound_dba")
    assert scale is not None
    assert (scale.start, scale.end) == (30.0, 34.0)


def test_what_has_no_interval_has_no_bar() -> None:
    """A missing value, limit or column scale draws nothing."""
    rows = [_row(None, None, None), _row(5, None, 9)]
    scale = bar_scale([*rows, _row(5, 4, 6)], "cadr_m3h")
    assert [bar_classes(scale, "cadr_m3h", row) for row in rows] == ["", ""]
    assert bar_scale(rows[:1], "cadr_m3h") is None
    assert bar_scale(rows, "power_w") is None


def test_a_narrow_interval_is_still_seen() -> None:
    """Limits that fall on one place draw a line of two units about the value."""
    rows = [_row(50, 50, 50), _row(96, 96, 96)]
    scale = bar_scale(rows, "cadr_m3h")
    assert bar_classes(scale, "cadr_m3h", rows[0]) == "ranged l49 r51 v50"
    assert bar_classes(scale, "cadr_m3h", rows[1]) == "ranged l94 r96 v96"


def test_a_far_value_does_not_press_the_others_together() -> None:
    """One value a hundred times the rest is an arrowhead at the end of their scale."""
    rows = [*(_row(96, 90, 100) for _ in range(8)), _row(9600, 9000, 10000)]
    scale = bar_scale(rows, "cadr_m3h")
    assert scale is not None
    assert scale.end == pytest.approx(400)
    assert bar_classes(scale, "cadr_m3h", rows[-1]) == "ranged beyond"
    assert "beyond" not in bar_classes(scale, "cadr_m3h", rows[0])


@pytest.mark.parametrize("which", "lrv")
def test_the_stylesheet_knows_every_place(which: str) -> None:
    """Each of the 97 places has its rule for either limit and for the value."""
    css = (ROOT / "assets/css/bars.css").read_text(encoding="utf-8")
    found = re.findall(rf"\.{which}(\d+){{--{which}:(\d+)}}", css)
    assert found == [(str(at), str(at)) for at in range(WIDTH + 1)]
