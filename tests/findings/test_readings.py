"""Sound and power: readings pooled, background taken off, rows of readings."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.findings.readings import (
    PowerDraw,
    power_draw,
    reading_rows,
    sound_level,
    standby_power,
)
from sitegen.findings.views import Standby
from sitegen.model import PowerRun, SoundRun

WHERE = {
    "method": "method-a",
    "started": "2024-03-01T20:15:00+01:00",
    "device": "alder",
    "specimen": "a",
    "filter": "fine",
    "speed": "high",
}


def sound(
    *readings: float, background: tuple[float, ...] = (), name: str = "s1"
) -> SoundRun:
    fields: dict[str, Any] = {
        "id": name,
        "kind": "sound",
        "readings_dba": readings,
        "background_dba": background,
        **WHERE,
    }
    return SoundRun.model_validate(fields)


def power(
    *readings: float, standby: tuple[float, ...] = (), name: str = "p1", **more: Any
) -> PowerRun:
    fields: dict[str, Any] = {
        "id": name,
        "kind": "power",
        "readings_w": readings,
        "standby_w": standby,
        **WHERE,
        **more,
    }
    return PowerRun.model_validate(fields)


def test_energy_mean_over_all_runs() -> None:
    """Readings of several runs are one sample, with the published energy mean."""
    found = sound_level([sound(44.2, name="s1"), sound(45.1, 44.7, name="s2")], None)
    assert found is not None
    assert found.level_dba == pytest.approx(44.6821997, rel=1e-8)
    assert found.runs == ("s1", "s2")
    assert (found.method, found.limit, found.grade) == ("method-a", "", "")
    assert found.background_dba is None


@pytest.mark.parametrize(
    ("background", "level", "grade", "limit"),
    [
        (29.9, 45.0, "no_correction", ""),
        # K1 at 15 dB, by its formula.
        (30.0, 45.0 - 0.139554339, "corrected", ""),
        (35.0, 45.0 - 0.457574906, "corrected", ""),
        (38.0, 44.0334710, "corrected", ""),
        (39.0, 45.0 - 1.25627577, "corrected", ""),
        (39.1, 45.0, "indicative", "at_most"),
        (42.0, 45.0, "indicative", "at_most"),
        (42.1, 45.0, "background_limited", "at_most"),
        (45.0, 45.0, "background_limited", "at_most"),
        (46.0, 45.0, "background_limited", "at_most"),
    ],
)
def test_bands_of_background(
    background: float, level: float, grade: str, limit: str
) -> None:
    """The background is taken off from 6 to 15 dB below, and bounds what is nearer."""
    found = sound_level([sound(45.0, background=(background,))], None)
    assert found is not None
    assert found.level_dba == pytest.approx(level, rel=1e-8)
    assert (found.grade, found.limit) == (grade, limit)
    assert found.background_dba == pytest.approx(background)


def test_uncertainty_of_a_corrected_level() -> None:
    """The interval of 45 over 38 dB(A) follows from the published 0.637 dB."""
    found = sound_level([sound(45.0, background=(38.0,))], 0.5)
    assert found is not None
    half = 1.959963985 * 0.636942230
    assert found.low_dba == pytest.approx(44.0334710 - half, rel=1e-8)
    assert found.high_dba == pytest.approx(44.0334710 + half, rel=1e-8)


@pytest.mark.parametrize(
    ("meter", "u"), [(None, 0.5), (0.5, 0.5), (1.4, 1.4), (0.0, 0.0)]
)
def test_uncertainty_of_the_meter(meter: float | None, u: float) -> None:
    """A single reading is as uncertain as its meter, half a decibel when not known."""
    found = sound_level([sound(45.0)], meter)
    assert found is not None
    assert found.high_dba - 45.0 == pytest.approx(1.959963985 * u)
    assert 45.0 - found.low_dba == pytest.approx(1.959963985 * u)


def test_scatter_of_readings_widens_the_interval() -> None:
    """The readings' scatter enters by Student's t beside the meter's uncertainty."""
    found = sound_level([sound(44.0, 46.0)], 0.5)
    assert found is not None
    # Standard error 1 dB with one degree of freedom: 12.7062 dB.
    half = (12.7062047**2 + (1.959963985 * 0.5) ** 2) ** 0.5
    assert found.high_dba - found.level_dba == pytest.approx(half, rel=1e-6)


def test_backgrounds_of_all_runs_are_one() -> None:
    """Backgrounds of several runs have one energy mean: 35 and 40 give 38.18."""
    runs = [sound(50.0, background=(35.0,)), sound(50.0, background=(40.0,), name="s2")]
    found = sound_level(runs, None)
    assert found is not None
    # 10 log10((10^3.5 + 10^4)/2)
    assert found.background_dba == pytest.approx(38.18300477)


def test_nothing_heard() -> None:
    """Without runs there is no level and no power."""
    assert sound_level([], None) is None
    assert power_draw([]) is None


def test_power_of_all_runs() -> None:
    """Power is the mean of all readings with their standard deviation."""
    found = power_draw([power(44.0, 46.0), power(45.0, name="p2")])
    assert found is not None
    assert (found.power_w, found.sd_w) == pytest.approx((45.0, 1.0))
    assert (found.runs, found.method) == (("p1", "p2"), "method-a")


def test_single_power_reading() -> None:
    """One reading has no standard deviation, which is not nought."""
    found = power_draw([power(45.0)])
    assert found is not None
    assert (found.power_w, found.sd_w) == (45.0, None)


def test_standby() -> None:
    """Standby is the mean over all runs that hold one, and nothing when none does."""
    runs = [power(45.0), power(20.0, standby=(1.0, 1.4), name="p2")]
    found = standby_power(runs)
    assert found is not None
    assert found.power_w == pytest.approx(1.2)
    assert found.below_w is None
    assert standby_power([power(45.0)]) is None
    assert standby_power([power(45.0, standby=(0.0,))]) == Standby(0.0)


@pytest.mark.parametrize(
    ("readings", "resolution", "below"),
    [
        ((0.0, 0.0), 0.1, 0.1),
        ((0.1, 0.0), 0.1, 0.1),
        ((0.1, 0.1), 0.1, None),
        ((0.3, 0.2), 0.5, 0.5),
        ((0.0, 0.0), None, None),
    ],
)
def test_standby_below_what_the_meter_shows(
    readings: tuple[float, ...], resolution: float | None, below: float | None
) -> None:
    """A mean under the meter's smallest step is known only to be below it."""
    found = standby_power([power(45.0, standby=readings)], resolution)
    assert found is not None
    assert found.below_w == below


def test_limits_of_a_power() -> None:
    """A power's limits lie 1.96 deviations off its mean, and never below 0 W."""
    draw = PowerDraw("power-a", ("p1",), 45.0, 1.0)
    assert draw.limits_w == pytest.approx((45.0 - 1.959964, 45.0 + 1.959964), rel=1e-7)
    assert PowerDraw("power-a", ("p1",), 1.0, 2.0).limits_w[0] == 0.0
    assert PowerDraw("power-a", ("p1",), 45.0, None).limits_w == (45.0, 45.0)


def test_rows_of_a_sound_run() -> None:
    """Each reading is a row, device first, counted from one, in dB(A)."""
    rows = reading_rows(sound(44.2, 45.1, background=(30.5,)))
    assert [(r.what, r.position, r.value, r.unit) for r in rows] == [
        ("device", 1, 44.2, "dB(A)"),
        ("device", 2, 45.1, "dB(A)"),
        ("background", 1, 30.5, "dB(A)"),
    ]
    first = rows[0]
    assert (first.run, first.kind, first.date) == ("s1", "sound", "2024-03-01")
    assert (first.device, first.filter, first.speed) == ("alder", "fine", "high")


def test_rows_of_a_rejected_power_run() -> None:
    """The readings of a rejected run are published with its status."""
    decision = {
        "by": "tester",
        "on": "2024-03-02",
        "cause": "wrong_setting",
        "text": "Turned to the wrong speed.",
    }
    run = power(45.0, standby=(1.2,), status="rejected", decision=decision)
    rows = reading_rows(run)
    assert [(r.what, r.value, r.unit, r.status) for r in rows] == [
        ("device", 45.0, "W", "rejected"),
        ("standby", 1.2, "W", "rejected"),
    ]
