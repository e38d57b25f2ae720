"""A scan for one step in the level of a log signal: a door, a fan, a moved sensor.

Each interior position in turn gets one added step column in the headline estimator;
the grid's weights are found anew for every position, from whitened columns that are
computed once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sitegen.measure.arrays import Floats
from sitegen.measure.fit import Prepared, design
from sitegen.measure.whiten import Gains, some_series, whitened_blocks

EDGE = 3
MOST_POSITIONS = 60


@dataclass(frozen=True, slots=True)
class Step:
    """The step that stands out most.

    Attributes:
        z: its size over its standard deviation, signed.
        step: its size as a share of the level, exp(ln step) - 1, signed.
        at_h: time of the first reading after it, hours.
    """

    z: float
    step: float
    at_h: float


def largest_step(data: Prepared, filtered: Gains, series: int) -> Step | None:
    """Return the step with the largest |z| over the interior positions.

    At least three readings stand on either side. Of more than 60 positions, 60
    evenly spread ones are tried, so that the cost stays linear in the readings. The
    method's own scan; how often it is right was simulated (``step_power``).

    Args:
        data: prepared series.
        filtered: their filter.
        series: which of them to scan.

    Returns:
        None with fewer than 8 readings, where no step can be told from noise.
    """
    seen = np.flatnonzero(data.seen[series])
    if seen.size < 8:
        return None
    count = seen.size - 2 * EDGE + 1
    picked = np.unique(np.linspace(0, count - 1, min(count, MOST_POSITIONS)).round())
    at = seen[picked.astype(np.int64) + EDGE]
    steps = (np.arange(data.t_h.size)[:, None] >= at).astype(np.float64)
    base = design(data)[:, :, series]
    mean, variance = _step_posteriors(
        some_series(filtered, [series]), base, steps, float(seen.size)
    )
    z = mean / np.sqrt(variance)
    best = int(np.argmax(np.abs(z)))
    return Step(float(z[best]), float(np.expm1(mean[best])), float(data.t_h[at[best]]))


def _step_posteriors(
    filtered: Gains, base: Floats, steps: Floats, count: float
) -> tuple[Floats, Floats]:
    """Return mean and variance of the step at every position.

    Args:
        filtered: one series' filter.
        base: columns 1, t, y; shape (n, 3).
        steps: step columns, shape (n, positions).
        count: readings.
    """
    cells, positions = filtered.phi.shape[2], steps.shape[1]
    inner = np.zeros((3, 3, cells))
    cross = np.zeros((3, positions, cells))
    square = np.zeros((positions, cells))
    columns = np.concatenate([base, steps], axis=1)[:, :, None]
    for block in whitened_blocks(filtered, columns):
        fixed, moving = block[:, :3, 0], block[:, 3:, 0]
        inner += np.einsum("iag,ibg->abg", fixed, fixed)
        for a in range(3):
            cross[a] += np.einsum("ig,ijg->jg", fixed[:, a], moving)
        square += np.einsum("ijg,ijg->jg", moving, moving)
    xx = inner[:2, :2].transpose(2, 0, 1)
    inverse = np.linalg.inv(xx).transpose(1, 2, 0)
    beta = np.einsum("abg,bg->ag", inverse, inner[:2, 2])
    rss = inner[2, 2] - np.einsum("ag,ag->g", beta, inner[:2, 2])
    left = cross[2] - np.einsum("ag,ajg->jg", beta, cross[:2])
    solved = np.einsum("abg,bjg->ajg", inverse, cross[:2])
    free = square - np.einsum("ajg,ajg->jg", solved, cross[:2])
    nu = count - 3.0
    rest = np.maximum(rss - left**2 / free, 1e-14 * inner[2, 2])
    rest = np.maximum(rest, np.finfo(np.float64).tiny)
    log_xx = np.linalg.slogdet(xx)[1] + filtered.log_det[0]
    like = -0.5 * (log_xx + np.log(free) + nu * np.log(rest))
    weight = np.exp(like - like.max(axis=1, keepdims=True))
    weight /= weight.sum(axis=1, keepdims=True)
    size = left / free
    mean = (weight * size).sum(axis=1)
    spread = rest / (nu * free) + (size - mean[:, None]) ** 2
    return mean, (weight * spread).sum(axis=1)
