"""Repeatability: how far repeats of one configuration scatter, over all of them.

Terms as in ISO 5725 (convention; not quoted): same room, operator and instruments,
short time. Never "reproducibility", which needs other laboratories.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats, checked_numbers, checked_positive
from sitegen.measure.estimate import Z95
from sitegen.measure.quantiles import chi2_upper, f_quantile, f_upper, t_quantile

LIMIT_FACTOR = Z95 * 2**0.5
"""Two results differ by less than this many s_r in 95 % of cases (2.77181)."""


@dataclass(frozen=True, slots=True)
class Repeatability:
    """A pooled repeatability.

    Attributes:
        s_r: standard deviation of ln(result); for the few per cent met here also the
            coefficient of variation.
        nu: degrees of freedom.
    """

    s_r: float
    nu: float

    def __post_init__(self) -> None:
        """Refuse what no interval can be made of.

        Raises:
            MeasureError: ``not_positive``.
        """
        checked_positive("s_r", self.s_r, zero=True)
        checked_positive("nu", self.nu)


@dataclass(frozen=True, slots=True)
class Centre:
    """A geometric mean with its interval.

    Attributes:
        value: the mean.
        low: lower 95 % limit.
        high: upper limit.
    """

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class VarianceTest:
    """Whether groups scatter alike.

    Attributes:
        statistic: of the test.
        p: probability of a larger one if they do.
        group: index of the group with the largest variance.
    """

    statistic: float
    p: float
    group: int


def _logs(groups: Sequence[npt.ArrayLike]) -> list[Floats]:
    """Return the logarithms of the groups."""
    out: list[Floats] = []
    for group in groups:
        values = checked_numbers("results", group, 0)
        if np.any(values <= 0):
            raise MeasureError("not_positive", what="result", value=float(values.min()))
        out.append(np.log(values))
    return out


def pooled_repeatability(groups: Sequence[npt.ArrayLike]) -> Repeatability:
    """Pool the scatter of repeats over devices.

    ``s_r^2 = sum_d sum_j (ln x_dj - mean_d)^2 / sum_d (m_d - 1)``. To be recommended
    from 8, better 20, degrees of freedom; the groups' variances should not differ
    (``bartlett``, ``cochran``). The usual pooled variance of a one-way layout, on
    logarithms, so that the scatter is relative.

    Args:
        groups: one list of positive results a configuration; lists of one add nothing.

    Raises:
        MeasureError: ``not_positive``; ``no_repeats`` when nothing was repeated.
    """
    squares, degrees = _scatter(groups)
    nu = float(degrees.sum())
    if nu == 0:
        raise MeasureError("no_repeats")
    return Repeatability(float(squares.sum() / nu) ** 0.5, nu)


def pooled_without_each(
    groups: Sequence[npt.ArrayLike],
) -> tuple[Repeatability | None, ...]:
    """Return the pooled repeatability of all groups but one, for each that is left out.

    As ``pooled_repeatability`` of the others, in time that grows with the number of
    groups, not with its square: sums before and after each are kept.

    Args:
        groups: one list of positive results a configuration.

    Returns:
        One a group; None where nothing else was repeated.

    Raises:
        MeasureError: ``not_positive``.
    """
    squares, degrees = (_without_each(values) for values in _scatter(groups))
    return tuple(
        Repeatability(float(square / nu) ** 0.5, float(nu)) if nu else None
        for square, nu in zip(squares, degrees, strict=True)
    )


def _scatter(groups: Sequence[npt.ArrayLike]) -> tuple[Floats, Floats]:
    """Return sums of squares and degrees of freedom of each group, shapes (n,)."""
    logs = _logs(groups)
    squares = [((v - v.mean()) ** 2).sum() if v.size > 1 else 0.0 for v in logs]
    return np.array(squares), np.array([max(v.size - 1.0, 0.0) for v in logs])


def _without_each(values: Floats) -> Floats:
    """Return the sum of all values but one, for each; nothing is taken off again."""
    before = np.concatenate(([0.0], np.cumsum(values)[:-1]))
    after = np.concatenate((np.cumsum(values[::-1])[-2::-1], [0.0]))
    return before + after


def geometric_centre(results: npt.ArrayLike, pooled: Repeatability) -> Centre:
    """Return the geometric mean, divided and multiplied by ``repeatability_factor``.

    Holds where the configuration scatters as the pooled ones do (``is_variable``).

    Args:
        results: positive results of one configuration in any one unit, shape (m,),
            m >= 1.
        pooled: the repeatability.

    Raises:
        MeasureError: ``too_few_values`` or ``not_positive``.
    """
    logs = _logs([checked_numbers("results", results, 1)])[0]
    value = float(np.exp(logs.mean()))
    factor = repeatability_factor(pooled, logs.size)
    return Centre(value, value / factor, value * factor)


def repeatability_factor(pooled: Repeatability, runs: int) -> float:
    """Return the factor by which a mean of runs is uncertain at 95 %.

    ``exp(t_nu s_r / sqrt(runs))``, t at 97.5 % with the pool's degrees of freedom.
    Simulated coverage with 20 of them is 95 to 97 %.

    Args:
        pooled: the repeatability, s_r and nu.
        runs: how many are averaged, 1 or more.

    Raises:
        MeasureError: ``too_few_values`` for no run.
    """
    if runs < 1:
        raise MeasureError("too_few_values", what="runs", count=float(runs), least=1.0)
    return float(np.exp(t_quantile(0.975, pooled.nu) * pooled.s_r / runs**0.5))


def is_variable(results: npt.ArrayLike, pooled: Repeatability) -> bool:
    """Tell whether a configuration scatters more than the others: VARIABLE.

    Its own variance exceeds the 99 % point of F, with m - 1 and nu degrees of freedom,
    times the pooled one. Such a configuration keeps its own variance. One in a hundred
    that scatters like the others is taken for variable.

    Args:
        results: its positive results, shape (m,); fewer than two are never variable.
        pooled: the repeatability.

    Raises:
        MeasureError: ``not_positive``.
    """
    logs = _logs([results])[0]
    if logs.size < 2:
        return False
    limit = f_quantile(0.99, logs.size - 1, pooled.nu) * pooled.s_r**2
    return float(logs.var(ddof=1)) > limit


def bartlett(groups: Sequence[npt.ArrayLike]) -> VarianceTest:
    """Test whether the groups' variances of ln(result) agree, after Bartlett.

    ``[N ln s_p^2 - sum nu_i ln s_i^2]/c`` with ``c = 1 + (sum 1/nu_i - 1/N)/(3 (g -
    1))``, N the sum of the g groups' degrees of freedom nu_i, against chi-squared with
    g - 1 (Bartlett 1937). Sensitive to non-normality; small groups give it little
    power.

    Args:
        groups: positive results in any one unit; groups of one are left out.

    Raises:
        MeasureError: ``too_few_values`` with fewer than two groups of repeats,
            ``constant_series`` when a group has no scatter.
    """
    kept, variance, nu = _variances(groups)
    total = float(nu.sum())
    pooled = float(nu @ variance) / total
    if not np.all(variance > 0):
        raise MeasureError("constant_series")
    top = total * float(np.log(pooled)) - float(nu @ np.log(variance))
    correction = 1 + (float((1 / nu).sum()) - 1 / total) / (3 * (nu.size - 1))
    statistic = top / correction
    worst = kept[int(np.argmax(variance))]
    return VarianceTest(statistic, chi2_upper(statistic, nu.size - 1), worst)


def cochran(groups: Sequence[npt.ArrayLike]) -> VarianceTest:
    """Test whether the largest variance of ln(result) stands out, after Cochran.

    The statistic is its share of all variances; ``p`` is the upper bound that follows
    from F, exact enough for small probabilities, with the mean degrees of freedom for
    groups of unequal size (Cochran 1941; the published tables are for equal sizes).

    Args:
        groups: positive results in any one unit; groups of one are left out.

    Raises:
        MeasureError: ``too_few_values``; ``constant_series`` when nothing scatters.
    """
    kept, variance, nu = _variances(groups)
    if not variance.sum() > 0:
        raise MeasureError("constant_series")
    count, each = variance.size, float(nu.mean())
    share = float(variance.max() / variance.sum())
    worst = kept[int(np.argmax(variance))]
    if share >= 1.0:
        return VarianceTest(share, 0.0, worst)
    ratio = (count - 1) * share / (1 - share)
    p = min(1.0, count * f_upper(ratio, each, (count - 1) * each))
    return VarianceTest(share, p, worst)


def _variances(groups: Sequence[npt.ArrayLike]) -> tuple[list[int], Floats, Floats]:
    """Return indices, variances and degrees of freedom of groups with repeats."""
    logs = _logs(groups)
    kept = [i for i, values in enumerate(logs) if values.size > 1]
    if len(kept) < 2:
        raise MeasureError(
            "too_few_values", what="groups", count=float(len(kept)), least=2.0
        )
    variance = np.array([logs[i].var(ddof=1) for i in kept])
    return kept, variance, np.array([logs[i].size - 1.0 for i in kept])


def repeatability_limit(pooled: Repeatability) -> float:
    """Return the share by which two results of one configuration may differ.

    The repeatability limit ``r = 1.96 sqrt(2) s_r``: the difference of two single
    results stays below it in 95 % of cases, as a share, ``exp(r) - 1`` of the smaller.
    It takes s_r as exactly known (convention of ISO 5725; not quoted).
    """
    return float(np.expm1(LIMIT_FACTOR * pooled.s_r))


@dataclass(frozen=True, slots=True)
class VarianceRatio:
    """Two repeatabilities held against each other.

    Attributes:
        ratio: the first s_r over the second.
        p: two-sided probability of a ratio as far from 1, if they are the same.
        differ: whether it is below 5 %.
    """

    ratio: float
    p: float
    differ: bool


def variance_ratio(first: Repeatability, second: Repeatability) -> VarianceRatio:
    """Tell whether two repeatabilities differ, by the two-sided F test at 5 %.

    ``F = s_1^2/s_2^2`` with nu_1 and nu_2 degrees of freedom; it supposes that they
    rest on different runs. Where the second holds the runs of the first as well, the
    test is cautious: it says "differ" less often than 5 % by chance.

    Raises:
        MeasureError: ``not_positive`` for one without scatter.
    """
    checked_positive("s_r", first.s_r)
    checked_positive("s_r", second.s_r)
    ratio = first.s_r / second.s_r
    upper = f_upper(ratio**2, first.nu, second.nu)
    p = min(1.0, 2.0 * min(upper, 1.0 - upper))
    return VarianceRatio(ratio, p, p < 0.05)
