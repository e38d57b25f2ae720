"""What one decay or natural-decay run consists of, as plain arrays and numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from sitegen.measure.arrays import Floats

RunKind = Literal["decay", "natural"]


@dataclass(frozen=True, slots=True)
class Sensor:
    """One instrument's properties for one fraction, in the fraction's own unit.

    Attributes:
        zero_offset: reading in particle-free air; always subtracted.
        zero_uncertainty: its standard uncertainty.
        resolution: quantum of the readings; None when not known.
        noise: standard deviation in particle-free air; None when not known.
        ceiling: upper end of the range; None when not known.
        saturation: concentration scale of coincidence loss; None when not known.
        response_s: first-order response time, seconds; None when not known.
    """

    zero_offset: float = 0.0
    zero_uncertainty: float = 0.0
    resolution: float | None = None
    noise: float | None = None
    ceiling: float | None = None
    saturation: float | None = None
    response_s: float | None = None

    @property
    def floor(self) -> float:
        """Lowest usable concentration above zero: 10 quanta, 10 sd or 20 u(zero).

        Keeping above it holds the logarithm's bias under 0.5 % at the very end.
        """
        return max(
            10.0 * (self.resolution or 0.0),
            10.0 * (self.noise or 0.0),
            20.0 * self.zero_uncertainty,
        )


@dataclass(frozen=True, slots=True)
class Event:
    """Something that the tester noted.

    Attributes:
        at_min: elapsed minutes.
        what: ``injected``, ``mixing_off``, ``device_on``, ``door`` or another word.
    """

    at_min: float
    what: str


@dataclass(frozen=True, slots=True)
class DecayMethod:
    """What the method prescribes.

    Attributes:
        primary_fraction: the fraction on which the window is found.
        mixing_wait_min: wait after mixing stops and the device starts, minutes.
        mixing_efold_s: e-fold time of the mixing transient, seconds.
        start_low: least start concentration prescribed; None for no limit.
        start_high: greatest start concentration prescribed; None for no limit.
        clearance_fraction: share of the reference level that counts as cleared.
        end_fraction: share of the start level at which the window ends.
        longest_min: longest window of a run with the device on, minutes.
        natural_min: window of a natural run, minutes (120 for devices whose CADR is
            under three times the room volume times the natural decay).
    """

    primary_fraction: str = "pm2_5"
    mixing_wait_min: float = 4.0
    mixing_efold_s: float = 60.0
    start_low: float | None = None
    start_high: float | None = None
    clearance_fraction: float = 0.1
    end_fraction: float = 0.1
    longest_min: float = 120.0
    natural_min: float = 60.0


@dataclass(frozen=True, slots=True)
class Conditions:
    """The room during the run; None where not recorded.

    Attributes:
        humidity_pct: relative humidity, %.
        temperature_change_k: change over the run, or difference from the natural runs
            that it is set against, kelvin.
        door_open: whether a door stood open.
    """

    humidity_pct: float | None = None
    temperature_change_k: float | None = None
    door_open: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class RunData:
    """One run.

    Attributes:
        kind: ``decay`` (device on) or ``natural`` (device present, off).
        elapsed_min: minutes, shape (n,), increasing.
        readings: instrument to fraction to concentrations, shape (n,), NaN where
            missing, as the instrument gave them (zero offset not yet taken off).
        sensors: the same keys to the instrument's properties; a missing entry means
            that nothing is known of it.
        method: what the method prescribes.
        events: what the tester noted.
        conditions: the room.
        fixed_window_min: the record's own window, first and last minute, or None.
    """

    kind: RunKind
    elapsed_min: Floats
    readings: Mapping[str, Mapping[str, Floats]]
    sensors: Mapping[str, Mapping[str, Sensor]] = field(default_factory=dict)
    method: DecayMethod = field(default_factory=DecayMethod)
    events: tuple[Event, ...] = ()
    conditions: Conditions = field(default_factory=Conditions)
    fixed_window_min: tuple[float, float] | None = None
