"""What of an archive is open: to be decided, repeated or measured. No date in it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal

from sitegen.findings.claims import M3H_PER
from sitegen.findings.index import RunEntry
from sitegen.findings.repeatability import RepeatabilityFinding
from sitegen.findings.settle import Surprise
from sitegen.findings.views import ClaimView, DecayReport, ResultRow
from sitegen.model import Configuration, Device


@dataclass(frozen=True, slots=True)
class UndecidedRun:
    """A run with checks that await the tester's decision.

    Attributes:
        run: its id.
        configuration: ``DEVICE.FILTER.SPEED``, or ``""`` for a natural decay.
        method: id of its method.
        codes: codes of the checks.
    """

    run: str
    configuration: str
    method: str
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NaturalState:
    """The newest natural decay of a method that is in force.

    Attributes:
        method: id of the method.
        run: id of its newest accepted natural decay, or ``""``.
        day: ISO date of that, or ``""``.
        valid_days: how long the method lets a natural decay count.
    """

    method: str
    run: str
    day: str
    valid_days: int


@dataclass(frozen=True, slots=True)
class OpenClaim:
    """A claim that could be held against a measurement and is not.

    Attributes:
        device: id of the device.
        quantity: what is claimed.
        text: the claim as written.
        speed: id of the fan speed that it is for.
    """

    device: str
    quantity: str
    text: str
    speed: str


@dataclass(frozen=True, slots=True)
class Gap:
    """A configuration that was measured in part.

    Attributes:
        configuration: ``DEVICE.FILTER.SPEED``.
        lacks: ``sound``, ``cadr``, or ``both`` where the filter was measured at other
            speeds alone.
    """

    configuration: str
    lacks: Literal["sound", "cadr", "both"]


@dataclass(frozen=True, slots=True)
class OpenCorrection:
    """A correction in the change log that is not closed: its pages are marked.

    Attributes:
        change: id of its record.
        day: ISO date of it.
        affects: all that it names, as ``KIND:ID``.
    """

    change: str
    day: str
    affects: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DeviceState:
    """What of one device is open, without regard to any date.

    Attributes:
        surprises: current results that are not settled.
        undecided: runs with checks to decide on.
        gaps: configurations measured in part.
        claims: claims not held against anything.
    """

    surprises: tuple[Surprise, ...] = ()
    undecided: tuple[UndecidedRun, ...] = ()
    gaps: tuple[Gap, ...] = ()
    claims: tuple[OpenClaim, ...] = ()


@dataclass(frozen=True, slots=True)
class ArchiveState:
    """What of an archive is open, without regard to any date.

    Attributes:
        devices: of each device.
        naturals: undecided natural decays.
        repeatability: of each decay method in force.
        newest_natural: of each decay method in force that has runs.
        compared: configuration to how often it is asked for: once for each named
            comparison that it stands in, and once more for each video that links that.
        compared_filters: the same for ``DEVICE.FILTER``, whichever its speeds.
        corrections: corrections that are not closed.
    """

    devices: tuple[DeviceState, ...]
    naturals: tuple[UndecidedRun, ...]
    repeatability: tuple[RepeatabilityFinding, ...]
    newest_natural: tuple[NaturalState, ...]
    compared: tuple[tuple[str, int], ...]
    compared_filters: tuple[tuple[str, int], ...] = ()
    corrections: tuple[OpenCorrection, ...] = ()


def undecided_run(entry: RunEntry, report: DecayReport) -> UndecidedRun | None:
    """Return a run's checks that await a decision; nothing when there is none.

    Only of runs that count: of another one the record says why it does not.
    """
    codes = waiting_codes(report)
    if not codes or not entry.counts:
        return None
    where = ""
    if entry.device:
        where = str(Configuration(entry.device, entry.filter, entry.speed))
    return UndecidedRun(entry.id, where, entry.method, codes)


def waiting_codes(report: DecayReport) -> tuple[str, ...]:
    """Return the codes of raised checks on which no decision is recorded, each once."""
    return tuple(
        dict.fromkeys(
            flag.code
            for flag in report.flags
            if flag.raised and flag.decide and not flag.decided
        )
    )


def gaps(
    rows: Sequence[ResultRow],
    entries: Sequence[RunEntry],
    device_id: str,
    speeds: Sequence[str] = (),
) -> tuple[Gap, ...]:
    """Return configurations measured in part, and speeds not measured at all.

    Those with clean air but no sound, with sound but no clean air, and for every
    filter with clean air at some speed the speeds with neither.

    Args:
        rows: current results of the device.
        entries: its runs.
        device_id: its id.
        speeds: ids of its fan speeds.
    """
    measured = [row for row in rows if row.cadr_m3h is not None]
    with_cadr = {row.configuration for row in measured}
    with_sound = {
        str(Configuration(device_id, entry.filter, entry.speed))
        for entry in entries
        if entry.kind == "sound" and entry.counts
    }
    possible = {
        str(Configuration(device_id, filter_id, speed))
        for filter_id in {row.filter for row in measured}
        for speed in speeds
    }
    return (
        *(Gap(name, "sound") for name in sorted(with_cadr - with_sound)),
        *(Gap(name, "cadr") for name in sorted(with_sound - with_cadr)),
        *(Gap(name, "both") for name in sorted(possible - with_cadr - with_sound)),
    )


def open_claims(
    device: Device, views: Sequence[ClaimView], aerosols: Collection[str]
) -> tuple[OpenClaim, ...]:
    """Return claims that this bench could hold against a measurement and has not.

    A CADR in a unit of flow for the top speed, of an aerosol or metric that the bench
    measures; a power in watts at a speed of the device.

    Args:
        device: the device.
        views: its claims against measurement.
        aerosols: aerosols and size metrics that decay methods in force measure.
    """
    speeds = [speed.id for speed in device.speeds]
    return tuple(
        OpenClaim(device.id, view.quantity, view.text, view.speed)
        for view in views
        if view.measured is None
        and (
            (
                view.quantity == "cadr"
                and view.unit in M3H_PER
                and view.speed == speeds[-1]
                and view.aerosol in aerosols
            )
            or (view.quantity == "power" and view.unit == "W" and view.speed in speeds)
        )
    )
