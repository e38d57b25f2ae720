"""How many runs would settle a question."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.planning import (
    NaturalScatter,
    RunsNeeded,
    Spread,
    runs_for_width,
    runs_to_tell_apart,
)
from sitegen.measure.repeatability import Repeatability

NONE = NaturalScatter(0.0, 2)
KNOWN = Repeatability(0.06, 20.0)


def t(nu: float, probability: float = 0.975) -> float:
    """Return Student's quantile as SciPy gives it."""
    return float(stats.t.ppf(probability, nu))


@pytest.mark.parametrize(
    ("share", "runs"),
    # t_20 = 2.0860: 6 % over root m gives 13.3, 9.25, 7.49, 6.46, 5.76, 5.24, 4.84 %.
    [(0.14, 1), (0.10, 2), (0.09, 3), (0.07, 4), (0.06, 5), (0.05, 7)],
)
def test_runs_under_a_known_repeatability(share: float, runs: int) -> None:
    """The fewest runs are the first whose exp(t s/sqrt(m)) - 1 is not above."""
    got = runs_for_width(Spread(KNOWN, own=False, natural=NONE), share, 1)
    half = math.exp(t(20) * 0.06 / math.sqrt(runs)) - 1
    assert half <= share
    assert runs == 1 or math.exp(t(20) * 0.06 / math.sqrt(runs - 1)) - 1 > share
    assert got is not None
    assert (got.runs, got.natural_runs) == (runs, 2)
    assert got.half_share == pytest.approx(half, rel=1e-9)


@pytest.mark.parametrize(
    ("share", "runs"),
    # 4 % each: t_1 s/sqrt 2 = 35.9 %, t_2 9.94, t_3 6.36, t_4 4.97, t_5 4.20, t_6 3.70.
    [(0.40, 2), (0.10, 3), (0.07, 4), (0.05, 5), (0.04, 7)],
)
def test_runs_by_their_own_scatter(share: float, runs: int) -> None:
    """Without a repeatability the degrees of freedom grow with the runs."""
    own = Repeatability(0.04, 1.0)
    got = runs_for_width(Spread(own, own=True, natural=NONE), share, 2)
    assert got is not None
    assert got.runs == runs
    assert got.half_share == pytest.approx(
        t(runs - 1) * 0.04 / math.sqrt(runs), rel=1e-9
    )


def test_runs_that_are_there_are_not_taken_back() -> None:
    """A width that is reached already needs no further run."""
    spread = Spread(KNOWN, own=False, natural=NONE)
    assert runs_for_width(spread, 0.14, 4) == RunsNeeded(4, 2, spread.half_share(4))


def test_natural_decay_that_runs_cannot_make_better() -> None:
    """Where natural decay alone is too wide more of those are asked for, and how many.

    Two natural decays that differ so that they make 30 %: s = 0.3 sqrt 2/12.7062 =
    3.339 %, so that three make 8.29, four 5.31 and five 4.15 %.
    """
    natural = NaturalScatter(0.30, 2)
    assert natural.half_with(4) == pytest.approx(
        t(3) * 0.30 * math.sqrt(2) / t(1) / 2, rel=1e-9
    )
    spread = Spread(KNOWN, own=False, natural=natural)
    got = runs_for_width(spread, 0.10, 3)
    # Three runs make 7.49 %; with 8.29 % that is 11.2 %, with 5.31 % it is 9.18 %.
    # Four runs and three natural decays make 10.5 %.
    assert got is not None
    assert (got.runs, got.natural_runs) == (3, 4)
    assert got.half_share == pytest.approx(
        math.hypot(math.exp(t(20) * 0.06 / math.sqrt(3)) - 1, natural.half_with(4)),
        rel=1e-9,
    )
    many = [spread.half_share(m) for m in (3, 10, 30, 1000)]
    assert min(many) > 0.30


def test_a_single_natural_decay() -> None:
    """Of one natural decay the scatter is taken from its own interval."""
    assert NaturalScatter(0.0196, 1).half_with(4) == pytest.approx(
        t(3) * 0.0196 / stats.norm.ppf(0.975) / 2, rel=1e-9
    )


def test_what_the_room_leaves_uncertain_no_run_makes_better() -> None:
    """Volume and linearity join in quadrature, and can make a width unreachable."""
    spread = Spread(KNOWN, own=False, natural=NONE, common_share=0.06)
    assert spread.half_share(4) == pytest.approx(
        math.hypot(math.exp(t(20) * 0.03) - 1, 0.06), rel=1e-9
    )
    assert runs_for_width(spread, 0.06, 1) is None
    assert runs_for_width(spread, 0.0601, 1) is None
    assert runs_for_width(spread, 0.10, 1) is not None


def test_natural_decays_in_a_plan_are_never_fewer() -> None:
    """Of many natural decays none is taken away, and none asked for."""
    spread = Spread(KNOWN, own=False, natural=NaturalScatter(0.01, 45))
    got = runs_for_width(spread, 0.10, 1)
    assert got is not None
    assert got.natural_runs == 45


def test_planned_width_holds_on_average() -> None:
    """Intervals of simulated repeats are about as wide as the plan says.

    The mean of ``t s/sqrt(m)`` falls short of the plan by the bias of s, 0.9400 for
    four degrees of freedom.
    """
    plan = Spread(Repeatability(0.05, 4.0), own=True, natural=NONE).half_share(5)
    draws = np.random.default_rng(4).normal(scale=0.05, size=(20_000, 5))
    halves = t(4) * draws.std(axis=1, ddof=1) / math.sqrt(5)
    assert float(halves.mean()) == pytest.approx(0.9400 * plan, rel=0.01)


@pytest.mark.parametrize(
    ("share", "s_r", "runs"),
    # (2.0860 + 0.8600) s sqrt(2/m) against ln(1 + share), nu = 20.
    [(0.10, 0.036, 3), (0.10, 0.02, 1), (0.05, 0.036, 10), (0.20, 0.036, 1)],
)
def test_runs_to_tell_two_apart(share: float, s_r: float, runs: int) -> None:
    """The fewest runs each are the first that the two quantiles allow."""
    got = runs_to_tell_apart(share, Repeatability(s_r, 20.0))
    assert got == runs

    def left(m: int) -> float:
        return (t(20) + t(20, 0.8)) * s_r * math.sqrt(2 / m) - math.log(1 + share)

    assert left(runs) <= 0
    assert runs == 1 or left(runs - 1) > 0


@pytest.mark.parametrize("seed", [1, 2])
def test_two_are_told_apart_as_often_as_said(seed: int) -> None:
    """Of two that differ by a tenth at least four in five pairs are told apart."""
    scatter = Repeatability(0.045, 30.0)
    runs = runs_to_tell_apart(0.10, scatter)
    assert runs == 4
    rng = np.random.default_rng(seed)

    def told(m: int) -> float:
        differ = rng.normal(scale=0.045, size=(20_000, 2, m)).mean(axis=2)
        gap = math.log(1.1) + differ[:, 0] - differ[:, 1]
        s = 0.045 * np.sqrt(rng.chisquare(30, 20_000) / 30)
        return float(np.mean(gap > t(30) * s * math.sqrt(2 / m)))

    assert told(runs) >= 0.79
    assert told(runs - 1) < 0.80


def test_two_with_their_own_scatter_need_more() -> None:
    """Without a repeatability the two themselves tell their scatter: 2(m - 1)."""
    scatter = Repeatability(0.036, 20.0)
    got = runs_to_tell_apart(0.10, scatter, own=True)
    # m = 3: (t_4 + t_4,.8) 0.036 sqrt(2/3) = 0.1093 > 0.0953; m = 4: 0.0853.
    assert got == 4


def test_what_nobody_would_repeat_so_often() -> None:
    """A difference that takes more than thirty runs is not promised."""
    assert runs_to_tell_apart(0.01, Repeatability(0.05, 20.0)) is None
    assert runs_for_width(Spread(KNOWN, own=False, natural=NONE), 0.01, 1) is None


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: NaturalScatter(-0.1, 2), "not_positive"),
        (lambda: NaturalScatter(0.1, 0), "too_few_values"),
        (lambda: NONE.half_with(0), "too_few_values"),
        (
            lambda: Spread(KNOWN, own=False, natural=NONE).half_share(0),
            "too_few_values",
        ),
        (lambda: Spread(KNOWN, own=True, natural=NONE).half_share(1), "too_few_values"),
        (
            lambda: runs_for_width(Spread(KNOWN, own=False, natural=NONE), 0.0, 1),
            "not_positive",
        ),
        (lambda: runs_to_tell_apart(0.0, KNOWN), "not_positive"),
        (lambda: runs_to_tell_apart(0.1, KNOWN, power=1.0), "not_a_fraction"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """What no plan can be made of raises a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code
