"""What must not matter to a result does not: clocks, gains, orders, units, files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitegen.load import read_series
from sitegen.measure.cadr import Room, cadr_of_run, combined_cadr
from sitegen.measure.decay import FractionFit, fit_run
from sitegen.measure.estimate import DecayEstimate
from sitegen.measure.fit import fit_slope
from sitegen.measure.flags import raised_codes
from sitegen.measure.repeatability import Repeatability
from sitegen.measure.run_data import Event, RunData, Sensor
from sitegen.measure.units import m3h_from_cfm
from tests.measure.simulated import simulated

Floats = npt.NDArray[np.float64]

FRACTIONS = ("pm2_5", "pm10")
RUNS = tuple(simulated(seed, fractions=FRACTIONS) for seed in (1, 2, 5))
QUIET = simulated(4, kind="natural", decay_per_h=0.35, step_s=60.0)
NAMES = tuple(RUNS[0].readings)

runs = st.sampled_from(RUNS)
few = settings(derandomize=True, deadline=None, max_examples=12)
many = settings(derandomize=True, deadline=None, max_examples=100)
decays = st.builds(
    lambda k, below, beyond, sd: DecayEstimate(k, sd, k - below, k + beyond),
    st.floats(2.0, 9.0),
    st.floats(0.01, 0.5),
    st.floats(0.01, 0.5),
    st.floats(0.01, 0.2),
)
NATURAL = DecayEstimate(0.31, 0.02, 0.27, 0.36)


def figures(part: FractionFit) -> dict[str, float]:
    """Return every figure of a fraction that is published, without gains."""
    fits = {"": part.combined, **part.instruments}
    out = {"first": float(part.window.first), "last": float(part.window.last)}
    for name in sorted(fits):
        one = fits[name]
        out |= {
            f"{name} k": one.fit.decay_per_h,
            f"{name} sd": one.fit.sd_per_h,
            f"{name} low": one.decay_low,
            f"{name} high": one.decay_high,
            f"{name} plain": one.plain.decay_per_h,
        }
    if part.curvature is not None and part.step is not None:
        out |= {"bend": part.curvature.value, "z": part.step.z}
    if part.clearance is not None and part.clearance.minutes is not None:
        out["clear"] = part.clearance.minutes
    return out


def alike(got: RunData, want: RunData, rel: float = 1e-9) -> None:
    """Hold two runs' fractions to the same figures, flags and validity."""
    one, other = fit_run(got), fit_run(want)
    assert one.failures == other.failures == {}
    assert set(one.fractions) == set(other.fractions)
    for name, part in one.fractions.items():
        there = other.fractions[name]
        expected = figures(there)
        assert figures(part).keys() == expected.keys()
        for key, value in figures(part).items():
            # The bend and the step are small differences of large numbers.
            near = 1e-6 if key in ("bend", "z") else rel
            assert value == pytest.approx(expected[key], rel=near), key
        assert raised_codes(part.flags) == raised_codes(there.flags)
        assert part.validity == there.validity


# --- clocks --------------------------------------------------------------------


@few
@given(run=runs, later=st.floats(-600.0, 100_000.0))
def test_start_of_the_clock(run: RunData, later: float) -> None:
    """A run whose clock started earlier or later has the same figures."""
    events = tuple(replace(event, at_min=event.at_min + later) for event in run.events)
    # A stored time of 100,000 min has a last digit of 1e-11 min.
    moved = replace(run, elapsed_min=run.elapsed_min + later, events=events)
    alike(moved, run, rel=1e-8 if abs(later) > 1000 else 1e-9)


@many
@given(seed=st.integers(0, 99), scale=st.floats(1e-3, 1e4), later=st.floats(-50, 50))
def test_unit_of_time(seed: int, scale: float, later: float) -> None:
    """Time in another unit and from another zero scales the decay, and only that."""
    rng = np.random.default_rng(seed)
    t = np.cumsum(rng.uniform(0.005, 0.02, 40))
    y = 5.0 - 4.0 * t + rng.normal(0, 0.03, 40)
    base, other = fit_slope(t, y), fit_slope(scale * (t + later), y)
    for name in ("decay_per_h", "sd_per_h", "low_per_h", "high_per_h"):
        want = getattr(base, name)
        assert getattr(other, name) * scale == pytest.approx(want, rel=1e-9)
    assert other.nugget == pytest.approx(base.nugget, rel=1e-8)
    assert other.correlation_h / scale == pytest.approx(base.correlation_h, rel=1e-8)


# --- gains ---------------------------------------------------------------------


def with_gains(run: RunData, gains: Mapping[str, float]) -> RunData:
    """Return a run whose instruments show so many times what they showed.

    What is known of an instrument is in its unit, and goes with it.
    """
    readings, sensors = {}, {}
    for name, gain in gains.items():
        parts = run.readings[name]
        readings[name] = {key: gain * values for key, values in parts.items()}
        sensors[name] = {
            key: Sensor(
                gain * one.zero_offset,
                gain * one.zero_uncertainty,
                gain * (one.resolution or 0.0),
                gain * (one.noise or 0.0),
                gain * (one.ceiling or 0.0),
                gain * (one.saturation or 0.0),
                one.response_s,
            )
            for key, one in run.sensors[name].items()
        }
    return replace(run, readings=readings, sensors=sensors)


@few
@given(run=runs, gains=st.lists(st.floats(0.01, 100.0), min_size=3, max_size=3))
def test_gains_of_sensors(run: RunData, gains: list[float]) -> None:
    """Sensors that show another multiple of the level have the same figures."""
    alike(with_gains(run, dict(zip(NAMES, gains, strict=True))), run)


@few
@given(run=runs, gain=st.floats(0.5, 2.0), which=st.sampled_from(NAMES))
def test_gain_of_one_sensor_of_which_nothing_is_known(
    run: RunData, gain: float, which: str
) -> None:
    """One sensor's readings times a constant leave the decay as it was."""
    blank = replace(run, sensors={})
    readings = dict(run.readings)
    readings[which] = {key: gain * one for key, one in readings[which].items()}
    alike(replace(blank, readings=readings), blank)


# --- orders --------------------------------------------------------------------


@few
@given(
    run=runs,
    sensors=st.permutations(NAMES),
    fractions=st.permutations(FRACTIONS),
)
def test_order_of_sensors_and_fractions(
    run: RunData, sensors: Sequence[str], fractions: Sequence[str]
) -> None:
    """The order in which sensors and fractions stand makes no difference."""
    turned = {
        name: {key: run.readings[name][key] for key in fractions} for name in sensors
    }
    alike(replace(run, readings=turned), run)


@many
@given(
    runs=st.lists(decays, min_size=2, max_size=6),
    seed=st.integers(0, 9),
    adopted=st.sampled_from([None, Repeatability(0.03, 20.0)]),
)
def test_order_of_repeats(
    runs: list[DecayEstimate], seed: int, adopted: Repeatability | None
) -> None:
    """Repeats pooled in another order give the same CADR and interval."""
    turned = list(np.random.default_rng(seed).permutation(len(runs)))
    base = combined_cadr(runs, NATURAL, Room(30.0, 0.45), 0.02, adopted=adopted)
    other = combined_cadr(
        [runs[i] for i in turned], NATURAL, Room(30.0, 0.45), 0.02, adopted=adopted
    )
    got = (other.cadr_m3h, other.low_m3h, other.high_m3h)
    want = (base.cadr_m3h, base.low_m3h, base.high_m3h)
    assert got == pytest.approx(want, rel=1e-9)
    assert other.basis == base.basis


# --- units ---------------------------------------------------------------------


@many
@given(total=decays, doublings=st.integers(-3, 6), linearity=st.floats(0.0, 0.1))
def test_volume_scales_the_cadr(
    total: DecayEstimate, doublings: int, linearity: float
) -> None:
    """A room 2, 4, 8 times as large has exactly so many times the CADR and limits."""
    base = cadr_of_run(total, NATURAL, Room(30.0, 0.45), linearity)
    times = 2.0**doublings
    large = cadr_of_run(total, NATURAL, Room(30.0 * times, 0.45 * times), linearity)
    assert large.cadr_m3h == times * base.cadr_m3h
    assert large.low_m3h == times * base.low_m3h
    assert large.high_m3h == times * base.high_m3h
    assert large.volume_share == base.volume_share


@many
@given(total=decays, times=st.floats(0.1, 50.0))
def test_volume_in_another_unit(total: DecayEstimate, times: float) -> None:
    """A volume in any other unit gives the same flow in the unit that goes with it."""
    base = cadr_of_run(total, NATURAL, Room(30.0, 0.45), 0.02)
    other = cadr_of_run(total, NATURAL, Room(30.0 * times, 0.45 * times), 0.02)
    for name in ("cadr_m3h", "low_m3h", "high_m3h", "u_m3h"):
        want = getattr(base, name)
        assert getattr(other, name) / times == pytest.approx(
            want, rel=1e-12, abs=1e-12 * base.cadr_m3h
        )


def test_cubic_feet_a_minute() -> None:
    """A room of 1008 ft3 whose decays are per minute gives the flow in cfm."""
    room = Room(m3h_from_cfm(1008.0) / 60.0)
    total = DecayEstimate(6.3, 0.1, 6.1, 6.5)
    got = cadr_of_run(total, NATURAL, room).cadr_m3h
    assert got == pytest.approx(m3h_from_cfm(1008.0 * (6.3 - 0.31) / 60.0), rel=1e-12)


# --- files ---------------------------------------------------------------------


def as_file(run: RunData, columns: Sequence[tuple[str, str]], form: str) -> list[str]:
    """Return the lines of the series file of a run.

    Args:
        run: the run.
        columns: instrument and fraction of each column, in order.
        form: name of the time column.
    """
    start = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)

    def clock(at_min: float) -> str:
        if form == "time":
            return (start + timedelta(minutes=at_min)).isoformat()
        return repr(at_min * (60.0 if form == "elapsed_s" else 1.0))

    lines = [",".join([form, *(f"{name}.{part}" for name, part in columns)])]
    for i, at in enumerate(run.elapsed_min):
        values = [run.readings[name][part][i] for name, part in columns]
        cells = ["" if np.isnan(one) else repr(float(one)) for one in values]
        lines.append(",".join([clock(float(at)), *cells]))
    return lines


def from_file(run: RunData, lines: Sequence[str]) -> RunData:
    """Return the run with the readings of a series file."""
    loaded = read_series("\n".join(lines).encode(), "series/run.csv", None)
    assert loaded.faults == ()
    series = loaded.series
    assert series is not None
    return replace(run, elapsed_min=series.elapsed_min, readings=series.readings)


COLUMNS = tuple((name, part) for name in NAMES for part in FRACTIONS)


@few
@given(
    run=runs,
    columns=st.permutations(COLUMNS),
    form=st.sampled_from(["elapsed_min", "elapsed_s", "time"]),
    remarks=st.lists(st.integers(0, 60), max_size=4),
)
def test_columns_comments_and_form_of_time(
    run: RunData, columns: Sequence[tuple[str, str]], form: str, remarks: list[int]
) -> None:
    """Columns in any order, comments and another time column move no figure."""
    lines = as_file(run, columns, form)
    for at in remarks:
        lines.insert(at, "# the kettle was on, 2,3")
    alike(from_file(run, lines), run)


@few
@given(run=runs, columns=st.permutations(COLUMNS), cut=st.integers(1, 5))
def test_one_file_or_one_for_each_instrument(
    run: RunData, columns: Sequence[tuple[str, str]], cut: int
) -> None:
    """Readings split over two files by column, on one clock, are the same run."""
    parts = [
        from_file(run, as_file(run, some, "elapsed_s")).readings
        for some in (columns[:cut], columns[cut:])
    ]
    joined: dict[str, dict[str, Floats]] = {}
    for part in parts:
        for name, values in part.items():
            joined.setdefault(name, {}).update(values)
    alike(replace(run, readings=joined), run)


@few
@given(run=runs, before=st.integers(5, 60), pause=st.floats(1.0, 90.0))
def test_a_file_split_at_the_start_of_a_run(
    run: RunData, before: int, pause: float
) -> None:
    """What a logger wrote before the device was on, in the file or not, is no matter.

    The earlier rows are those of a natural run that the same file began with.
    """
    early = QUIET.elapsed_min[:before]
    at = float(early[-1]) + pause
    t = np.concatenate([early, run.elapsed_min + at])
    readings = {
        name: {
            key: np.concatenate([QUIET.readings[name]["pm2_5"][:before], values])
            for key, values in parts.items()
        }
        for name, parts in run.readings.items()
    }
    whole = replace(
        run, elapsed_min=t, readings=readings, events=(Event(at, "device_on"),)
    )
    one, other = fit_run(whole), fit_run(run)
    for name, part in one.fractions.items():
        there = other.fractions[name]
        got, want = figures(part), figures(there)
        assert got.pop("first") - before == want.pop("first")
        assert got.pop("last") - before == want.pop("last")
        assert got == pytest.approx(want, rel=1e-6)
        assert part.combined.fit.decay_per_h == pytest.approx(
            there.combined.fit.decay_per_h, rel=1e-9
        )
        assert raised_codes(part.flags) == raised_codes(there.flags)


# --- missing readings ----------------------------------------------------------


@few
@given(
    run=runs,
    first=st.integers(15, 30),
    length=st.integers(1, 12),
    which=st.sampled_from([*NAMES, ""]),
)
def test_block_of_missing_readings(
    run: RunData, first: int, length: int, which: str
) -> None:
    """A sensor, or all, silent for a while leaves a finite decay close to the full."""
    readings = {}
    for name, parts in run.readings.items():
        silent = which in (name, "")
        readings[name] = {
            key: np.where(
                silent & (np.abs(np.arange(one.size) - first) < length), np.nan, one
            )
            for key, one in parts.items()
        }
    one, other = fit_run(replace(run, readings=readings)), fit_run(run)
    for name, part in one.fractions.items():
        fit, whole = part.combined.fit, other.fractions[name].combined.fit
        ends = (fit.low_per_h, fit.decay_per_h, fit.high_per_h, fit.sd_per_h)
        assert np.isfinite(ends).all()
        assert abs(fit.decay_per_h - whole.decay_per_h) < 3.0 * fit.sd_per_h


@many
@given(
    levels=st.lists(st.floats(-1.5, 1.5), min_size=3, max_size=3),
    first=st.integers(0, 40),
    length=st.integers(1, 20),
    seed=st.integers(0, 99),
)
def test_dropout_makes_no_step(
    levels: list[float], first: int, length: int, seed: int
) -> None:
    """However far its gain is off, a sensor that falls silent makes no step.

    Without noise the decay is exact; with 1 % of it no step is flagged.
    """
    t_min: Floats = np.arange(0.0, 46.0) / 2.0
    noise = 0.01 * np.random.default_rng(seed).normal(size=(3, 46))
    for share in (0.0, 1.0):
        rows = {
            f"s{i}": {
                "pm2_5": np.exp(6.0 + level - 6.0 * t_min / 60.0 + share * noise[i])
            }
            for i, level in enumerate(levels)
        }
        rows["s0"]["pm2_5"][first : first + length] = np.nan
        data = RunData("decay", t_min, rows, fixed_window_min=(0.0, 23.0))
        part = fit_run(data).fractions["pm2_5"]
        near = 0.3 if share else 6e-9
        assert part.combined.fit.decay_per_h == pytest.approx(6.0, abs=near)
        assert "STEP" not in raised_codes(part.flags)
