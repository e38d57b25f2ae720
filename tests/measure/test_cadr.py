"""Clean air delivery rate: one run's, a configuration's, and which interval it has."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from sitegen.errors import MeasureError
from sitegen.measure.cadr import (
    Cadr,
    Room,
    cadr_of_run,
    combined_cadr,
    default_linearity,
)
from sitegen.measure.estimate import DecayEstimate
from sitegen.measure.repeatability import Repeatability
from sitegen.measure.units import cfm_from_m3h

Z = 1.959963984540054
TOTAL = DecayEstimate(6.29216719, 0.124389537, 6.02659297, 6.53271974)
NATURAL = DecayEstimate(0.337051711, 0.0175007470, 0.300419632, 0.373210829)
BARE = Room(30.0)
ROOM = Room(30.0, 0.45)
S_R = Repeatability(0.03, 20.0)


def sharp(value: float, sd: float = 0.001) -> DecayEstimate:
    """Return a decay known to an sd that is small against the scatter."""
    return DecayEstimate(value, sd, value - 2 * sd, value + 2 * sd)


STILL = DecayEstimate(0.35, 0.0, 0.35, 0.35)


def test_plain_vector() -> None:
    """The plain decays in 30 m3 give the stated CADR and uncertainties."""
    plain = (
        DecayEstimate(6.33574633, 0.0416765164, 6.25175283, 6.41973983),
        DecayEstimate(0.337354504, 0.0111283595, 0.314594453, 0.360114555),
    )
    got = cadr_of_run(*plain, ROOM)
    assert got.cadr_m3h == pytest.approx(179.951755, rel=3e-9)
    assert got.u_stat_m3h == pytest.approx(1.29410014, rel=3e-9)
    assert got.u_m3h == pytest.approx(2.99345750, rel=3e-9)


def test_headline_vector() -> None:
    """The headline decays give the stated CADR in both units, and uncertainties."""
    got = cadr_of_run(TOTAL, NATURAL, ROOM)
    assert got.cadr_m3h == pytest.approx(178.653464, rel=3e-9)
    assert cfm_from_m3h(got.cadr_m3h) == pytest.approx(105.151459, rel=5e-9)
    assert got.u_stat_m3h == pytest.approx(3.76843864, rel=3e-9)
    assert got.u_m3h == pytest.approx(4.62411812, rel=3e-9)
    with_exponent = cadr_of_run(TOTAL, NATURAL, ROOM, 0.02)
    assert with_exponent.u_m3h == pytest.approx(5.84373960, rel=3e-9)
    assert with_exponent.u_stat_m3h == pytest.approx(3.76843864, rel=3e-9)


def test_volume_share() -> None:
    """The volume's share of the variance is its term squared over the whole."""
    got = cadr_of_run(TOTAL, NATURAL, ROOM)
    want = 1.0 - (3.76843864 / 4.62411812) ** 2
    assert got.volume_share == pytest.approx(want, rel=1e-8)
    assert cadr_of_run(TOTAL, NATURAL, BARE).volume_share == 0.0
    assert cadr_of_run(STILL, STILL, BARE).volume_share == 0.0


def test_interval_is_recovered_from_the_decays_limits() -> None:
    """Each side joins the limits that lower it, the other those that raise it."""
    got = cadr_of_run(TOTAL, NATURAL, BARE)
    below = 30.0 * math.hypot(6.29216719 - 6.02659297, 0.373210829 - 0.337051711)
    beyond = 30.0 * math.hypot(6.53271974 - 6.29216719, 0.337051711 - 0.300419632)
    assert got.low_m3h == pytest.approx(178.653464 - below, rel=1e-8)
    assert got.high_m3h == pytest.approx(178.653464 + beyond, rel=1e-8)
    assert (got.basis, got.runs) == ("single", 1)


def test_common_terms_join_in_quadrature() -> None:
    """Volume, exponent and zero offsets widen the interval, not the one to compare."""
    natural = DecayEstimate(0.337051711, 0.0175007470, 0.300419632, 0.373210829, 0.02)
    total = DecayEstimate(6.29216719, 0.124389537, 6.02659297, 6.53271974, 0.05)
    got, bare = (
        cadr_of_run(total, natural, ROOM, 0.02),
        cadr_of_run(total, NATURAL, BARE),
    )
    common = math.sqrt(
        (5.955115479 * 0.45) ** 2
        + (178.653464 * 0.02) ** 2
        + 30.0**2 * (0.05**2 + 0.02**2)
    )
    below = 178.653464 - got.stat_low_m3h
    assert 178.653464 - got.low_m3h == pytest.approx(
        math.hypot(below, Z * common), rel=1e-7
    )
    assert got.stat_low_m3h == pytest.approx(bare.stat_low_m3h, rel=1e-12)
    assert got.stat_high_m3h == pytest.approx(bare.stat_high_m3h, rel=1e-12)


def test_nothing_cleaned_can_be_negative() -> None:
    """A decay slower than natural gives a negative CADR with an interval about it."""
    got = cadr_of_run(sharp(0.30, 0.05), NATURAL, ROOM, 0.02)
    assert got.cadr_m3h == pytest.approx(30.0 * (0.30 - 0.337051711))
    assert got.low_m3h < got.cadr_m3h < 0.0 < got.high_m3h


@pytest.mark.parametrize(("sensors", "share"), [(1, 0.03), (4, 0.015), (9, 0.01)])
def test_default_linearity(sensors: int, share: float) -> None:
    """Sensors without a reference leave 3 % over the root of their number."""
    assert default_linearity(sensors) == pytest.approx(share)


def test_one_run_without_a_repeatability_is_single() -> None:
    """One run's published interval is its own."""
    got = combined_cadr([TOTAL], NATURAL, ROOM, 0.02)
    assert got == cadr_of_run(TOTAL, NATURAL, ROOM, 0.02)


def test_one_run_with_a_repeatability() -> None:
    """With an adopted repeatability one sharp run has the factor exp(t s_r)."""
    got = combined_cadr([sharp(6.35)], STILL, BARE, adopted=S_R)
    factor = math.exp(float(stats.t.ppf(0.975, 20)) * 0.03)
    assert (got.basis, got.runs) == ("repeatability", 1)
    assert got.cadr_m3h == pytest.approx(180.0)
    assert got.low_m3h == pytest.approx(180.0 / factor, rel=1e-9)
    assert got.high_m3h == pytest.approx(180.0 * factor, rel=1e-9)


def test_one_run_is_never_narrower_than_its_own() -> None:
    """A run that is vaguer than the repeatability keeps its own limits."""
    tight = Repeatability(0.001, 20.0)
    got = combined_cadr([TOTAL], NATURAL, ROOM, 0.02, adopted=tight)
    own = cadr_of_run(TOTAL, NATURAL, ROOM, 0.02)
    assert got.basis == "repeatability"
    assert got.low_m3h == pytest.approx(own.low_m3h, rel=1e-12)
    assert got.high_m3h == pytest.approx(own.high_m3h, rel=1e-12)
    assert got.decay_low_per_h == pytest.approx(own.decay_low_per_h, rel=1e-12)


RUNS = [sharp(0.35 + x / 30.0, u / 30.0) for x, u in ((182.4, 3.1), (176.9, 2.8))]
RUNS.append(sharp(0.35 + 188.3 / 30.0, 4.4 / 30.0))


def test_repeats_without_a_repeatability_are_random_effects() -> None:
    """Repeats of the vector, in 30 m3, have its pooled mean and interval."""
    got = combined_cadr(RUNS, STILL, BARE)
    assert (got.basis, got.runs) == ("random-effects", 3)
    assert got.cadr_m3h == pytest.approx(181.859165, rel=3e-9)
    assert got.high_m3h - got.cadr_m3h == pytest.approx(13.7356247, rel=5e-8)
    assert got.cadr_m3h - got.low_m3h == pytest.approx(13.7356247, rel=5e-8)
    assert got.u_stat_m3h == pytest.approx(3.19236190, rel=5e-8)


def test_repeats_with_a_repeatability() -> None:
    """With one the vector's device has its geometric mean and tabled interval."""
    got = combined_cadr(RUNS, STILL, BARE, adopted=Repeatability(0.0258740949, 8.0))
    assert (got.basis, got.runs) == ("repeatability", 3)
    assert got.cadr_m3h == pytest.approx(182.474001, rel=5e-9)
    assert got.low_m3h == pytest.approx(176.295164, rel=5e-9)
    assert got.high_m3h == pytest.approx(188.869397, rel=5e-9)


def test_natural_decay_is_not_averaged_away() -> None:
    """However many runs there are, the natural decay's own error stays whole."""
    half = 0.037
    natural = DecayEstimate(0.35, half / Z, 0.35 - half, 0.35 + half)
    many = [sharp(6.35)] * 400
    got = combined_cadr(many, natural, BARE, adopted=Repeatability(1e-6, 20.0))
    assert got.high_m3h - got.cadr_m3h == pytest.approx(30.0 * half, rel=1e-5)


def test_variable_device_keeps_its_own_scatter() -> None:
    """A configuration marked variable is pooled by its own runs."""
    got = combined_cadr(RUNS, STILL, BARE, adopted=S_R, variable=True)
    assert got == combined_cadr(RUNS, STILL, BARE)
    one = combined_cadr(RUNS[:1], STILL, BARE, adopted=S_R, variable=True)
    assert one.basis == "single"


@pytest.mark.parametrize("weakest", [0.34, 0.35])
def test_a_run_at_or_below_nothing_has_no_logarithm(weakest: float) -> None:
    """A run no faster than natural decay sends the repeats to random effects."""
    got = combined_cadr([sharp(0.45), sharp(weakest)], STILL, BARE, adopted=S_R)
    assert got.basis == "random-effects"
    one = combined_cadr([sharp(weakest)], STILL, BARE, adopted=S_R)
    assert one.basis == "single"


def test_an_interval_that_reaches_zero_is_not_a_factor() -> None:
    """Where the natural decay is too vague for a positive limit, no factor is used."""
    vague = DecayEstimate(0.35, 0.1, 0.15, 0.55)
    runs = [sharp(0.50), sharp(0.52)]
    got = combined_cadr(runs, vague, BARE, adopted=S_R)
    assert got.basis == "random-effects"
    assert got.low_m3h < 0.0


def test_zero_offset_counts_for_a_single_run_only() -> None:
    """Scatter between runs contains the zero offsets, a single run does not."""
    total = DecayEstimate(6.35, 0.001, 6.348, 6.352, 0.1)
    one = combined_cadr([total], STILL, BARE)
    assert one.u_m3h == pytest.approx(30.0 * math.hypot(0.001, 0.1))
    several = combined_cadr([total, sharp(6.40), sharp(6.30)], STILL, BARE)
    assert several.u_m3h == several.u_stat_m3h


def test_coverage_with_the_adopted_repeatability() -> None:
    """Of 600 configurations of three runs 92 to 97 % of intervals hold the truth."""
    rng = np.random.default_rng(8)
    held = []
    for _ in range(600):
        s_r = 0.03 * math.sqrt(rng.chisquare(20) / 20)
        each = 6.0 * np.exp(0.03 * rng.normal(size=3))
        runs = [sharp(0.35 + one) for one in each]
        got = combined_cadr(runs, STILL, BARE, adopted=Repeatability(s_r, 20.0))
        held.append(got.low_m3h <= 180.0 <= got.high_m3h)
    assert 0.92 <= np.mean(held) <= 0.97


def test_room_scales_everything() -> None:
    """In twice the volume with twice its uncertainty every flow is double."""
    small = combined_cadr(RUNS, NATURAL, ROOM, 0.02, adopted=S_R)
    large = combined_cadr(RUNS, NATURAL, Room(60.0, 0.9), 0.02, adopted=S_R)

    def flows(cadr: Cadr) -> list[float]:
        return [cadr.cadr_m3h, cadr.low_m3h, cadr.high_m3h, cadr.u_m3h]

    assert flows(large) == pytest.approx([2 * one for one in flows(small)])
    assert large.volume_share == pytest.approx(small.volume_share)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: Room(0.0), "not_positive"),
        (lambda: Room(30.0, -0.1), "not_positive"),
        (lambda: default_linearity(0), "too_few_values"),
        (lambda: combined_cadr([], NATURAL, ROOM), "too_few_values"),
        (lambda: DecayEstimate(6.0, 0.1, 6.1, 6.2), "limits_crossed"),
        (lambda: DecayEstimate(math.nan, 0.1, 6.1, 6.2), "limits_crossed"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """A room without volume, no run or crossed limits raise a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code
