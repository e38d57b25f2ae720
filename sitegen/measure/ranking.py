"""Who is better than whom, as far as the uncertainty lets anyone say.

Two results differ when the interval of their ratio leaves out 1; never when their own
intervals fail to overlap, which is a much stricter and different question.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from sitegen.errors import MeasureError
from sitegen.measure.arrays import Floats, checked_numbers, checked_positive
from sitegen.measure.quantiles import t_quantile, t_two_sided
from sitegen.measure.repeatability import Repeatability

# Results are compared group by group of similar standard errors: one that is wide
# among many narrow ones then leaves few pairs in doubt.
_MOST_GROUPS = 16
_LEAST_IN_GROUP = 64

Verdict = Literal["higher", "lower", "equivalent", "not_distinguishable"]


@dataclass(frozen=True, slots=True)
class RankInterval:
    """The ranks that a result may have.

    Attributes:
        low: 1 + how many are significantly better.
        high: how many there are less those significantly worse.
    """

    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Ratio:
    """One result over another.

    Attributes:
        ratio: of the geometric means.
        low: lower 95 % limit.
        high: upper limit.
        t: the difference of logarithms over its standard error.
        nu: degrees of freedom.
        p: two-sided probability if they are the same.
    """

    ratio: float
    low: float
    high: float
    t: float
    nu: float
    p: float

    def verdict(self, worthwhile: float = 0.10) -> Verdict:
        """Say what the interval allows.

        Args:
            worthwhile: smallest difference that matters, 0.10 for 10 %.

        Returns:
            ``equivalent`` when the whole interval lies within that of 1, even if it
            leaves out 1; else ``higher``, ``lower`` or ``not_distinguishable``.
        """
        if 1.0 / (1.0 + worthwhile) < self.low and self.high < 1.0 + worthwhile:
            return "equivalent"
        if self.low > 1.0:
            return "higher"
        return "lower" if self.high < 1.0 else "not_distinguishable"


def rank_intervals(
    values: npt.ArrayLike, se: npt.ArrayLike, critical: float
) -> list[RankInterval]:
    """Return every result's rank interval; the largest value ranks first.

    j is better than i when ``x_j - x_i > critical sqrt(se_i^2 + se_j^2)``, with one
    critical value for the whole set. Found by search in the sorted values: only those
    whose distance the smallest and the largest standard error of a group decide
    differently are compared one by one. The method's own definition: pairwise,
    without correction for the number of pairs, so that one pair in twenty of equals
    is told apart.

    Args:
        values: for a CADR its logarithm, shape (n,); negate where less is better.
        se: standard error of each, without what all share, shape (n,), not negative.
        critical: for example Student's t at 97.5 %.

    Raises:
        MeasureError: ``lengths_differ``, ``not_finite`` or ``not_positive``.
    """
    x, s = checked_numbers("values", values, 0), checked_numbers("se", se, 0)
    if x.shape != s.shape:
        raise MeasureError("lengths_differ", values=float(x.size))
    if np.any(s < 0) or not critical >= 0:
        raise MeasureError("not_positive", what="se", value=float(s.min(initial=0.0)))
    better, worse = _count_above(x, s, critical), _count_above(-x, s, critical)
    return [
        RankInterval(1 + int(b), x.size - int(w))
        for b, w in zip(better, worse, strict=True)
    ]


def _count_above(x: Floats, s: Floats, critical: float) -> npt.NDArray[np.int64]:
    """Count, for each value, those above it by more than the critical distance."""
    count = np.zeros(x.size, dtype=np.int64)
    if x.size:
        number = min(_MOST_GROUPS, 1 + x.size // _LEAST_IN_GROUP)
        for group in np.array_split(np.argsort(s, kind="stable"), number):
            count += _count_above_in(x, s, critical, group)
    return count


def _count_above_in(
    x: Floats, s: Floats, critical: float, group: npt.NDArray[np.intp]
) -> npt.NDArray[np.int64]:
    """Count the same among a group whose standard errors are much alike."""
    order = group[np.argsort(x[group], kind="stable")]
    ordered, spread = x[order], s[order]
    near = x + critical * np.hypot(s, spread.min())
    far = x + critical * np.hypot(s, spread.max())
    first = np.searchsorted(ordered, near, side="right")
    sure = np.searchsorted(ordered, far, side="right")
    # Each value beside all that it is in doubt about, one after the other.
    doubts = sure - first
    here = np.repeat(np.arange(x.size), doubts)
    at = np.arange(here.size) + np.repeat(sure - np.cumsum(doubts), doubts)
    above = ordered[at] > x[here] + critical * np.hypot(s[here], spread[at])
    count = np.bincount(here[above], minlength=x.size)
    return np.asarray(ordered.size - sure + count)


def _logs(results: npt.ArrayLike, least: int) -> Floats:
    values = checked_numbers("results", results, least)
    if np.any(values <= 0):
        raise MeasureError("not_positive", what="result", value=float(values.min()))
    return np.asarray(np.log(values))


def ratio_by_repeatability(
    a: npt.ArrayLike, b: npt.ArrayLike, pooled: Repeatability, natural: float = 0.0
) -> Ratio:
    """Return the ratio a/b with the pooled repeatability's interval.

    ``se = s_r sqrt(1/m_a + 1/m_b)`` of the difference of mean logarithms, t with the
    pooled degrees of freedom. Volume and linearity cancel only in one room with one
    set of sensors.

    Args:
        a: positive results of one configuration, shape (m,), m >= 1.
        b: of the other.
        pooled: the repeatability.
        natural: what the natural decays add, ``natural_half_width``.

    Raises:
        MeasureError: ``too_few_values`` or ``not_positive``.
    """
    x, y = _logs(a, 1), _logs(b, 1)
    se = pooled.s_r * float(np.sqrt(1 / x.size + 1 / y.size))
    return _ratio(float(x.mean() - y.mean()), se, pooled.nu, natural)


def ratio_by_own_scatter(
    a: npt.ArrayLike,
    b: npt.ArrayLike,
    scatter_a: Repeatability | None,
    scatter_b: Repeatability | None,
    natural: float = 0.0,
) -> Ratio:
    """Return the ratio a/b where each side has a scatter of its own.

    ``se^2 = s_a^2/m_a + s_b^2/m_b`` of the difference of mean logarithms, with
    Welch and Satterthwaite's degrees of freedom. For two methods that each have a
    repeatability, and for a configuration whose repeats scatter more than the others'.

    Args:
        a: positive results of one configuration, shape (m,).
        b: of the other.
        scatter_a: repeatability of the first's method; None takes its repeats' own
            scatter, m >= 2.
        scatter_b: of the second's.
        natural: what the natural decays add, ``natural_half_width``.

    Raises:
        MeasureError: ``too_few_values``, ``not_positive``, or ``constant_series``
            when neither scatters.
    """
    parts = []
    for values, known in ((a, scatter_a), (b, scatter_b)):
        logs = _logs(values, 1 if known is not None else 2)
        if known is not None:
            variance, nu = known.s_r**2, known.nu
        else:
            variance, nu = float(logs.var(ddof=1)), float(logs.size - 1)
        parts.append((float(logs.mean()), variance / logs.size, nu))
    (x, vx, nx), (y, vy, ny) = parts
    if vx + vy == 0:
        raise MeasureError("constant_series")
    nu = (vx + vy) ** 2 / (vx**2 / nx + vy**2 / ny)
    return _ratio(x - y, (vx + vy) ** 0.5, nu, natural)


@dataclass(frozen=True, slots=True)
class NaturalShare:
    """What a configuration's natural decay does to its result.

    Attributes:
        half_m3h: half-width of the natural decay's 95 % interval times the room's
            volume, m3/h.
        runs: ids of the natural-decay runs in it, each once.
    """

    half_m3h: float
    runs: tuple[str, ...]


def natural_half_width(
    a_m3h: float, natural_a: NaturalShare, b_m3h: float, natural_b: NaturalShare
) -> float:
    """Return how far ln(a/b) may be off by the natural decays, half-width at 95 %.

    A natural decay taken off too high lowers ``CADR = V (k_e - k_n)`` by the same
    flow whatever the device, so that ``ln CADR`` moves by ``half/CADR``. Where two
    results rest on the same natural runs both move together and only
    ``half |1/a - 1/b|`` is left: nothing for two equal ones. Where they share some
    runs their correlation is taken as ``shared/sqrt(n_a n_b)``, as for means over
    runs that scatter alike.

    Args:
        a_m3h: CADR of one configuration, m3/h, positive.
        natural_a: its natural decay.
        b_m3h: CADR of the other.
        natural_b: its natural decay.

    Raises:
        MeasureError: ``not_positive``.
    """
    x = natural_a.half_m3h / checked_positive("a_m3h", a_m3h)
    y = natural_b.half_m3h / checked_positive("b_m3h", b_m3h)
    shared = len(set(natural_a.runs) & set(natural_b.runs))
    most = (len(natural_a.runs) * len(natural_b.runs)) ** 0.5
    common = shared / most if shared else 0.0
    return float(np.sqrt(max(x * x + y * y - 2.0 * common * x * y, 0.0)))


def _ratio(difference: float, se: float, nu: float, natural: float = 0.0) -> Ratio:
    """Return the ratio of a difference of logarithms.

    The natural decays' half-width joins the scatter's in quadrature, as in the
    interval of a CADR; the standard error follows from both.
    """
    if se == 0:
        raise MeasureError("constant_series")
    factor = t_quantile(0.975, nu)
    half = float(np.hypot(factor * se, natural))
    t = difference * factor / half
    return Ratio(
        ratio=float(np.exp(difference)),
        low=float(np.exp(difference - half)),
        high=float(np.exp(difference + half)),
        t=t,
        nu=nu,
        p=t_two_sided(t, nu),
    )


def holm(p: npt.ArrayLike) -> list[float]:
    """Return Holm's adjusted probabilities, in the order given.

    ``p_(i) = max over j <= i of (M - j + 1) p_(j)``, not above 1 (Holm 1979). For the
    pairs of one named comparison; holds whatever the pairs have in common.

    Args:
        p: shape (M,), each from 0 to 1.

    Raises:
        MeasureError: ``not_a_fraction`` or ``not_finite``.
    """
    given = checked_numbers("p", p, 0)
    if np.any((given < 0) | (given > 1)):
        raise MeasureError("not_a_fraction", value=float(given.max()))
    order = np.argsort(given, kind="stable")
    steps = given[order] * np.arange(given.size, 0, -1)
    adjusted = np.empty(given.size)
    adjusted[order] = np.minimum(np.maximum.accumulate(steps), 1.0)
    return [float(one) for one in adjusted]
