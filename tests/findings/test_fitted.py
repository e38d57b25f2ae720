"""From records and a series to a run's fit, as data that can be stored."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from sitegen.findings.fitted import FitSetup, RunFound, fit_series, fit_setup
from sitegen.model import DecayMethod, DecayRun, Instrument
from sitegen.model.series import Series

D1 = [
    float(value)
    for value in np.fromstring(
        """303.3 281.9 265.2 254.8 238.5 228.9 221.4 209.8 199.7 195.0 190.4 171.3
        163.7 159.4 149.2 139.8 132.1 127.9 122.6 113.4 110.9 105.1 101.5 94.7 92.0
        84.6 80.2 78.6 72.7 67.8 64.6 59.6 57.6 56.3 51.0 47.9 44.4 42.5 40.0 38.6
        35.5 34.7 32.4 30.0 30.0 29.3""",
        sep=" ",
    )
]
"""The published series of a run with the device on, a reading every 30 s."""
TIMES = [at * 0.5 for at in range(46)]


def setup(**more: Any) -> FitSetup:
    """Return the published run: all readings fitted, no offset, no noise stated."""
    run: dict[str, Any] = {
        "id": "r1",
        "kind": "decay",
        "method": "decay-a",
        "started": "2024-03-01T20:00:00+01:00",
        "device": "alder",
        "specimen": "a",
        "filter": "fine",
        "speed": "high",
        "series": "r1",
        "window_min": {"start": 0, "end": 22.5, "reason": "All of it is decay."},
        **more,
    }
    method: dict[str, Any] = {
        "id": "decay-a",
        "kind": "decay",
        "name": "Decay",
        "version": "1",
        "since": "2024-01-01",
        "text": "As published.",
        "room": "room-a",
        "aerosol": "salt",
        "aerosol_kind": "salt",
        "instruments": ["bench-a"],
        "sampling_s": 30,
    }
    fraction = {"unit": "ug/m3", "resolution": 0.1, "range": 1000}
    instrument: dict[str, Any] = {
        "id": "bench-a",
        "name": "Bench A",
        "kind": "particle",
        "fractions": {"pm2_5": fraction},
        "calibrations": [
            {"date": "2024-02-01", "by": "b", "zero_offset": {"pm2_5": 0.0}},
            {"date": "2024-04-01", "by": "b", "zero_offset": {"pm2_5": 20.0}},
        ],
    }
    return fit_setup(
        DecayRun.model_validate(run),
        DecayMethod.model_validate(method),
        {"bench-a": Instrument.model_validate(instrument)},
    )


def fitted(values: list[float], made: FitSetup | None = None) -> RunFound:
    times = np.array(TIMES[: len(values)])
    series = Series("r1", times, {"bench-a": {"pm2_5": np.array(values)}})
    return fit_series(made or setup(), series)


def test_published_series() -> None:
    """The published series gives the published decay rate and interval."""
    slope = fitted(D1).slope("pm2_5")
    assert slope is not None
    assert slope.points == 46
    assert slope.decay_per_h == pytest.approx(6.29216719, rel=1e-5)
    assert slope.sd_per_h == pytest.approx(0.124389537, rel=1e-5)
    assert slope.low_per_h == pytest.approx(6.02659297, rel=1e-5)
    assert slope.high_per_h == pytest.approx(6.53271974, rel=1e-5)
    assert slope.plain_per_h == pytest.approx(6.33574633, rel=1e-8)
    assert slope.plain_se_per_h == pytest.approx(0.0416765164, rel=1e-8)
    assert slope.r_squared == pytest.approx(0.998099736, rel=1e-8)


def test_calibration_of_the_day_is_subtracted() -> None:
    """A run after the second calibration has that one's offset taken off."""
    later = setup(started="2024-04-02T20:00:00+02:00")
    raised = fitted([value + 20.0 for value in D1], later)
    slope = raised.slope("pm2_5", "bench-a")
    assert slope is not None
    assert slope.zero_offset == 20.0
    assert slope.plain_per_h == pytest.approx(6.33574633, rel=1e-8)


def test_curve_for_drawing() -> None:
    """The curve has every reading, is 1 at the start of its fit, and its residuals."""
    (curve,) = fitted(D1).curves
    assert curve.sensors[0].values == tuple(D1)
    assert curve.elapsed_min == tuple(TIMES)
    fit_at_start = curve.sensors[0].start
    assert fit_at_start is not None
    assert curve.combined == pytest.approx([value / fit_at_start for value in D1])
    assert curve.decay_per_h is not None
    expected = [
        np.log(value / fit_at_start) + curve.decay_per_h * t / 60.0
        for t, value in zip(TIMES, D1, strict=True)
    ]
    assert curve.residuals == pytest.approx(expected, abs=1e-9)
    assert (curve.start_min, curve.end_min, curve.nonpositive) == (0.0, 22.5, 0)


def test_zeros_and_gaps_of_the_curve() -> None:
    """A reading of nothing is counted and nought, a missing one stays missing."""
    values = [*D1[:-2], 0.0, float("nan")]
    (curve,) = fitted(values).curves
    assert curve.nonpositive == 1
    assert curve.combined[-2:] == (0.0, None)
    assert curve.sensors[0].values[-2:] == (0.0, None)


@pytest.mark.parametrize("values", [D1[:2], [50.0] * 46], ids=["two", "constant"])
def test_series_that_allows_no_fit(values: list[float]) -> None:
    """A series that allows no fit is told by a code, and its readings are kept."""
    seen = fitted(values)
    assert seen.error
    assert (seen.slopes, seen.checks) == ((), ())
    assert seen.curves[0].sensors[0].values == tuple(values)
    assert seen.curves[0].decay_per_h is None


def test_without_curves() -> None:
    """What results rest on is kept when what only drawing needs is left out."""
    whole = fitted(D1)
    lean = whole.without_curves()
    assert lean.curves == ()
    assert (lean.slopes, lean.checks, lean.error) == (
        whole.slopes,
        whole.checks,
        whole.error,
    )
