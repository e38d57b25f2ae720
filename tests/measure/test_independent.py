"""The calculations against statsmodels and SciPy, on plain cases, to 1e-9."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
import statsmodels.api as sm
from scipy import optimize, stats
from statsmodels.stats.meta_analysis import combine_effects
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.stattools import durbin_watson
from statsmodels.tsa.stattools import acf

from sitegen.measure.fit import design, filtered, prepared
from sitegen.measure.outliers import grubbs
from sitegen.measure.plain import ols_fit
from sitegen.measure.pooling import dersimonian_laird, fixed_effect, random_effects
from sitegen.measure.posterior import posterior
from sitegen.measure.ranking import holm, ratio_by_own_scatter, ratio_by_repeatability
from sitegen.measure.repeatability import bartlett, pooled_repeatability
from sitegen.measure.whiten import gains, gram

Floats = npt.NDArray[np.float64]
Series = tuple[Floats, Floats]

REL = 1e-9
REPEATS = ([182.4, 176.9, 188.3], [190.7, 186.0, 195.9, 188.8])
GROUPS = (*REPEATS, [98.4, 95.1, 97.9, 101.2], [310.5, 322.8])
POOLS = (
    ((182.4, 176.9, 188.3), (3.1, 2.8, 4.4)),
    ((6.1, 6.9, 6.4, 7.3, 5.8), (0.1, 0.3, 0.05, 0.4, 0.2)),
    ((0.31, 0.34, 0.36, 0.29), (0.02, 0.03, 0.01, 0.02)),
)


def uneven(seed: int, n: int = 40) -> Series:
    """Return a noisy line at unequal steps, hours and ln signal."""
    rng = np.random.default_rng(seed)
    t = np.cumsum(rng.uniform(0.002, 0.03, n))
    return t, 5.0 - 3.0 * t + rng.normal(0, 0.05, n)


@pytest.fixture(params=["d1", "d2", "uneven"])
def line(request: pytest.FixtureRequest) -> Series:
    """Hours and ln signal of three series."""
    if request.param == "uneven":
        return uneven(5)
    t, c = request.getfixturevalue(request.param)
    return t, np.log(c)


def test_least_squares(line: Series) -> None:
    """Slope, intercept, error, R2, scatter and interval are those of statsmodels."""
    t, y = line
    want = sm.OLS(y, sm.add_constant(t)).fit()
    got = ols_fit(t, y)
    low, high = want.conf_int()[1]
    assert got.decay_per_h == pytest.approx(-want.params[1], rel=REL)
    assert got.intercept == pytest.approx(want.params[0], rel=REL)
    assert got.se_per_h == pytest.approx(want.bse[1], rel=REL)
    assert got.r_squared == pytest.approx(want.rsquared, rel=REL)
    assert got.residual_sd == pytest.approx(want.mse_resid**0.5, rel=REL)
    assert (got.low_per_h, got.high_per_h) == pytest.approx((-high, -low), rel=REL)


def test_serial_correlation_of_the_residuals(line: Series) -> None:
    """Durbin-Watson's statistic and the lag-one correlation are statsmodels'."""
    t, y = line
    rest = sm.OLS(y, sm.add_constant(t)).fit().resid
    got = ols_fit(t, y)
    assert got.durbin_watson == pytest.approx(durbin_watson(rest), rel=REL)
    # The residuals' mean is 0 but for rounding, which the correlation's size shows.
    assert got.lag_one == pytest.approx(acf(rest, nlags=1)[1], rel=REL, abs=1e-12)


@pytest.mark.parametrize(
    ("name", "error"), [("d1", 0.0728927955), ("d2", 0.00974891973)]
)
def test_newey_west_vector(
    name: str, error: float, request: pytest.FixtureRequest
) -> None:
    """The Newey-West error stated beside the vectors is statsmodels' with lag 3.

    No result rests on it; it shows that the vectors are the ones that were meant.
    """
    t, c = request.getfixturevalue(name)
    fit = sm.OLS(np.log(c), sm.add_constant(t)).fit(
        cov_type="HAC", cov_kwds={"maxlags": 3, "use_correction": True}
    )
    assert fit.bse[1] == pytest.approx(error, rel=5e-9)


@pytest.mark.parametrize("tau_h", [0.004, 0.02, 0.15])
@pytest.mark.parametrize("nugget", [0.0, 0.25, 0.95])
def test_one_cell_is_generalised_least_squares(
    line: Series, tau_h: float, nugget: float
) -> None:
    """With the correlation given, line and covariance are statsmodels' GLS."""
    t, y = line
    data = prepared(t, y)
    filter_ = gains(data.t_h, data.seen, np.array([[tau_h]]), np.array([nugget]))
    inner = gram(filter_, design(data))
    post = posterior(inner, filter_.log_det, data.count, (0, 1), 2)
    sigma = (1 - nugget) * np.exp(-np.abs(t[:, None] - t) / tau_h)
    sigma += nugget * np.eye(t.size)
    want = sm.GLS(y, sm.add_constant(t - t.mean()), sigma=sigma).fit()
    slope = data.slope[0] + post.beta[0, 0, 1]
    assert slope == pytest.approx(want.params[1], rel=REL)
    level = data.level[0] + post.beta[0, 0, 0]
    assert level == pytest.approx(want.params[0], rel=REL)
    cov = want.cov_params()
    assert post.cov[0, 0].ravel() == pytest.approx(cov.ravel(), rel=REL, abs=1e-15)
    assert post.nu[0] == want.df_resid
    log_det = np.linalg.slogdet(sigma)[1]
    assert filter_.log_det[0, 0] == pytest.approx(log_det, rel=REL)


def test_every_cell_of_the_grid_is_generalised_least_squares(d2: Series) -> None:
    """Slope and error of each of the 60 cells are statsmodels' GLS, gaps and all."""
    t, y = d2[0], np.log(d2[1])
    y[[4, 12, 13, 14]] = np.nan
    seen = ~np.isnan(y)
    data = prepared(t, y)
    filter_, tau_h, nugget = filtered(data)
    inner = gram(filter_, design(data))
    post = posterior(inner, filter_.log_det, data.count, (0, 1), 2)
    t, y = t[seen], y[seen]
    columns = sm.add_constant(t)
    apart = np.abs(t[:, None] - t)
    for cell, (tau, white) in enumerate(zip(tau_h[0], nugget, strict=True)):
        sigma = (1 - white) * np.exp(-apart / tau) + white * np.eye(t.size)
        want = sm.GLS(y, columns, sigma=sigma).fit()
        slope = data.slope[0] + post.beta[0, cell, 1]
        assert slope == pytest.approx(want.params[1], rel=REL)
        error = post.cov[0, cell, 1, 1] ** 0.5
        assert error == pytest.approx(want.bse[1], rel=REL)


@pytest.mark.parametrize(("x", "u"), POOLS)
def test_fixed_effect_and_closed_form(
    x: tuple[float, ...], u: tuple[float, ...]
) -> None:
    """Means, errors, Q, I2 and the closed-form variance are statsmodels'."""
    want = combine_effects(np.array(x), np.array(u) ** 2, method_re="chi2")
    fixed, closed = fixed_effect(x, u), dersimonian_laird(x, u)
    assert fixed.mean == pytest.approx(want.mean_effect_fe, rel=REL)
    assert fixed.se == pytest.approx(want.sd_eff_w_fe, rel=REL)
    assert fixed.q == pytest.approx(want.q, rel=REL)
    assert fixed.i_squared_pct == pytest.approx(100 * max(want.i2, 0.0), rel=REL)
    assert closed.tau2 == pytest.approx(max(want.tau2, 0.0), rel=REL)
    if want.tau2 > 0:
        assert closed.mean == pytest.approx(want.mean_effect_re, rel=REL)
        assert closed.se == pytest.approx(want.sd_eff_w_re, rel=REL)


@pytest.mark.parametrize(("x", "u"), POOLS)
def test_restricted_likelihood_and_knapp_hartung(
    x: tuple[float, ...], u: tuple[float, ...]
) -> None:
    """The variance solves the likelihood's score, the interval is weighted OLS's."""
    values, v = np.array(x), np.array(u) ** 2

    def score(tau2: float) -> float:
        w = 1.0 / (v + tau2)
        off = values - w @ values / w.sum()
        return float(w**2 @ off**2 - w.sum() + w @ w / w.sum())

    got = random_effects(x, u)
    if score(0.0) <= 0:
        assert got.tau2 == 0.0
    else:
        top = 100.0 * float(values.var() + v.max())
        root = float(optimize.brentq(score, 0.0, top, xtol=1e-14, rtol=1e-14))
        assert got.tau2 == pytest.approx(root, rel=REL)
    fit = sm.WLS(values, np.ones(len(x)), weights=1.0 / (v + got.tau2)).fit()
    assert got.mean == pytest.approx(fit.params[0], rel=REL)
    scale = max(fit.scale, 1.0)
    se = float(fit.cov_params(scale=scale)[0, 0] ** 0.5)
    assert got.se == pytest.approx(se, rel=REL)
    half = float(stats.t.ppf(0.975, fit.df_resid)) * se
    assert got.high - got.mean == pytest.approx(half, rel=REL)
    assert got.mean - got.low == pytest.approx(half, rel=REL)


def test_knapp_hartung_of_equally_precise_runs() -> None:
    """Of equally precise runs variance and Knapp-Hartung error are statsmodels'.

    There the closed form that statsmodels has is the restricted likelihood's maximum.
    """
    x = np.array([182.4, 176.9, 188.3, 171.0])
    want = combine_effects(x, np.full(4, 2.5**2), method_re="chi2", use_t=True)
    got = random_effects(x, (2.5,) * 4)
    assert got.tau2 == pytest.approx(want.tau2, rel=REL)
    assert got.mean == pytest.approx(want.mean_effect_re, rel=REL)
    assert got.se == pytest.approx(want.sd_eff_w_re_hksj, rel=REL)
    low, high = want.conf_int(use_t=True)[3]
    assert (got.low, got.high) == pytest.approx((low, high), rel=REL)


def test_welch() -> None:
    """Ratio, interval, t, freedom and p are SciPy's Welch test of the logarithms."""
    a, b = REPEATS
    want = stats.ttest_ind(np.log(a), np.log(b), equal_var=False)
    limits = np.exp(want.confidence_interval(0.95))
    got = ratio_by_own_scatter(a, b, None, None)
    assert got.t == pytest.approx(want.statistic, rel=REL)
    assert got.nu == pytest.approx(want.df, rel=REL)
    assert got.p == pytest.approx(want.pvalue, rel=REL)
    assert (got.low, got.high) == pytest.approx(tuple(limits), rel=REL)


def test_pooled_ratio_is_students() -> None:
    """With the scatter pooled over two devices the ratio's test is Student's."""
    a, b = REPEATS
    want = stats.ttest_ind(np.log(a), np.log(b))
    limits = np.exp(want.confidence_interval(0.95))
    got = ratio_by_repeatability(a, b, pooled_repeatability(REPEATS))
    assert got.t == pytest.approx(want.statistic, rel=REL)
    assert got.nu == want.df
    assert got.p == pytest.approx(want.pvalue, rel=REL)
    assert (got.low, got.high) == pytest.approx(tuple(limits), rel=REL)


def test_pooled_repeatability_is_a_regression_on_the_devices() -> None:
    """Its deviation is the residual one of statsmodels' fit of one mean a device."""
    logs = np.log(np.concatenate(GROUPS))
    device = np.repeat(np.arange(len(GROUPS)), [len(group) for group in GROUPS])
    fit = sm.OLS(logs, np.eye(len(GROUPS))[device]).fit()
    got = pooled_repeatability(GROUPS)
    assert got.s_r == pytest.approx(fit.mse_resid**0.5, rel=REL)
    assert got.nu == fit.df_resid


def test_bartlett() -> None:
    """Statistic and probability are SciPy's on the logarithms."""
    want = stats.bartlett(*(np.log(group) for group in GROUPS))
    got = bartlett(GROUPS)
    assert got.statistic == pytest.approx(want.statistic, rel=REL)
    assert got.p == pytest.approx(want.pvalue, rel=REL)


@pytest.mark.parametrize("seed", range(5))
def test_holm(seed: int) -> None:
    """Adjusted probabilities are those of statsmodels, in the order given."""
    p = np.random.default_rng(seed).uniform(0, 0.2, 12)
    want = multipletests(p, method="holm")[1]
    assert holm(p) == pytest.approx(list(want), rel=REL)


@pytest.mark.parametrize(("n", "alpha"), [(4, 0.05), (5, 0.05), (12, 0.01)])
def test_grubbs(n: int, alpha: float) -> None:
    """Statistic and limit follow from SciPy's z score and quantile of t."""
    x = np.random.default_rng(n).normal(180.0, 5.0, n)
    t = float(stats.t.isf(alpha / (2 * n), n - 2))
    limit = (n - 1) * t / np.sqrt(n * (n - 2 + t**2))
    got = grubbs(x, alpha)
    assert got.statistic == pytest.approx(
        float(np.abs(stats.zscore(x, ddof=1)).max()), rel=REL
    )
    assert got.critical == pytest.approx(float(limit), rel=REL)
