"""Distribution functions against SciPy's own distributions."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from sitegen.measure.quantiles import (
    chi2_upper,
    f_quantile,
    f_upper,
    normal_quantile,
    t_cdf,
    t_log_density_constant,
    t_quantile,
    t_two_sided,
)


@pytest.mark.parametrize("nu", [1.0, 2.0, 3.92317762, 8.0, 44.0, 1e6])
@pytest.mark.parametrize("p", [0.005, 0.025, 0.5, 0.975, 0.9995])
def test_t_quantile(p: float, nu: float) -> None:
    """Student's quantile is SciPy's, for broken degrees of freedom too."""
    assert t_quantile(p, nu) == pytest.approx(
        float(stats.t.ppf(p, nu)), rel=1e-9, abs=1e-12
    )


def test_t_quantile_of_tables() -> None:
    """The quantiles printed in every table come out."""
    assert t_quantile(0.975, 1) == pytest.approx(12.7062, abs=5e-5)
    assert t_quantile(0.975, 2) == pytest.approx(4.3027, abs=5e-5)
    assert t_quantile(0.975, 8) == pytest.approx(2.3060, abs=5e-5)


def test_t_distribution_by_element() -> None:
    """The distribution function works on arrays and is SciPy's."""
    x, nu = np.array([-3.0, 0.0, 1.5]), np.array([2.0, 5.0, 30.0])
    assert t_cdf(x, nu) == pytest.approx(stats.t.cdf(x, nu), rel=1e-12)


@pytest.mark.parametrize("t", [-2.5, 2.5])
def test_two_sided_probability(t: float) -> None:
    """Both tails count, whatever the sign."""
    want = 2.0 * float(stats.t.sf(2.5, 7.0))
    assert t_two_sided(t, 7.0) == pytest.approx(want, rel=1e-12)


def test_other_distributions() -> None:
    """Normal, F and chi-squared are SciPy's."""
    assert normal_quantile(0.975) == pytest.approx(1.959963984540054, rel=1e-14)
    assert f_quantile(0.99, 3, 8) == pytest.approx(
        float(stats.f.ppf(0.99, 3, 8)), rel=1e-10
    )
    assert f_upper(4.0, 3, 8) == pytest.approx(float(stats.f.sf(4.0, 3, 8)), rel=1e-12)
    assert chi2_upper(4.0, 3) == pytest.approx(float(stats.chi2.sf(4.0, 3)), rel=1e-12)


def test_peak_of_student_density() -> None:
    """The constant is the logarithm of the density at 0."""
    nu = np.array([1.0, 4.0, 60.0])
    want = stats.t.logpdf(0.0, nu)
    assert t_log_density_constant(nu) == pytest.approx(want, rel=1e-12)
