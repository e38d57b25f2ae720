"""What was measured near a claim that cannot be judged, shown and never graded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from sitegen.findings.views import Interval, Nearby, ResultRow
from sitegen.measure.sizing import air_changes
from sitegen.measure.units import m2_from_ft2
from sitegen.model import Device
from sitegen.model.bench import Lifetime
from sitegen.model.device import Claim, RatedValue


@dataclass(frozen=True, slots=True)
class ClaimContext:
    """What the records say beside the results.

    Attributes:
        ceiling_m: the archive's ceiling height.
        primary_fraction: the fraction that results are headed by.
        meters: sound method to distance, m, and position.
        rooms: decay method to volume of its room, m³, and share that counts as clear.
        lifetimes: lifetimes of filters that come with the device.
        airflows: configuration to measured airflow, m³/h.
    """

    ceiling_m: float = 2.5
    primary_fraction: str = "pm2_5"
    meters: Mapping[str, tuple[float, str]] = field(default_factory=dict)
    rooms: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    lifetimes: tuple[Lifetime, ...] = ()
    airflows: Mapping[str, float] = field(default_factory=dict)


NO_CONTEXT = ClaimContext()


def nearby(
    device: Device,
    claim: Claim | RatedValue,
    rows: Sequence[ResultRow],
    context: ClaimContext,
) -> Nearby | None:
    """Return what was measured near a claim, or nothing.

    A floor, a clearance time and an airflow are held beside the setting claimed, or
    where none is stated beside the fastest; a sound level beside its own setting only.

    Args:
        device: the device.
        claim: a claim without a grade.
        rows: its results.
        context: what the records say beside them.
    """
    if claim.unit == "unstated" or claim.value <= 0:
        return None
    if claim.quantity == "filter_life":
        return _life(context)
    fastest = device.speeds[-1].id
    speed = fastest if claim.speed == "not-stated" else claim.speed
    at_speed = [
        row
        for row in rows
        if row.speed == speed and row.fraction == context.primary_fraction
    ]
    if claim.quantity == "room_area":
        return _changes(claim, at_speed, context)
    if claim.quantity == "sound" and claim.speed != "not-stated":
        return _level(at_speed, context)
    if claim.quantity == "clearance":
        return _clearance(at_speed, context)
    if claim.quantity == "airflow":
        return _airflow(at_speed, context)
    return None


def _changes(
    claim: Claim | RatedValue, rows: Sequence[ResultRow], context: ClaimContext
) -> Nearby | None:
    """Return the air changes that the claimed floor would have."""
    told = [row for row in rows if row.cadr_m3h is not None and row.cadr_low]
    best = max(told, key=lambda row: row.cadr_m3h or 0.0, default=None)
    if best is None or best.cadr_m3h is None or claim.unit not in ("m2", "ft2"):
        return None
    area = claim.value if claim.unit == "m2" else m2_from_ft2(claim.value)
    volume = area * context.ceiling_m
    low = best.cadr_m3h if best.cadr_low is None else best.cadr_low
    high = best.cadr_m3h if best.cadr_high is None else best.cadr_high
    found = Interval(
        air_changes(best.cadr_m3h, volume),
        air_changes(low, volume),
        air_changes(high, volume),
    )
    return Nearby("air_changes", found, best.configuration, context.ceiling_m)


def _level(rows: Sequence[ResultRow], context: ClaimContext) -> Nearby | None:
    row = next((row for row in rows if row.sound_method in context.meters), None)
    if row is None or row.sound_dba is None:
        return None
    distance, position = context.meters[row.sound_method]
    low = row.sound_dba if row.sound_low is None else row.sound_low
    high = row.sound_dba if row.sound_high is None else row.sound_high
    found = Interval(row.sound_dba, low, high)
    return Nearby(
        "sound_dba",
        found,
        row.configuration,
        distance,
        note=position,
        limit=row.sound_limit,
    )


def _clearance(rows: Sequence[ResultRow], context: ClaimContext) -> Nearby | None:
    row = next(
        (r for r in rows if r.clearance_min is not None and r.method in context.rooms),
        None,
    )
    if row is None or row.clearance_min is None:
        return None
    volume, share = context.rooms[row.method]
    low = row.clearance_min if row.clearance_low is None else row.clearance_low
    high = row.clearance_min if row.clearance_high is None else row.clearance_high
    return Nearby(
        "clearance_min",
        Interval(row.clearance_min, low, high),
        row.configuration,
        volume,
        share,
        row.clearance_basis,
    )


def _airflow(rows: Sequence[ResultRow], context: ClaimContext) -> Nearby | None:
    row = next((row for row in rows if row.configuration in context.airflows), None)
    if row is None:
        return None
    flow = context.airflows[row.configuration]
    return Nearby("airflow_m3h", Interval(flow, flow, flow), row.configuration)


def _life(context: ClaimContext) -> Nearby | None:
    if not context.lifetimes:
        return None
    life = context.lifetimes[0]
    value = life.months or life.hours or 0.0
    unit = "months" if life.months is not None else "hours"
    found = Interval(value, life.low or value, life.high or value)
    return Nearby("filter_life", found, note=life.basis, unit=unit)
