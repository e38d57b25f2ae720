"""Electricity of a year and clean air for each watt."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from sitegen.errors import MeasureError
from sitegen.measure.energy import (
    cadr_per_watt,
    label_energy_kwh,
    label_factor_cfm_per_w,
    mean_power,
    root_product_cadr,
    year_energy_kwh,
)
from sitegen.measure.units import cfm_from_m3h


def test_year_of_electricity() -> None:
    """45 W for 12 hours and 1.2 W for the other 12 make 202.356 kWh in 365 days."""
    assert year_energy_kwh(45.0, 12.0, 1.2) == pytest.approx(202.356, rel=1e-12)


def test_year_has_365_days() -> None:
    """The year is not one of 365.25 days, which would give 202.4946 kWh."""
    got = year_energy_kwh(45.0, 12.0, 1.2)
    assert got * 365.25 / 365.0 == pytest.approx(202.4946, abs=5e-5)


def test_cost_of_a_year() -> None:
    """At 0.30 for each kWh the year costs 60.7068."""
    assert 0.30 * year_energy_kwh(45.0, 12.0, 1.2) == pytest.approx(60.7068, rel=1e-12)


@pytest.mark.parametrize(("hours", "kwh"), [(0.0, 10.512), (24.0, 394.2)])
def test_never_and_always_on(hours: float, kwh: float) -> None:
    """A device that never runs uses standby only, one that always runs none of it."""
    assert year_energy_kwh(45.0, hours, 1.2) == pytest.approx(kwh, rel=1e-12)


def test_label_energy() -> None:
    """Sixteen hours a day of 45 W and eight of 1.2 W make 266.304 kWh."""
    assert label_energy_kwh(45.0, 1.2) == pytest.approx(266.304, rel=1e-12)


def test_label_factor() -> None:
    """150 cfm on 266.304 kWh a year are 3.28947368 cfm for each watt."""
    got = label_factor_cfm_per_w(150.0, 266.304)
    assert got == pytest.approx(3.28947368, abs=5e-9)


def test_root_of_smoke_and_dust() -> None:
    """The root of 150 times 160 is 154.919334."""
    assert root_product_cadr(150.0, 160.0) == pytest.approx(154.919334, abs=5e-7)


def test_clean_air_for_each_watt() -> None:
    """180 m3/h on 45 W are 4 m3/h, or 2.35431111 cfm, for each watt."""
    assert cadr_per_watt(180.0, 45.0) == 4.0
    in_cfm = cadr_per_watt(cfm_from_m3h(180.0), 45.0)
    assert in_cfm == pytest.approx(2.35431111, abs=5e-9)


@pytest.mark.parametrize("watts", [None, 0.0])
def test_no_power_no_ratio(watts: float | None) -> None:
    """Where power is missing or 0 there is no ratio, not an infinite one."""
    assert cadr_per_watt(180.0, watts) is None


def test_mean_power() -> None:
    """The mean of 44, 45 and 49 W is 46 W with a deviation of the root of 7."""
    power = mean_power([44.0, 45.0, 49.0])
    assert power.watts == pytest.approx(46.0)
    assert power.sd == pytest.approx(math.sqrt(7.0))
    assert power.readings == 3


def test_single_power_reading_has_no_scatter() -> None:
    """One reading is its own mean and says nothing of its scatter."""
    power = mean_power([45.0])
    assert (power.watts, power.sd, power.readings) == (45.0, None, 1)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: mean_power([]), "too_few_values"),
        (lambda: mean_power([45.0, math.nan]), "not_finite"),
        (lambda: mean_power([45.0, -0.1]), "not_positive"),
        (lambda: mean_power([[45.0]]), "not_one_dimensional"),
        (lambda: year_energy_kwh(-1.0, 12.0), "not_positive"),
        (lambda: year_energy_kwh(45.0, 12.0, -0.1), "not_positive"),
        (lambda: year_energy_kwh(45.0, 24.1), "hours_out_of_range"),
        (lambda: year_energy_kwh(45.0, -0.1), "hours_out_of_range"),
        (lambda: year_energy_kwh(45.0, math.nan), "hours_out_of_range"),
        (lambda: label_energy_kwh(-1.0, 0.0), "not_positive"),
        (lambda: label_energy_kwh(1.0, math.inf), "not_positive"),
        (lambda: label_factor_cfm_per_w(150.0, 0.0), "not_positive"),
        (lambda: cadr_per_watt(180.0, -45.0), "not_positive"),
        (lambda: root_product_cadr(0.0, 160.0), "not_positive"),
        (lambda: root_product_cadr(150.0, -1.0), "not_positive"),
    ],
)
def test_impossible_input_is_refused(call: Callable[[], object], code: str) -> None:
    """Input without a meaning raises a typed error."""
    with pytest.raises(MeasureError) as caught:
        call()
    assert caught.value.code == code
