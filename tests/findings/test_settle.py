"""What is not settled, and what would settle it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy import stats

from sitegen.findings.comparisons import Scatter
from sitegen.findings.results import Outlying, Pooled
from sitegen.findings.settle import Settling, Surprise, half_share, surprises
from sitegen.findings.views import ClaimView, Interval
from sitegen.measure.ranking import NaturalShare
from tests.findings.builders import row

ADOPTED = Scatter(0.06, 20.0, adopted=True)
EXACT = NaturalShare(0.0, ("n1", "n2"))
NAMED = "decay-a pm2_5"


def item(
    low: float = 95.0,
    high: float = 105.0,
    *,
    value: float = 100.0,
    each: tuple[float, ...] = (98.0, 102.0),
    flags: tuple[str, ...] = (),
    natural: NaturalShare = EXACT,
    stat: tuple[float, float] | None = None,
    basis: str = "repeatability",
    outlying: Outlying | None = None,
) -> Pooled:
    """Return a result; without ``stat`` nothing but its runs makes its interval."""
    made = row(
        cadr_m3h=value,
        cadr_low=low,
        cadr_high=high,
        cadr_basis=basis,
        runs=len(each),
        flags=flags,
    )
    below, beyond = stat or (low, high)
    return Pooled(made, ("a",), each, below, beyond, 0.1, natural, outlying)


def only(
    pooled: Pooled,
    claims: tuple[ClaimView, ...] = (),
    known: Scatter | None = ADOPTED,
    replaced: tuple[str, ...] = (),
) -> Surprise | None:
    scatter = {} if known is None else {NAMED: known}
    found = surprises((pooled.row,), (pooled,), claims, scatter, replaced)
    return found[0] if found else None


def claim(value: float, low: float, high: float, quantity: str = "cadr") -> ClaimView:
    where = "alder.fine.high decay-a pm2_5" if quantity == "cadr" else "alder.fine.high"
    return ClaimView(
        quantity=quantity,
        text="180 m³/h",
        value=180.0,
        unit="m3/h",
        aerosol="pm2_5",
        speed="high",
        source="",
        url="",
        seen="2026-01-01",
        measured=None,
        measured_row=where,
        ratio=Interval(value, low, high),
        grade="cannot-tell",
    )


def test_a_narrow_result_is_settled() -> None:
    """A result within a tenth either way, whose runs agree, is not on the list."""
    assert only(item()) is None
    assert only(item(90.0, 110.0)) is None


def test_wide_interval_by_adopted_repeatability() -> None:
    """One run at 13.3 % wants a second, which makes 9.25 % (t_20 = 2.0860)."""
    half = math.exp(stats.t.ppf(0.975, 20) * 0.06) - 1
    got = only(item(100 / (1 + half), 100 * (1 + half), each=(100.0,)))
    assert got is not None
    assert got.steps == (Settling("wide", "runs", 1, 0, share=0.09),)
    assert (got.share, got.runs) == (0.13, 1)
    # Half of 13.3 % is 6.67 %: m = 4 makes 6.46 %.
    assert got.halved is not None
    assert (got.halved.more, got.halved.share) == (3, 0.06)


def test_wide_interval_by_its_own_scatter() -> None:
    """Without a repeatability two runs want a third: t_2 s/sqrt 3 = 7.03 %."""
    s = math.sqrt(2) * 2.0
    half = stats.t.ppf(0.975, 1) * s / math.sqrt(2)
    got = only(item(100 - half, 100 + half, basis="random-effects"), known=None)
    assert got is not None
    assert got.steps == (Settling("wide", "runs", 1, 0, share=0.07),)


def test_current_repeatability_tells_the_scatter_but_does_not_make_the_interval() -> (
    None
):
    """Until it is adopted the runs' own degrees of freedom count: t_3 s/sqrt 4."""
    current = Scatter(0.06, 20.0, adopted=False)
    got = only(item(70.0, 130.0, basis="random-effects"), known=current)
    assert got is not None
    want = float(stats.t.ppf(0.975, 3)) * 0.03
    assert want == pytest.approx(0.0955, abs=1e-4)
    assert got.steps == (Settling("wide", "runs", 2, 0, share=round(want, 2)),)


def test_natural_decay_that_is_too_vague() -> None:
    """Where natural decay alone makes 20 % more natural decays are asked for."""
    off = NaturalShare(20.0, ("n1", "n2"))
    half = math.hypot(20.0, 100 * math.expm1(stats.t.ppf(0.975, 20) * 0.06 / 2**0.5))
    got = only(item(100 - half, 100 + half, natural=off))
    assert got is not None
    (step,) = got.steps
    # Three natural decays make t_2 s/sqrt 3 = 5.53 %; with two runs' 9.25 % that is
    # 10.8 %, with three runs' 7.49 % it is 9.31 %. Four of them and two runs make
    # 9.91 % with as many tests more, but tell nothing more about the device.
    assert (step.remedy, step.more, step.more_natural) == ("runs", 1, 1)
    assert step.natural_limits
    assert step.share == 0.09


def test_room_that_is_too_vague() -> None:
    """No run makes a room's volume better known, and that is said."""
    got = only(item(85.0, 115.0, stat=(99.0, 101.0)))
    assert got is not None
    assert got.steps == (Settling("wide", "room"),)
    assert got.halved is None


def test_single_run_without_a_repeatability() -> None:
    """A run alone wants a second, whatever its own interval says."""
    got = only(item(99.0, 101.0, each=(100.0,), basis="single"), known=None)
    assert got is not None
    assert got.steps == (Settling("single", "second-run", 1),)


def test_variable_result_by_its_own_scatter() -> None:
    """A configuration that scatters more is planned by its own runs alone."""
    each = (90.0, 100.0, 110.0)
    got = only(item(75.0, 125.0, each=each, flags=("VARIABLE",)))
    assert got is not None
    # s = 10 %: t_6 s/sqrt 7 = 9.25 %, t_5 s/sqrt 6 = 10.5 %.
    assert got.steps == (Settling("variable", "runs", 4, share=0.09),)


def test_variable_result_that_is_narrow_all_the_same() -> None:
    """With a narrow interval only why the runs differ is open."""
    got = only(item(flags=("VARIABLE",)))
    assert got is not None
    assert got.steps == (Settling("variable", "look"),)


def test_clean_air_not_told_from_none() -> None:
    """As many runs as make the interval leave out zero; none for a negative one."""
    each = (40.0, 120.0)
    got = only(item(-428.0, 588.0, value=80.0, each=each, flags=("CADR_ZERO",)))
    assert got is not None
    # s = 70.7 % of the mean: t_3 s/sqrt 4 = 112.5 %, t_4 s/sqrt 5 = 87.8 %.
    assert got.steps == (Settling("zero", "runs", 3, share=0.88),)
    none = item(-3.0, 2.0, value=-0.5, each=(-0.4, -0.6), flags=("CADR_ZERO",))
    got = only(none)
    assert got is not None
    assert (got.share, got.steps) == (None, (Settling("zero", "limit-stands"),))


def test_run_that_stands_off_until_it_is_decided() -> None:
    """It is on the list until its record holds a decision."""
    both = Interval(100.0, 95.0, 105.0)
    off = Outlying("r9", "robust", 5.0, 3.5, both, both, decided=False)
    got = only(item(flags=("OUTLIER",), outlying=off))
    assert got is not None
    assert got.steps == (Settling("outlier", "decide", run="r9"),)
    assert got.outlying == off
    assert only(item(outlying=replace(off, decided=True))) is None


def test_claim_that_the_interval_cannot_tell() -> None:
    """0.95 with 0.87 to 1.03 wants 5.26 %, the way to 0.9: six runs, four more."""
    got = only(item(), (claim(0.95, 0.87, 1.03),))
    assert got is not None
    (step,) = got.steps
    # exp(t_20 0.06/sqrt m) - 1 is 5.24 % for six runs and 5.76 % for five.
    assert (step.reason, step.remedy, step.more) == ("claim", "runs", 4)
    assert step.claim == "180 m³/h"


def test_claim_at_a_limit_is_not_told_by_runs() -> None:
    """A ratio at 0.9 itself takes an interval that nobody reaches."""
    got = only(item(), (claim(0.902, 0.85, 0.96),))
    assert got is not None
    assert got.steps == (Settling("claim", "not-by-runs", claim="180 m³/h"),)


def test_claim_of_power_wants_another_reading() -> None:
    """Decay runs say nothing about power."""
    got = only(item(), (claim(0.95, 0.87, 1.03, "power"),))
    assert got is not None
    assert got.steps == (Settling("claim", "measure-again", claim="180 m³/h"),)


def test_result_of_a_replaced_method_wants_a_test_under_the_new_one() -> None:
    """No repeat is asked for under a method that is no longer used."""
    got = only(item(80.0, 120.0), replaced=("decay-a",))
    assert got is not None
    assert got.steps == (Settling("wide", "new-method"),)
    assert got.halved is None


def test_share_of_an_interval() -> None:
    """The larger side counts; without an interval or above zero there is none."""
    assert half_share(item(90.0, 115.0).row) == pytest.approx(0.15)
    assert half_share(item(80.0, 115.0).row) == pytest.approx(0.20)
    assert half_share(row(cadr_m3h=100.0)) is None
    assert half_share(item(-3.0, 1.0, value=-1.0).row) is None


def test_row_without_a_number_is_no_surprise() -> None:
    """What was not rated has nothing to narrow."""
    assert surprises((row(),), (), (), {}) == ()
