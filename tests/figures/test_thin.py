"""Fewer points for drawing, keeping what the eye would see."""

from __future__ import annotations

import numpy as np
import pytest

from sitegen.figures.thin import every, thinned


@pytest.mark.parametrize("count", [0, 1, 8, 160])
def test_few_points_are_all_kept(count: int) -> None:
    """A series within the limit is drawn as it is, gaps and all."""
    values = [None if at % 3 == 1 else float(at) for at in range(count)]
    assert thinned(values) == list(range(count))


@pytest.mark.parametrize("limit", [8, 20, 80, 160])
@pytest.mark.parametrize("count", [161, 500, 7200])
def test_limit_holds(count: int, limit: int) -> None:
    """No more than the limit is kept, in order, each once, ends included."""
    rng = np.random.default_rng(count)
    values = [None if rng.random() < 0.2 else float(rng.normal()) for _ in range(count)]
    kept = thinned(values, limit)
    assert len(kept) <= limit
    assert kept == sorted(set(kept))
    assert (kept[0], kept[-1]) == (0, count - 1)


def test_extremes_are_kept() -> None:
    """A single spike up or down is never thinned away."""
    values: list[float | None] = [1.0 + 0.001 * (at % 7) for at in range(5000)]
    values[1234], values[3456] = 9.0, -9.0
    assert {1234, 3456} <= set(thinned(values))


def test_gap_stays_a_gap() -> None:
    """Between the readings before and after a gap a missing one is kept."""
    values: list[float | None] = [float(at) for at in range(2000)]
    for at in range(700, 760):
        values[at] = None
    kept = thinned(values)
    missing = [at for at in kept if values[at] is None]
    assert missing
    assert all(700 <= at < 760 for at in missing)
    before = max(at for at in kept if at < 700)
    after = min(at for at in kept if at >= 760)
    assert before < missing[0] < after


def test_single_missing_reading_stays() -> None:
    """A gap of one reading among thousands is still a gap."""
    values: list[float | None] = [float(at) for at in range(5000)]
    values[2500] = None
    assert 2500 in thinned(values)


@pytest.mark.parametrize(("count", "limit"), [(5, 8), (8, 8), (0, 3)])
def test_every_of_few(count: int, limit: int) -> None:
    """Places within the limit are all taken."""
    assert every(count, limit) == list(range(count))


def test_every_is_even() -> None:
    """Places are spaced evenly, with both ends."""
    assert every(101, 5) == [0, 25, 50, 75, 100]
    found = every(1000, 40)
    assert (len(found), found[0], found[-1]) == (40, 0, 999)
    steps = np.diff(found)
    assert steps.max() - steps.min() <= 1
