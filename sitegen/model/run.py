"""Runs: one measurement each, with what decides whether it counts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from sitegen.model.base import (
    DeviceRef,
    LooseRunRef,
    MethodRef,
    Part,
    Record,
    RunRef,
)
from sitegen.model.scalars import (
    Date,
    FileName,
    Id,
    Line,
    Moment,
    NotNegative,
    Number,
    Percent,
    Text,
    refuse,
)


class Event(Part):
    """Something that happened during a run."""

    at_min: Number
    """When, in minutes of the series' elapsed time."""
    what: Literal[
        "injected",
        "mixing_on",
        "mixing_off",
        "device_on",
        "device_off",
        "door",
        "other",
    ]
    """What happened."""
    note: Line | None = None
    """A remark."""


class Conditions(Part):
    """The conditions of a run."""

    temperature_c: Number | None = None
    """Air temperature, °C."""
    temperature_change_k: Number | None = None
    """Change of temperature during the run, K."""
    humidity_pct: Percent | None = None
    """Relative humidity, %."""
    door: Literal["closed", "opened"] = "closed"
    """Whether the door stayed closed."""
    places: Text | None = None
    """Where device and instruments stood."""


class RawLog(Part):
    """The raw file behind a series."""

    name: FileName
    """Name of the raw log."""
    digest: Line
    """SHA-256 of its bytes, in hexadecimal."""


def _listed(data: Any) -> Any:
    return [data] if isinstance(data, Mapping | RawLog) else data


RawLogs = Annotated[tuple[RawLog, ...], BeforeValidator(_listed)]


class Decision(Part):
    """What the tester decided about a run, and why."""

    by: Line
    """Who decided."""
    on: Date
    """When."""
    cause: Literal[
        "door_opened",
        "sensor_fault",
        "wrong_setting",
        "power_loss",
        "injection_failed",
        "looked_at",
        "other",
    ]
    """The assignable cause; ``looked_at`` for a flag that was weighed and kept."""
    text: Text
    """The reason, in Markdown."""


class FixedWindow(Part):
    """A fitted part that the record fixes instead of the method's rule."""

    start: Number
    """Start, minutes of elapsed time."""
    end: Number
    """End, minutes of elapsed time."""
    reason: Text
    """Why the method's rule does not serve."""

    @model_validator(mode="after")
    def _in_order(self) -> FixedWindow:
        if self.end <= self.start:
            raise refuse(
                "window-backward", start=f"{self.start:g}", end=f"{self.end:g}"
            )
        return self


class RunBase(Record):
    """What every run has."""

    method: MethodRef
    """The method version followed."""
    started: Moment
    """Date and time at elapsed time zero, with offset."""
    conditions: Conditions = Conditions()
    """Temperature, humidity, door, places."""
    status: Literal["accepted", "rejected", "superseded"] = "accepted"
    """Whether the run counts."""
    decision: Decision | None = None
    """Who decided so and why; a rejected run must have one."""
    superseded_by: LooseRunRef | None = None
    """The run that takes its place."""
    note: Text | None = None
    """A remark shown on the page, in Markdown."""


class DeviceRunBase(RunBase):
    """A run of one configuration."""

    device: DeviceRef
    """The device."""
    specimen: Id
    """Which unit of it."""
    filter: Id
    """Id of the filter in it, or ``none``."""
    filter_hours: NotNegative | None = None
    """Hours that the filter had run before."""
    speed: Id
    """Id of the fan speed."""


class SeriesPart(RunBase):
    """What runs with a decay series have."""

    series: Id
    """Name of the series file, without ``.csv``."""
    window_min: FixedWindow | None = None
    """A fitted part fixed by hand, with the reason."""
    events: tuple[Event, ...] = ()
    """What happened when."""
    raw: RawLogs = ()
    """The raw log behind the series; a list where there are several."""


class DecayRun(SeriesPart, DeviceRunBase):
    """The device clears the fouled room."""

    kind: Literal["decay"]
    """Marks a decay run."""
    natural: tuple[RunRef, ...] | None = None
    """Natural decays to subtract; by the method's rule when not given."""
    airflow_m3h: NotNegative | None = None
    """Measured airflow of the same configuration, m³/h."""


class NaturalDecayRun(SeriesPart):
    """The fouled room clears by itself, device off."""

    kind: Literal["natural-decay"]
    """Marks a natural-decay run."""


class SoundRun(DeviceRunBase):
    """Sound level readings of one configuration."""

    kind: Literal["sound"]
    """Marks a sound run."""
    readings_dba: tuple[Number, ...]
    """Levels with the device on, dB(A)."""
    background_dba: tuple[Number, ...] = ()
    """Levels with the device off, dB(A)."""
    tonal: Line | None = None
    """Hum, whistle or rattle that the level does not show."""


class PowerRun(DeviceRunBase):
    """Electrical power readings of one configuration."""

    kind: Literal["power"]
    """Marks a power run."""
    readings_w: tuple[NotNegative, ...]
    """Mean power of each period, W."""
    standby_w: tuple[NotNegative, ...] = ()
    """Power when switched off but plugged in, W."""


Run = Annotated[
    DecayRun | NaturalDecayRun | SoundRun | PowerRun, Field(discriminator="kind")
]
