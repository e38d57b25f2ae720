"""The stated power of the check for steps, against a quick draw of its study."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sitegen.measure.step_power import STEP_FALSE_FLAGS, STEP_POWER
from tests.bench.coverage import SERIES, logs
from tests.bench.step import (
    CLEAN_FOR_ONE,
    STEPS,
    StepCell,
    step_study,
    step_table,
    stepped,
)

RUNS = 80


def chance(share: float, runs: int = RUNS) -> float:
    """Return what a share may be off by chance, at three sigma and one run."""
    return 3.0 * math.sqrt(share * (1.0 - share) / runs) + 1.0 / runs


@pytest.fixture(scope="module")
def cells() -> list[StepCell]:
    """Return the study's lines from few runs, with a fixed seed."""
    return list(step_study(RUNS, seed=11))


def test_clean_runs_are_rarely_flagged(cells: list[StepCell]) -> None:
    """At most 5 % of clean runs are flagged, in every noise and over all of them."""
    assert 0.0 < STEP_FALSE_FLAGS <= 0.05
    most = STEP_FALSE_FLAGS + chance(STEP_FALSE_FLAGS, CLEAN_FOR_ONE * RUNS)
    assert [cell.name for cell in cells if cell.clean > most] == []
    assert np.mean([cell.clean for cell in cells]) <= 0.05


def test_power_is_the_stated_one(cells: list[StepCell]) -> None:
    """Least and most share of found steps are those stated, up to chance."""
    assert tuple(power.step for power in STEP_POWER) == STEPS
    for i, power in enumerate(STEP_POWER):
        found = [cell.power[i] for cell in cells]
        assert abs(min(found) - power.least) <= chance(power.least)
        assert abs(max(found) - power.most) <= chance(power.most)


def test_larger_steps_are_found_more_often() -> None:
    """The stated shares rise with the step and are shares."""
    shares = [(power.least, power.most) for power in STEP_POWER]
    assert shares == sorted(shares)
    assert all(0.0 <= least <= most <= 1.0 for least, most in shares)


def test_each_simulated_step_stands_in_the_middle_half() -> None:
    """A simulated step of 10 % moves all later readings, up or down, by ln 1.1."""
    rng = np.random.default_rng(3)
    clean = logs(SERIES[0], rng, 40)[1]
    moved = stepped(clean, 0.10, rng) - clean
    first = np.argmax(np.abs(moved) > 0.01, axis=1)
    assert first.min() >= 46 // 4
    assert first.max() < 46 - 46 // 4
    assert np.abs(moved[:, -1]) == pytest.approx(np.full(40, math.log(1.1)))
    assert np.sign(moved[:, -1]).min() == -1.0
    assert np.sign(moved[:, -1]).max() == 1.0


def test_table_says_least_and_most(cells: list[StepCell]) -> None:
    """The printed table has a line for each noise and ends with the stated figures."""
    lines = step_table(cells).splitlines()
    assert len(lines) == 1 + 9 + 1 + len(STEPS)
    assert lines[-1].startswith("15 % step: least")
