"""Quantiles of mixtures of Student's t, and a grid of one cell."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, stats

from sitegen.measure.posterior import mixture_interval, posterior


@pytest.mark.parametrize("seed", range(5))
def test_mixture_interval_is_scipys_root(seed: int) -> None:
    """The limits are where SciPy's mixture distribution has 2.5 and 97.5 %."""
    rng = np.random.default_rng(seed)
    weight = rng.dirichlet(np.full(60, 0.2))[None]
    centre, spread = rng.normal(6.0, 0.2, (1, 60)), rng.uniform(0.01, 0.5, (1, 60))
    nu = np.array([float(rng.integers(1, 45))])
    low, high = mixture_interval(weight, centre, spread, nu)

    def below(x: float) -> float:
        return float(weight[0] @ stats.t.cdf((x - centre[0]) / spread[0], nu[0]))

    for got, p in ((low[0], 0.025), (high[0], 0.975)):
        want = optimize.brentq(lambda x, p=p: below(x) - p, -50.0, 60.0, xtol=1e-13)
        assert got == pytest.approx(float(want), rel=1e-9)


def test_one_cell_is_students_t() -> None:
    """A mixture of one part has that part's own interval, at any level."""
    one = np.ones((1, 1))
    for level in (0.5, 0.95, 0.99):
        low, high = mixture_interval(one, 6.0 * one, 0.2 * one, np.array([8.0]), level)
        want = stats.t.interval(level, 8, 6.0, 0.2)
        assert (low[0], high[0]) == pytest.approx(want, rel=1e-10)


def test_two_far_parts() -> None:
    """Of two narrow parts far apart each limit lies in its own part."""
    low, high = mixture_interval(
        np.array([[0.5, 0.5]]),
        np.array([[0.0, 100.0]]),
        np.array([[1.0, 1.0]]),
        np.array([30.0]),
    )
    # Half the weight each: 2.5 % of the whole are 5 % of the lower part.
    assert low[0] == pytest.approx(float(stats.t.ppf(0.05, 30)), rel=1e-9)
    assert high[0] == pytest.approx(100.0 + float(stats.t.ppf(0.95, 30)), rel=1e-9)


def test_white_noise_is_ordinary_least_squares() -> None:
    """With one cell of unit correlation the regression is SciPy's line."""
    rng = np.random.default_rng(6)
    t = np.linspace(0.0, 1.0, 20)
    y = 3.0 - 2.0 * t + rng.normal(0, 0.1, 20)
    X = np.column_stack([np.ones(20), t, y])
    post = posterior(
        (X.T @ X)[None, None], np.zeros((1, 1)), np.array([20.0]), (0, 1), 2
    )
    want = stats.linregress(t, y)
    assert post.mean()[0] == pytest.approx([want.intercept, want.slope], rel=1e-9)
    assert post.covariance()[0, 1, 1] ** 0.5 == pytest.approx(want.stderr, rel=1e-8)
    assert post.nu.tolist() == [18.0]


def test_spread_between_cells_counts() -> None:
    """Two equally likely cells add the variance of their estimates to their own."""
    # Two designs of one column of length 1: estimates 1 and 3, the same residual.
    inner = np.array([[[[1.0, 1.0], [1.0, 2.0]], [[1.0, 3.0], [3.0, 10.0]]]])
    post = posterior(inner, np.zeros((1, 2)), np.array([11.0]), (0,), 1)
    assert post.weight[0] == pytest.approx([0.5, 0.5])
    assert post.mean()[0, 0] == pytest.approx(2.0)
    # Residual 1 on 10 degrees of freedom, and the estimates' variance of 1.
    assert post.covariance()[0, 0, 0] == pytest.approx(0.1 + 1.0)
