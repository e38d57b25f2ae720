"""Whitening of regression columns under an exponential correlation plus a nugget.

The noise model of one grid cell is, for times t_i and unit variance,
``cov(u_i, u_j) = (1 - w) exp(-|t_i - t_j| / tau) + w [i = j]``: a continuous-time
first-order autoregression seen through white noise. A scalar Kalman filter per cell
gives the Cholesky-whitened columns in O(n), for irregular steps and with missing
readings skipped. All cells, series and columns advance together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sitegen.measure.arrays import Bools, Floats

TAU_CELLS = 12
NUGGETS = (0.0, 0.25, 0.5, 0.75, 0.95)
CELLS = TAU_CELLS * len(NUGGETS)
_BLOCK_ROWS = 64


@dataclass(frozen=True, slots=True)
class Gains:
    """What the filter needs besides the columns themselves.

    Attributes:
        phi: correlation over each step, shape (n, series, cells); row 0 is 1.
        gain: Kalman gain, same shape; 0 where the reading is missing.
        scale: 1/sqrt(innovation variance), same shape; 0 where missing.
        log_det: log determinant of the correlation matrix, shape (series, cells).
    """

    phi: Floats
    gain: Floats
    scale: Floats
    log_det: Floats


def grid(t_h: Floats, seen: Bools) -> tuple[Floats, Floats]:
    """Return the cells' correlation times and nuggets.

    The correlation time runs in 12 geometric steps from 0.3 median steps to half the
    window, the nugget (white share of the variance) over 0, .25, .5, .75, .95.

    Args:
        t_h: times in hours, shape (n,), increasing.
        seen: which readings each series has, shape (series, n); three or more each.

    Returns:
        ``tau_h`` in hours, shape (series, 60), and ``nugget``, shape (60,).
    """
    taus = np.empty((seen.shape[0], CELLS))
    for row, present in enumerate(seen):
        times = t_h[present]
        low = 0.3 * float(np.median(np.diff(times)))
        high = 0.5 * float(times[-1] - times[0])
        taus[row] = np.repeat(np.geomspace(low, high, TAU_CELLS), len(NUGGETS))
    return taus, np.tile(np.asarray(NUGGETS), TAU_CELLS)


def gains(t_h: Floats, seen: Bools, tau_h: Floats, nugget: Floats) -> Gains:
    """Run the variance part of the filter, which no column enters.

    From reading to reading ``phi = exp(-dt/tau)``, ``P <- phi^2 P + (1 - phi^2)(1 -
    w)``, ``F = P + w``, ``K = P/F``, ``P <- (1 - K) P``, starting at P = 1 - w; ``ln|R|
    = sum ln F`` (Kalman 1960). Exact for any steps and gaps.

    Args:
        t_h: times in hours, shape (n,), increasing.
        seen: shape (series, n).
        tau_h: shape (series, cells).
        nugget: shape (cells,).
    """
    n = t_h.size
    shape = (n, *tau_h.shape)
    phi = np.ones(shape)
    np.exp(-np.diff(t_h)[:, None, None] / tau_h, out=phi[1:])
    gain, innovation = np.empty(shape), np.empty(shape)
    stationary = np.broadcast_to(1.0 - nugget, tau_h.shape)
    rise = (1.0 - phi**2) * stationary
    keep = phi**2
    present = seen.T[:, :, None].astype(np.float64)
    variance = stationary.copy()
    for i in range(n):
        if i:
            variance = keep[i] * variance + rise[i]
        np.add(variance, nugget, out=innovation[i])
        np.divide(variance, innovation[i], out=gain[i])
        gain[i] *= present[i]
        variance -= gain[i] * variance
    log_det = np.einsum("isg,is->sg", np.log(innovation), present[:, :, 0])
    scale = present / np.sqrt(innovation)
    return Gains(phi, gain, scale, log_det)


def whitened_blocks(filtered: Gains, columns: Floats) -> Iterator[Floats]:
    """Yield the whitened columns, some rows at a time so that memory stays small.

    Args:
        filtered: the gains of n rows.
        columns: shape (n, columns, series); finite (any number where missing).

    Yields:
        Shape (rows, columns, series, cells); 0 in rows whose reading is missing.
    """
    n, width, series = columns.shape
    cells = filtered.phi.shape[2]
    state = np.zeros((width, series, cells))
    miss = np.empty_like(state)
    for first in range(0, n, _BLOCK_ROWS):
        rows = range(first, min(first + _BLOCK_ROWS, n))
        block = np.empty((len(rows), width, series, cells))
        for out, i in zip(block, rows, strict=True):
            np.multiply(state, filtered.phi[i], out=state)
            np.subtract(columns[i, :, :, None], state, out=miss)
            np.multiply(miss, filtered.scale[i], out=out)
            np.multiply(miss, filtered.gain[i], out=miss)
            np.add(state, miss, out=state)
        yield block


def gram(filtered: Gains, columns: Floats, responses: int = 1) -> Floats:
    """Return the inner products of whitened columns.

    Args:
        filtered: the gains of n rows.
        columns: shape (n, c, series).
        responses: how many of the last columns are responses; two different ones are
            never multiplied with each other, and that product is left at 0.

    Returns:
        Shape (series, cells, c, c), symmetric.
    """
    width, series = columns.shape[1:]
    cells = filtered.phi.shape[2]
    total = np.zeros((series, cells, width, width))
    for block in whitened_blocks(filtered, columns):
        for a in range(width):
            for b in (*range(min(a, width - responses)), a):
                part = np.einsum("rsg,rsg->sg", block[:, a], block[:, b])
                total[:, :, a, b] += part
                if a != b:
                    total[:, :, b, a] += part
    return total


def some_series(filtered: Gains, picked: Sequence[int]) -> Gains:
    """Return the filter of some of the series, in the order given."""
    rows = list(picked)
    return Gains(
        filtered.phi[:, rows],
        filtered.gain[:, rows],
        filtered.scale[:, rows],
        filtered.log_det[rows],
    )
