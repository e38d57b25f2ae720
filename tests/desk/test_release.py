"""What a release takes for a change."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sitegen.desk.release import digests
from sitegen.findings.views import ResultRow

ROW = ResultRow(
    device="a",
    filter="b",
    speed="c",
    method="d",
    fraction="pm2_5",
    runs=1,
    run_ids=("r",),
    validity="rated",
    flags=(),
    cadr_m3h=183.44,
    running_cost_year=65.21,
    currency="EUR",
    rank_low=2,
)


@pytest.mark.parametrize(
    "other",
    [
        replace(ROW, cadr_m3h=183.44 * (1 + 1e-12)),
        replace(ROW, cadr_m3h=183.44002),
        replace(ROW, rank_low=3),
        replace(ROW, device="renamed"),
    ],
)
def test_no_change(other: ResultRow) -> None:
    """Arithmetic beyond six digits, another's place and a new id change no number."""
    assert digests(other) == digests(ROW)


@pytest.mark.parametrize(
    ("other", "measured"),
    [
        (replace(ROW, cadr_m3h=183.442), True),
        (replace(ROW, flags=("STEP",)), True),
        (replace(ROW, running_cost_year=65.22), False),
        (replace(ROW, currency="NOK"), False),
    ],
)
def test_change(other: ResultRow, measured: bool) -> None:
    """What a reader can see is a change, of what was measured or of what it costs."""
    then, now = digests(ROW).split(), digests(other).split()
    assert [a != b for a, b in zip(then, now, strict=True)] == [measured, not measured]
