"""Random effects against the published vector and independent minimisation."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt
import pytest
from scipy import optimize, stats

from sitegen.errors import MeasureError
from sitegen.measure.pooling import (
    RandomEffects,
    dersimonian_laird,
    fixed_effect,
    random_effects,
)

Pool = Callable[[npt.ArrayLike, npt.ArrayLike], object]

X = (182.4, 176.9, 188.3)
U = (3.1, 2.8, 4.4)
T2 = float(stats.t.ppf(0.975, 2))


def test_fixed_effect_vector() -> None:
    """The inverse-variance mean, its error, Q and I2 are those stated."""
    got = fixed_effect(X, U)
    assert got.mean == pytest.approx(180.999253, rel=3e-9)
    assert got.se == pytest.approx(1.87890879, rel=3e-9)
    assert got.q == pytest.approx(5.10066935, rel=3e-9)
    assert got.i_squared_pct == pytest.approx(60.7894599, rel=3e-9)


def test_closed_form_vector() -> None:
    """The closed-form between-run variance gives the stated mean and error."""
    got = dersimonian_laird(X, U)
    assert got.tau2 == pytest.approx(17.4017550, rel=3e-9)
    assert got.mean == pytest.approx(181.847226, rel=3e-9)
    assert got.se == pytest.approx(3.10325641, rel=3e-9)
    assert got.high - got.mean == pytest.approx(T2 * 3.10325641, rel=1e-8)


def test_reml_vector() -> None:
    """The restricted-likelihood mean has the stated variance, error and width."""
    got = random_effects(X, U)
    assert got.tau2 == pytest.approx(17.9670592, rel=3e-9)
    assert got.mean == pytest.approx(181.859165, rel=3e-9)
    assert got.se == pytest.approx(3.19236190, rel=3e-9)
    assert got.high - got.mean == pytest.approx(13.7356247, rel=5e-9)
    assert got.mean - got.low == pytest.approx(13.7356247, rel=5e-9)
    assert (got.nu, got.runs) == (2, 3)


def test_plain_scatter_of_the_vector() -> None:
    """The same repeats have the stated deviation, CV, width by t, and limit."""
    s = float(np.std(X, ddof=1))
    assert s == pytest.approx(5.70116947, abs=5e-9)
    assert 100.0 * s / float(np.mean(X)) == pytest.approx(3.12335800, abs=5e-9)
    assert T2 * s / np.sqrt(3.0) == pytest.approx(14.1624901, abs=5e-8)
    assert 2.8 * s == pytest.approx(15.9632745, abs=5e-8)


def restricted(tau2: float, x: Sequence[float], u: Sequence[float]) -> float:
    """Return minus twice the restricted log likelihood, without constants."""
    w = 1.0 / (np.asarray(u) ** 2 + tau2)
    mu = float(w @ np.asarray(x) / w.sum())
    rest = float(w @ (np.asarray(x) - mu) ** 2)
    return float(-np.log(w).sum() + np.log(w.sum()) + rest)


@pytest.mark.parametrize(
    ("x", "u"),
    [
        (X, U),
        ((6.1, 6.9, 6.4, 7.3, 5.8), (0.1, 0.3, 0.05, 0.4, 0.2)),
        ((0.31, 0.44), (0.02, 0.03)),
        ((0.31, 0.60, 0.35), (0.001, 0.2, 0.001)),
    ],
)
def test_variance_maximises_the_restricted_likelihood(
    x: tuple[float, ...], u: tuple[float, ...]
) -> None:
    """The fixed point is the maximum that a numerical search finds."""
    top = 10.0 * float(np.var(x, ddof=1))
    found = optimize.minimize_scalar(
        lambda tau2: restricted(tau2, x, u),
        bounds=(0.0, top),
        method="bounded",
        options={"xatol": 1e-10 * top},
    )
    got = random_effects(x, u)
    # A maximum is flat: the search fixes its place to the root of the precision.
    assert got.tau2 == pytest.approx(float(found.x), rel=1e-4)
    assert restricted(got.tau2, x, u) <= float(found.fun) + 1e-9


def test_agreeing_runs_have_no_variance_between_them() -> None:
    """Runs closer than their own errors give the fixed mean, not a narrower one."""
    x, u = (6.00, 6.01, 6.02), (0.3, 0.2, 0.4)
    got, fixed = random_effects(x, u), fixed_effect(x, u)
    assert got.tau2 == 0.0
    assert got.mean == pytest.approx(fixed.mean, rel=1e-12)
    # q is below 1: the modification keeps the error from shrinking with it.
    assert fixed.q < 2.0
    assert got.se == pytest.approx(fixed.se, rel=1e-12)
    assert dersimonian_laird(x, u).tau2 == 0.0
    assert fixed.i_squared_pct == 0.0


def test_equal_values_are_pooled() -> None:
    """Repeats with one and the same value have their mean and no heterogeneity."""
    assert fixed_effect((6.0, 6.0), (0.3, 0.3)).i_squared_pct == 0.0
    assert random_effects((6.0, 6.0), (0.3, 0.3)).mean == pytest.approx(6.0)


def test_two_runs_are_very_uncertain() -> None:
    """Of two equally precise runs the half-width is t of 1 times half the distance."""
    got = random_effects((170.0, 190.0), (0.5, 0.5))
    assert got.mean == pytest.approx(180.0)
    half = float(stats.t.ppf(0.975, 1)) * 10.0
    assert got.high - got.mean == pytest.approx(half, rel=1e-6)


def test_equal_precision_is_the_plain_interval() -> None:
    """With equal errors and real scatter the interval is t of the runs' means."""
    x = (182.4, 176.9, 188.3, 171.0)
    want = stats.t.interval(0.95, 3, float(np.mean(x)), float(stats.sem(x)))
    got = random_effects(x, (1.0,) * 4)
    assert (got.low, got.high) == pytest.approx(want, rel=1e-7)


def test_scale_and_order_do_not_matter() -> None:
    """In another unit, or in another order, the pooled result is the same."""
    base = random_effects(X, U)
    turned = random_effects([x / 1.7 for x in X[::-1]], [u / 1.7 for u in U[::-1]])
    assert turned.mean * 1.7 == pytest.approx(base.mean, rel=1e-9)
    assert turned.high * 1.7 == pytest.approx(base.high, rel=1e-9)


def test_coverage_of_three_runs() -> None:
    """The interval of three scattering runs covers the truth in 94 to 100 %."""
    rng = np.random.default_rng(31)
    u = np.array([3.0, 4.0, 6.0])
    draws = 180.0 + rng.normal(0, 5.4, (300, 3)) + u * rng.normal(size=(300, 3))
    fits: list[RandomEffects] = [random_effects(x, u) for x in draws]
    share = np.mean([fit.low <= 180.0 <= fit.high for fit in fits])
    assert 0.94 <= share <= 1.0


@pytest.mark.parametrize("pool", [fixed_effect, dersimonian_laird, random_effects])
@pytest.mark.parametrize(
    ("x", "u", "code"),
    [
        ([180.0], [3.0], "too_few_values"),
        ([180.0, 190.0], [3.0, 3.0, 3.0], "lengths_differ"),
        ([180.0, np.nan], [3.0, 3.0], "not_finite"),
        ([180.0, 190.0], [3.0, np.inf], "not_finite"),
        ([180.0, 190.0], [3.0, 0.0], "not_positive"),
        ([[180.0, 190.0]], [3.0, 3.0], "not_one_dimensional"),
    ],
)
def test_impossible_input_is_refused(
    pool: Pool, x: npt.ArrayLike, u: npt.ArrayLike, code: str
) -> None:
    """Fewer than two runs, or values without a meaning, raise a typed error."""
    with pytest.raises(MeasureError) as caught:
        pool(x, u)
    assert caught.value.code == code
