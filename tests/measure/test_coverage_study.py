"""A quick draw of the coverage study that ``python -m tests.bench.coverage`` makes."""

from __future__ import annotations

import numpy as np
import pytest

from tests.bench.coverage import Cell, study, table

RUNS = 240
# What a share of 91 to 99 % may come to by chance in so few runs, at three sigma.
LEAST, MOST = 0.855, 1.0


@pytest.fixture(scope="module")
def cells() -> dict[str, Cell]:
    """Return every cell of the study by its name, with a fixed seed."""
    return {cell.name: cell for cell in study(RUNS, seed=7)}


def test_intervals_hold_the_truth_as_often_as_they_say(cells: dict[str, Cell]) -> None:
    """In every realistic cell about 95 of 100 intervals hold the true value."""
    grid = {name: cell.coverage for name, cell in cells.items() if not cell.known}
    assert len(grid) == 20
    assert [name for name, share in grid.items() if not LEAST <= share <= MOST] == []
    assert 0.93 <= np.mean(list(grid.values())) <= 0.985
    assert all(abs(cell.bias) < 0.02 for cell in cells.values() if not cell.known)


def test_ordinary_least_squares_would_promise_too_much(
    cells: dict[str, Cell],
) -> None:
    """The study can tell a poor interval from a good one: this one is poor."""
    plain = [cells[name].plain for name in ("S2", "S3", "S4", "S5", "S7", "U1", "U5")]
    assert max(plain) < 0.88


def test_known_failures_are_failures(cells: dict[str, Cell]) -> None:
    """What no interval can hold is in the study, and said beside it."""
    assert cells["step"].coverage < 0.6
    assert cells["walk"].coverage < 0.8
    assert cells["U4"].bias < -0.005
    assert cells["U7-"].coverage < cells["U7"].coverage
    printed = table(list(cells.values()))
    assert "5 % step half-way (known to fail; caught by STEP)" in printed
    assert printed.splitlines()[-1].startswith("realistic grid: least")
