"""What ``python -m tests.bench.fits`` times are the published fits."""

from __future__ import annotations

import pytest

from sitegen.measure.decay import fit_run
from tests.bench.fits import FRACTIONS, READINGS, headline_fits, per_series_ms, series


def test_timed_headline_fits_are_the_published_ones() -> None:
    """Decays and limits of every fraction and sensor are those of a whole run's fit."""
    for run in series(3):
        whole, fits = fit_run(run), headline_fits(run)
        assert len(fits) == len(FRACTIONS) * 3
        for (fraction, sensor), got in fits.items():
            part = whole.fractions[fraction]
            want = (part.instruments[sensor] if sensor else part.combined).fit
            assert got.decay_per_h == pytest.approx(want.decay_per_h, rel=1e-9)
            assert got.low_per_h == pytest.approx(want.low_per_h, rel=1e-9)
            assert got.high_per_h == pytest.approx(want.high_per_h, rel=1e-9)


def test_series_are_long() -> None:
    """Nearly all of the 120 readings of a timed series are in its window."""
    for run in series(3):
        window = fit_run(run).window
        assert window.last - window.first + 1 >= 0.85 * READINGS


def test_time_is_that_of_one_series() -> None:
    """Work that is counted is done once for each series, and once to warm up."""
    done: list[object] = []
    assert per_series_ms(done.append, series(2)) >= 0.0
    assert len(done) == 3
