"""How often the check for steps is right, on simulated runs.

``python -m tests.bench.step`` prints one table: the share of clean runs that are
flagged, and the share of runs with one step of 5, 10 or 15 % that are. ``--runs``
says how many runs with a step are simulated in a cell (clean ones four times as many,
since their share is the one that is bounded), ``--seed`` makes another draw.

The noise is that of the realistic cells of the coverage study, 40 to 120 readings. The
step goes up or down with even chance and stands at a random place in the middle half of
the readings. A run counts as flagged when the published rule raises its flag.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sitegen.measure.fit import filtered, prepared
from sitegen.measure.run_flags import shape_flags
from sitegen.measure.step import Step, largest_step
from tests.bench.coverage import SERIES, Series, logs

Floats = npt.NDArray[np.float64]

CLEAN_KINDS = tuple(kind for kind in SERIES if not kind.known)
STEPS = (0.05, 0.10, 0.15)
CLEAN_FOR_ONE = 4
_BATCH = 50
_NO_RESIDUALS = np.zeros(0)


@dataclass(frozen=True, slots=True)
class StepCell:
    """One line of the table.

    Attributes:
        name: name of the noise.
        what: what it stands for.
        readings: how many.
        clean: share of clean runs that are flagged.
        power: share of runs flagged that have a step, in the order of ``STEPS``.
    """

    name: str
    what: str
    readings: int
    clean: float
    power: tuple[float, ...]


def stepped(y: Floats, size: float, rng: np.random.Generator) -> Floats:
    """Return ln signals, (size, n), each with one step in its middle half.

    Args:
        y: clean ln signals, shape (runs, n).
        size: the step as a share of the level; 0 leaves the signals as they are.
        rng: source of the places and of the directions.
    """
    runs, n = y.shape
    at = rng.integers(n // 4, n - n // 4, size=runs)
    way = rng.choice([-1.0, 1.0], size=runs)
    after = np.arange(n) >= at[:, None]
    return np.asarray(y + np.log1p(size) * way[:, None] * after)


def is_flagged(step: Step | None) -> bool:
    """Tell whether the published rule raises STEP."""
    flags = shape_flags(None, step, _NO_RESIDUALS)
    return any(each.raised for each in flags if each.code == "STEP")


def flagged_share(t_h: Floats, y: Floats) -> float:
    """Return the share of ln signals, shape (runs, n), that are flagged."""
    count = 0
    for part in np.array_split(y, max(1, len(y) // _BATCH)):
        data = prepared(t_h, part)
        gains = filtered(data)[0]
        count += sum(is_flagged(largest_step(data, gains, i)) for i in range(len(part)))
    return count / len(y)


def step_cell(kind: Series, runs: int, rng: np.random.Generator) -> StepCell:
    """Return the line of one kind of noise.

    Args:
        kind: the noise.
        runs: with each size of step; four times as many have none.
        rng: source of chance.
    """
    t_h, clean = logs(kind, rng, CLEAN_FOR_ONE * runs)
    power = []
    for size in STEPS:
        _, y = logs(kind, rng, runs)
        power.append(flagged_share(t_h, stepped(y, size, rng)))
    share = flagged_share(t_h, clean)
    return StepCell(kind.name, kind.what, kind.readings, share, tuple(power))


def step_study(runs: int, seed: int) -> Iterator[StepCell]:
    """Yield every line of the study.

    Args:
        runs: simulated runs with each size of step, in each line.
        seed: of the chance.
    """
    rng = np.random.default_rng(seed)
    for kind in CLEAN_KINDS:
        yield step_cell(kind, runs, rng)


def step_table(cells: list[StepCell]) -> str:
    """Return the study as a table of plain text."""
    sizes = "".join(f"{f'{100 * size:.0f} % step':>11}" for size in STEPS)
    lines = [f"{'cell':6}{'points':>7}{'clean':>8}{sizes}  flagged, %"]
    for cell in cells:
        found = "".join(f"{100 * share:>11.1f}" for share in cell.power)
        lines.append(
            f"{cell.name:6}{cell.readings:>7}{100 * cell.clean:>8.1f}{found}"
            f"  {cell.what}"
        )
    clean = [100 * cell.clean for cell in cells]
    lines.append(f"clean: least {min(clean):.1f}, most {max(clean):.1f} %")
    for i, size in enumerate(STEPS):
        power = [100 * cell.power[i] for cell in cells]
        lines.append(
            f"{100 * size:.0f} % step: least {min(power):.1f}, most {max(power):.1f} %"
        )
    return "\n".join(lines)


def main() -> None:
    """Simulate, and print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--runs", type=int, default=2000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    sys.stdout.write(step_table(list(step_study(given.runs, given.seed))) + "\n")


if __name__ == "__main__":
    main()
