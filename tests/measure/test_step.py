"""The scan for one step against dense matrices."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from sitegen.measure.fit import filtered, prepared
from sitegen.measure.run_flags import STEP_Z
from sitegen.measure.step import Step, largest_step

Floats = npt.NDArray[np.float64]
Series = tuple[Floats, Floats]


def scan(t_h: Floats, y: Floats, series: int = 0) -> Step | None:
    """Scan one series of a batch."""
    data = prepared(t_h, y)
    return largest_step(data, filtered(data)[0], series)


def dense_scan(t: Floats, y: Floats) -> tuple[float, float, float]:
    """Find the step with the largest |z| by inverting every cell's matrix."""
    n = t.size
    h, T = float(np.median(np.diff(t))), float(t[-1] - t[0])
    cells = []
    for tau in np.geomspace(0.3 * h, 0.5 * T, 12):
        for w in (0.0, 0.25, 0.5, 0.75, 0.95):
            R = (1 - w) * np.exp(-np.abs(t[:, None] - t) / tau) + w * np.eye(n)
            cells.append((np.linalg.inv(R), float(np.linalg.slogdet(R)[1])))
    best = (0.0, 0.0, 0.0)
    for at in range(3, n - 2):
        X = np.column_stack([np.ones(n), t - t.mean(), np.arange(n) >= at])
        like, size, variance = [], [], []
        for Ri, log_det in cells:
            A = X.T @ Ri @ X
            beta = np.linalg.solve(A, X.T @ Ri @ y)
            rest = y - X @ beta
            rss = float(rest @ Ri @ rest)
            like.append(
                -0.5 * log_det
                - 0.5 * float(np.linalg.slogdet(A)[1])
                - 0.5 * (n - 3) * np.log(rss)
            )
            size.append(beta[2])
            variance.append(rss / (n - 3) * np.linalg.inv(A)[2, 2])
        W = np.exp(np.array(like) - max(like))
        W /= W.sum()
        mean = float(W @ np.array(size))
        sd = float(np.sqrt(W @ (np.array(variance) + (np.array(size) - mean) ** 2)))
        if abs(mean / sd) > abs(best[0]):
            best = (mean / sd, float(np.expm1(mean)), float(t[at]))
    return best


def test_scan_equals_dense_matrices(d2: Series) -> None:
    """Size, z and place are those of one added column in every cell's regression."""
    t, y = d2[0], np.log(d2[1])
    y[17:] += 0.05
    got = scan(t, y)
    assert got is not None
    assert (got.z, got.step, got.at_h) == pytest.approx(dense_scan(t, y), rel=1e-7)


def test_scan_skips_missing_readings(d2: Series) -> None:
    """Missing readings count as rows that were never written."""
    t, y = d2[0], np.log(d2[1])
    y[17:] += 0.05
    kept = np.ones(31, dtype=bool)
    kept[[2, 9, 10, 11, 25]] = False
    with_nan, without = scan(t, np.where(kept, y, np.nan)), scan(t[kept], y[kept])
    assert with_nan is not None
    assert without is not None
    assert with_nan.z == pytest.approx(without.z, rel=1e-9)
    assert with_nan.at_h == without.at_h


@pytest.mark.parametrize("size", [-0.2, 0.2])
def test_large_step_is_found_where_it_is(size: float) -> None:
    """A step of a fifth in light noise is found at its place, with its sign."""
    rng = np.random.default_rng(7)
    t = np.arange(46) * 30 / 3600
    y = 5.7 - 6.0 * t + rng.normal(0, 0.01, 46)
    y[20:] += np.log1p(size)
    got = scan(t, y)
    assert got is not None
    assert got.at_h == t[20]
    assert got.step == pytest.approx(size, abs=0.03)
    assert np.sign(got.z) == np.sign(size)
    assert abs(got.z) > 10.0


def test_each_series_of_a_batch_is_its_own() -> None:
    """Scanning one of several series gives what scanning it alone gives."""
    rng = np.random.default_rng(8)
    t = np.arange(40) / 120
    both = 5.0 - 3.0 * t + rng.normal(0, 0.02, (2, 40))
    both[1, 25:] += 0.1
    both[0, 5] = np.nan
    alone, batched = scan(t, both[1]), scan(t, both, 1)
    assert alone is not None
    assert batched is not None
    assert batched.z == pytest.approx(alone.z, rel=1e-9)


def test_steps_close_to_the_ends_are_not_tried() -> None:
    """A step with fewer than three readings beyond it is not looked for."""
    rng = np.random.default_rng(9)
    t = np.arange(30) / 120
    y = 5.0 - 3.0 * t + rng.normal(0, 0.005, 30)
    y[28:] += 0.5
    got = scan(t, y)
    assert got is not None
    assert t[3] <= got.at_h <= t[27]


def test_long_series_are_scanned_at_sixty_places() -> None:
    """A long record is scanned sparsely, and a large step found close by."""
    rng = np.random.default_rng(10)
    t = np.arange(600) / 360
    y = 5.0 - 1.0 * t + rng.normal(0, 0.02, 600)
    y[305:] += 0.3
    got = scan(t, y)
    assert got is not None
    assert abs(got.at_h - t[305]) <= 10.0 / 360
    assert abs(got.z) > STEP_Z


def test_few_readings_hold_no_step() -> None:
    """With fewer than eight readings no step can be told from noise."""
    t = np.arange(8.0)
    y = np.array([3.0, 2.9, 2.7, 2.65, 2.5, 2.3, 2.2, 2.1])
    assert scan(t, y) is not None
    y[4] = np.nan
    assert scan(t, y) is None


def test_clean_series_rarely_show_one() -> None:
    """Of 60 clean series with correlated noise at most 5 % pass the limit."""
    rng = np.random.default_rng(11)
    t = np.arange(46) * 30 / 3600
    rho = np.exp(-30.0 / 90.0)
    noise = np.zeros((60, 46))
    noise[:, 0] = rng.normal(0, 0.025, 60)
    for i in range(1, 46):
        fresh = rng.normal(0, 0.025 * np.sqrt(1 - rho**2), 60)
        noise[:, i] = rho * noise[:, i - 1] + fresh
    y = 5.7 - 6.0 * t + noise + rng.normal(0, 0.02, (60, 46))
    data = prepared(t, y)
    gains = filtered(data)[0]
    found = [largest_step(data, gains, series) for series in range(60)]
    assert sum(step is not None and abs(step.z) > STEP_Z for step in found) <= 3
