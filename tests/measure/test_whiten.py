"""The filter's whitening against Cholesky factors of the correlation matrix."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import linalg

from sitegen.measure.whiten import (
    CELLS,
    NUGGETS,
    gains,
    gram,
    grid,
    some_series,
    whitened_blocks,
)

Floats = npt.NDArray[np.float64]

T: Floats = np.cumsum(np.random.default_rng(1).uniform(0.005, 0.02, 70))
SEEN = np.ones((2, 70), dtype=bool)
SEEN[1, [0, 7, 8, 9, 40, 69]] = False
TAU, NUGGET = grid(T, SEEN)


def correlation(series: int, cell: int) -> Floats:
    """Return the correlation matrix of one series' readings in one cell."""
    t, w = T[SEEN[series]], NUGGET[cell]
    apart = np.abs(t[:, None] - t)
    tied = (1 - w) * np.exp(-apart / TAU[series, cell])
    return np.asarray(tied + w * np.eye(t.size))


def test_grid_of_correlation_times_and_nuggets() -> None:
    """Twelve times from 0.3 steps to half the window, each with five nuggets."""
    assert CELLS == 60
    for series in range(2):
        t = T[SEEN[series]]
        low, high = 0.3 * float(np.median(np.diff(t))), 0.5 * float(t[-1] - t[0])
        want = np.repeat(np.geomspace(low, high, 12), 5)
        assert TAU[series] == pytest.approx(want, rel=1e-12)
    assert NUGGET.tolist() == list(NUGGETS) * 12
    assert NUGGETS == (0.0, 0.25, 0.5, 0.75, 0.95)


@pytest.mark.parametrize("series", [0, 1])
@pytest.mark.parametrize("cell", [0, 4, 17, 31, 55, 59])
def test_whitened_columns_are_cholesky_whitened(series: int, cell: int) -> None:
    """In every block the columns are those that the Cholesky factor whitens."""
    columns = np.random.default_rng(2).normal(size=(70, 3, 2))
    found = gains(T, SEEN, TAU, NUGGET)
    got = np.concatenate(list(whitened_blocks(found, columns)))[:, :, series, cell]
    seen = SEEN[series]
    factor = np.linalg.cholesky(correlation(series, cell))
    want = linalg.solve_triangular(factor, columns[seen, :, series], lower=True)
    assert got[seen] == pytest.approx(want, rel=1e-9, abs=1e-10)
    assert not got[~seen].any()


@pytest.mark.parametrize("series", [0, 1])
def test_determinant_and_inner_products(series: int) -> None:
    """Log determinants and inner products are those of the dense matrices."""
    columns = np.random.default_rng(3).normal(size=(70, 3, 2))
    found = gains(T, SEEN, TAU, NUGGET)
    inner = gram(found, columns)
    for cell in (2, 33, 58):
        R = correlation(series, cell)
        X = columns[SEEN[series], :, series]
        want = float(np.linalg.slogdet(R)[1])
        assert found.log_det[series, cell] == pytest.approx(want, rel=1e-10)
        assert inner[series, cell] == pytest.approx(
            X.T @ np.linalg.solve(R, X), rel=1e-9
        )


def test_two_responses_are_not_multiplied() -> None:
    """Of two responses only the product with each other is left out."""
    columns = np.random.default_rng(4).normal(size=(70, 4, 2))
    found = gains(T, SEEN, TAU, NUGGET)
    full, lean = gram(found, columns), gram(found, columns, responses=2)
    assert not lean[:, :, 2, 3].any()
    assert not lean[:, :, 3, 2].any()
    full[:, :, 2, 3] = full[:, :, 3, 2] = 0.0
    assert lean == pytest.approx(full, rel=1e-12)


def test_picked_series_keep_their_filter() -> None:
    """Series taken out of a batch, in any order, have the gains they had."""
    found = gains(T, SEEN, TAU, NUGGET)
    turned = some_series(found, [1, 0, 1])
    assert np.array_equal(turned.gain[:, 0], found.gain[:, 1])
    assert np.array_equal(turned.log_det[2], found.log_det[1])
    assert np.array_equal(turned.phi[:, 1], found.phi[:, 0])


@settings(derandomize=True, deadline=None, max_examples=60)
@given(
    steps=st.lists(st.floats(0.002, 0.2), min_size=4, max_size=90),
    missing=st.sets(st.integers(0, 90), max_size=30),
    tau_h=st.floats(0.0005, 5.0),
    nugget=st.sampled_from([0.0, 0.01, 0.3, 0.95]) | st.floats(0.0, 0.99),
    seed=st.integers(0, 99),
)
def test_any_times_gaps_and_noise(
    steps: list[float], missing: set[int], tau_h: float, nugget: float, seed: int
) -> None:
    """For any steps, gaps, correlation time and white share dense matrices agree."""
    t: Floats = np.cumsum([0.0, *steps])
    seen = np.array([i not in missing for i in range(t.size)])
    assume(seen.sum() >= 4)
    columns = np.random.default_rng(seed).normal(size=(t.size, 3, 1))
    found = gains(t, seen[None], np.array([[tau_h]]), np.array([nugget]))
    apart = np.abs(t[seen][:, None] - t[seen])
    R = (1 - nugget) * np.exp(-apart / tau_h) + nugget * np.eye(int(seen.sum()))
    X = columns[seen, :, 0]
    inner, want = gram(found, columns)[0, 0], X.T @ np.linalg.solve(R, X)
    size = np.sqrt(np.outer(np.diag(want), np.diag(want)))
    assert np.all(np.abs(inner - want) <= 1e-8 * size)
    log_det = float(np.linalg.slogdet(R)[1])
    assert found.log_det[0, 0] == pytest.approx(log_det, rel=1e-8, abs=1e-8)
