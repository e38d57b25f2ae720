"""Methods: how a quantity is measured, version by version."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from sitegen.model.base import (
    InstrumentRef,
    LooseMethodRef,
    Part,
    Record,
    RoomRef,
)
from sitegen.model.scalars import (
    Date,
    Fraction,
    Line,
    NotNegative,
    Positive,
    Share,
    Text,
    Whole,
)


class StartRange(Part):
    """The concentration at which the fitted part may start."""

    low: Positive
    """Lowest start concentration, in the primary fraction's unit."""
    high: Positive
    """Highest start concentration, in the primary fraction's unit."""


class Repeatability(Part):
    """The repeatability that the tester has adopted for this method."""

    cv: Positive
    """Repeatability standard deviation of ln CADR (a relative figure)."""
    degrees_of_freedom: Whole
    """Degrees of freedom behind it."""
    adopted: Date
    """Day on which it was adopted."""


class MethodBase(Record):
    """What every method has."""

    name: Line
    """Name of the method."""
    version: Line
    """Version, as printed beside results."""
    since: Date
    """First day of this version."""
    comparable_with: tuple[LooseMethodRef, ...] = ()
    """Methods whose results may stand beside these; holds both ways."""
    replaced_by: LooseMethodRef | None = None
    """The version that replaces this one."""
    text: Text
    """The method in full, in Markdown."""


class DecayMethod(MethodBase):
    """How decay of a test aerosol is measured."""

    kind: Literal["decay"]
    """Marks a decay method."""
    room: RoomRef
    """Where the test is made."""
    aerosol: Line
    """What the room is fouled with."""
    aerosol_kind: Literal["salt", "smoke", "dust", "oil-mist", "other"]
    """What sort of aerosol that is; cautions follow from it."""
    instruments: tuple[InstrumentRef, ...]
    """Instruments that log the concentration."""
    primary_fraction: Fraction = "pm2_5"
    """The size fraction that results are headed by."""
    sampling_s: Positive
    """Time between readings, s."""
    start_range: StartRange | None = None
    """Where the fitted part may start."""
    clearance_target: Share = 0.1
    """Share of the start concentration at which the room counts as cleared."""
    mixing_wait_min: NotNegative = 4.0
    """Wait after injection and switching on before the fit may start, min."""
    mixing_efold_s: Positive = 60.0
    """E-fold time of the mixing transient, s."""
    natural_valid_days: Whole = 30
    """Within how many days of a run a natural decay counts for it."""
    longest_min: Positive = 120.0
    """Longest fitted part of a run, min."""
    natural_min: Positive = 60.0
    """Length of the fitted part of a natural decay, min."""
    linearity_u: NotNegative | None = None
    """Relative standard uncertainty of the response exponent, when checked."""
    repeatability: Repeatability | None = None
    """Adopted repeatability, if the tester has adopted one."""


class SoundMethod(MethodBase):
    """How sound level is measured."""

    kind: Literal["sound"]
    """Marks a sound method."""
    instrument: InstrumentRef
    """Sound level meter."""
    distance_m: Positive
    """Distance from the device, m."""
    position: Line
    """Direction and height."""
    weighting: Literal["A"] = "A"
    """Frequency weighting."""
    duration_s: Positive | None = None
    """Averaging time of one reading, s."""


class PowerMethod(MethodBase):
    """How electrical power is measured."""

    kind: Literal["power"]
    """Marks a power method."""
    instrument: InstrumentRef
    """Power meter."""
    duration_min: Positive
    """Averaging time, min."""
    voltage_v: Positive | None = None
    """Mains voltage, V."""


Method = Annotated[DecayMethod | SoundMethod | PowerMethod, Field(discriminator="kind")]
