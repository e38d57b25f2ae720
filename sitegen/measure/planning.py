"""How many more runs would settle a question: planning, not a result.

A plan takes the scatter that is known now as the true one. What the next runs will
show differs from it, so a plan says "about"; with the scatter of two or three runs it
is no more than a hint.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sitegen.errors import MeasureError
from sitegen.measure.arrays import checked_positive
from sitegen.measure.estimate import Z95
from sitegen.measure.quantiles import t_quantile
from sitegen.measure.repeatability import Repeatability

MOST_RUNS = 30
"""Nobody repeats a test more often; beyond it a plan says that it cannot be done."""
MOST_NATURAL = 30


@dataclass(frozen=True, slots=True)
class NaturalScatter:
    """What the natural decay that is taken off does to a CADR.

    Attributes:
        half_share: half-width of its 95 % interval as a share of the CADR, with the
            natural runs that there are.
        runs: how many natural runs that is.
    """

    half_share: float
    runs: int

    def __post_init__(self) -> None:
        """Refuse what no plan can be made of.

        Raises:
            MeasureError: ``not_positive`` or ``too_few_values``.
        """
        checked_positive("half_share", self.half_share, zero=True)
        _least_one("natural runs", self.runs)

    def half_with(self, runs: int) -> float:
        """Return the half-width with another number of natural runs.

        ``t_{N-1} s/sqrt(N)``, s from the present width. From a single run, whose
        interval does not know how natural decays differ, s is its own standard
        deviation: what comes out is then the least that it can be.
        """
        _least_one("natural runs", runs)
        if runs == self.runs:
            return self.half_share
        each = self.half_share * math.sqrt(self.runs) / _t(self.runs)
        return _t(runs) * each / math.sqrt(runs)


@dataclass(frozen=True, slots=True)
class Spread:
    """What makes up the 95 % interval of one configuration's CADR.

    Attributes:
        scatter: how runs scatter, the standard deviation of ln CADR: the method's
            repeatability, or what the configuration's own runs show.
        own: whether the interval will rest on the configuration's own runs, m - 1
            degrees of freedom; else on the degrees of freedom of ``scatter``.
        natural: of the natural decay that is taken off.
        common_share: half-width that comes from the room's volume and the sensors'
            linearity, as a share of the CADR; no run changes it.
    """

    scatter: Repeatability
    own: bool
    natural: NaturalScatter
    common_share: float = 0.0

    def half_share(self, runs: int, natural_runs: int | None = None) -> float:
        """Return the interval's half-width as a share of the CADR.

        ``sqrt(r^2 + n^2 + c^2)``: r is ``exp(t_nu s_r/sqrt(m)) - 1``, the upper and
        larger side, or by own scatter ``t_{m-1} s/sqrt(m)``; n the natural decay's, c
        what all results of the room share. As ``cadr.combined_cadr`` joins them.

        Args:
            runs: runs with the device on, m; by own scatter two or more.
            natural_runs: natural decays; as many as there are when not given.

        Raises:
            MeasureError: ``too_few_values``.
        """
        natural = self.natural.half_with(natural_runs or self.natural.runs)
        return float(np.hypot(self.of_runs(runs), np.hypot(natural, self.common_share)))

    def of_runs(self, runs: int) -> float:
        """Return the part that more runs with the device on make smaller.

        Raises:
            MeasureError: ``too_few_values``.
        """
        _least_one("runs", runs)
        each = self.scatter.s_r / math.sqrt(runs)
        if not self.own:
            return float(np.expm1(t_quantile(0.975, self.scatter.nu) * each))
        if runs < 2:
            raise MeasureError("too_few_values", what="runs", count=1.0, least=2.0)
        return t_quantile(0.975, runs - 1) * each


@dataclass(frozen=True, slots=True)
class RunsNeeded:
    """How many runs in all would narrow an interval to a width.

    Attributes:
        runs: with the device on, in all.
        natural_runs: natural decays, in all.
        half_share: the half-width that they would give, as a share of the CADR.
    """

    runs: int
    natural_runs: int
    half_share: float


def runs_for_width(spread: Spread, share: float, runs_now: int) -> RunsNeeded | None:
    """Return the fewest further runs that narrow a CADR's interval to a width.

    All pairs of further runs with the device on and further natural decays are tried;
    the one with the fewest of both is taken, of equals the one with the fewest
    natural decays. So a natural decay that alone is too wide leads to more of those.

    Args:
        spread: what makes up the interval.
        share: half-width wanted, as a share of the CADR: 0.10 for 10 % either way.
        runs_now: runs with the device on that there are.

    Returns:
        None when neither up to ``MOST_RUNS`` runs nor ``MOST_NATURAL`` natural decays
        are enough; when ``spread.common_share`` alone reaches ``share`` that is
        because no repeat makes the room's volume better known.

    Raises:
        MeasureError: ``not_positive`` or ``too_few_values``.
    """
    checked_positive("share", share)
    _least_one("runs", runs_now)
    first = max(runs_now, 2 if spread.own else 1)
    each = {m: spread.of_runs(m) for m in range(first, max(MOST_RUNS, first) + 1)}
    rest2 = share**2 - spread.common_share**2
    now = spread.natural.runs
    best: tuple[int, int, int, int] | None = None
    for natural in range(now, max(MOST_NATURAL, now) + 1):
        left2 = rest2 - spread.natural.half_with(natural) ** 2
        runs = next((m for m, half in each.items() if half**2 <= left2), None)
        if runs is not None:
            more = runs - runs_now, natural - now
            found = (sum(more), more[1], runs, natural)
            best = found if best is None else min(best, found)
    if best is None:
        return None
    _, _, runs, natural = best
    return RunsNeeded(runs, natural, spread.half_share(runs, natural))


def runs_to_tell_apart(
    share: float, scatter: Repeatability, *, own: bool = False, power: float = 0.8
) -> int | None:
    """Return how many runs each until two configurations can be told apart.

    The smallest m with ``(t_{.975} + t_{power}) s_r sqrt(2/m) <= ln(1 + share)``: of
    two that truly differ by ``share`` the interval of the ratio then leaves out 1 in
    about that many cases. The usual approximation of the noncentral t, which is a
    little too small below about five degrees of freedom. Natural decays are taken to
    be shared, so that they cancel.

    Args:
        share: how far they differ: 0.10 for a tenth.
        scatter: of each; the degrees of freedom hold for a pooled repeatability.
        own: whether only the two configurations' own runs tell their scatter, which
            then has ``2 (m - 1)`` degrees of freedom.
        power: probability of telling them apart, above 0.5 and below 1.

    Returns:
        None when it takes more than ``MOST_RUNS``.

    Raises:
        MeasureError: ``not_positive``, or ``not_a_fraction`` for the power.
    """
    checked_positive("share", share)
    if not 0.5 <= power < 1:
        raise MeasureError("not_a_fraction", value=power)

    def enough(m: int) -> bool:
        nu = 2.0 * (m - 1) if own else scatter.nu
        quantiles = t_quantile(0.975, nu) + t_quantile(power, nu)
        return quantiles * scatter.s_r * math.sqrt(2 / m) <= math.log1p(share)

    first = 2 if own else 1
    return next((m for m in range(first, MOST_RUNS + 1) if enough(m)), None)


def _t(runs: int) -> float:
    """Return the factor of a mean of natural runs; the normal one for a single."""
    return t_quantile(0.975, runs - 1) if runs > 1 else Z95


def _least_one(what: str, count: int) -> None:
    if count < 1:
        raise MeasureError("too_few_values", what=what, count=float(count), least=1.0)
