"""The few numbers that head a run's page."""

from __future__ import annotations

import pytest

from sitegen.pages.run_numbers import power_numbers
from sitegen.pages.words import ENGLISH
from tests.findings.test_readings import power


@pytest.mark.parametrize(
    ("readings", "resolution", "shown"),
    [
        ((0.3, 0.5), 0.1, "0.400"),
        ((0.0, 0.0), 0.1, "below 0.1"),
        ((0.1, 0.0), 0.1, "below 0.1"),
        ((0.1, 0.1), 0.1, "0.100"),
        ((0.0,), None, "0"),
    ],
)
def test_power_off_below_what_the_meter_shows(
    readings: tuple[float, ...], resolution: float | None, shown: str
) -> None:
    """Power when off under the meter's least step is said to be below it."""
    run = power(45.0, standby=readings)
    _, off = power_numbers(ENGLISH, run, resolution)
    assert (off.label, off.value, off.unit) == ("Power, switched off", shown, "W")
