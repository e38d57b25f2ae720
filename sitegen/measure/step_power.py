"""How often the check for steps finds one, and how often it is wrong.

Source: simulated, ``python -m tests.bench.step``. Nine kinds of noise, from white alone
to a poorly mixed room and to readings close to the sensor's floor; 40 to 120 readings
a run; a step stands at a random place in the middle half of the readings. 2,000 runs
with each step and 8,000 without one in each noise, so that a share is uncertain by one
in a hundred at the most, and that of false flags by a quarter of that.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StepPower:
    """The share of runs with one step that are flagged.

    Attributes:
        step: size of the step as a share of the level.
        least: share flagged in the noise that hides it best, 0 to 1.
        most: share flagged in the noise that shows it best.
    """

    step: float
    least: float
    most: float


STEP_POWER: tuple[StepPower, ...] = (
    StepPower(0.05, 0.009, 0.094),
    StepPower(0.10, 0.048, 0.835),
    StepPower(0.15, 0.294, 0.996),
)
"""Simulated power for steps of 5, 10 and 15 %, shares from 0 to 1."""

STEP_FALSE_FLAGS: float = 0.047
"""Share of clean runs flagged in the noise that misleads the check most.

In the other eight kinds of noise it is 0 to 1.2 %.
"""
