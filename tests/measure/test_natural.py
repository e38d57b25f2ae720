"""The natural decay that is subtracted."""

from __future__ import annotations

import pytest

from sitegen.errors import MeasureError
from sitegen.measure.estimate import DecayEstimate
from sitegen.measure.natural import pool_natural

X = (182.4, 176.9, 188.3)
U = (3.1, 2.8, 4.4)


def decay(value: float, sd: float, zero_u: float = 0.0) -> DecayEstimate:
    """Return a decay with a normal interval."""
    return DecayEstimate(value, sd, value - 1.96 * sd, value + 1.96 * sd, zero_u)


def test_one_run_is_itself() -> None:
    """A single natural run keeps its own interval and has no scatter."""
    run = decay(0.337051711, 0.0175, 0.004)
    pooled = pool_natural([run])
    assert pooled.estimate == run
    assert (pooled.runs, pooled.tau2) == (1, 0.0)


def test_several_runs_are_pooled_as_repeats() -> None:
    """Decays in the proportions of the repeats' vector have its mean and width."""
    pooled = pool_natural([decay(x / 500, u / 500) for x, u in zip(X, U, strict=True)])
    estimate = pooled.estimate
    assert estimate.decay_per_h == pytest.approx(181.859165 / 500, rel=3e-9)
    assert estimate.sd_per_h == pytest.approx(3.19236190 / 500, rel=3e-9)
    half = estimate.high_per_h - estimate.decay_per_h
    assert half == pytest.approx(13.7356247 / 500, rel=5e-9)
    assert pooled.tau2 == pytest.approx(17.9670592 / 500**2, rel=3e-9)
    assert pooled.runs == 3


def test_zero_offset_is_not_averaged_away() -> None:
    """The zero offset's term, common to the runs, stays the size of its mean."""
    pooled = pool_natural([decay(0.31, 0.02, 0.010), decay(0.35, 0.02, 0.014)])
    assert pooled.estimate.zero_u_per_h == pytest.approx(0.012)


def test_no_run_is_refused() -> None:
    """Without a natural run there is nothing to subtract."""
    with pytest.raises(MeasureError) as caught:
        pool_natural([])
    assert caught.value.code == "no_natural"
