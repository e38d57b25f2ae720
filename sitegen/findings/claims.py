"""What the maker claims, and what a directory lists, against measurement."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sitegen.findings.claims_nearby import NO_CONTEXT, ClaimContext, nearby
from sitegen.findings.views import ClaimView, Grade, Interval, ResultRow
from sitegen.measure.estimate import Z95
from sitegen.measure.units import CFM_M3H, LS_M3H
from sitegen.model import Device
from sitegen.model.device import Claim, RatedValue

M3H_PER: Mapping[str, float] = {"m3/h": 1.0, "cfm": CFM_M3H, "L/s": LS_M3H}
CONSISTENT = (0.9, 1.1)
FLOWS = ("cadr", "airflow")
NOT_JUDGED = ("airflow", "room_area", "sound", "filter_life", "clearance")
"""Quantities that a bench like this measures otherwise, or not at all."""


def claim_views(
    device: Device,
    rows: Sequence[ResultRow],
    aerosols: Mapping[str, str],
    primary_fraction: str,
    context: ClaimContext = NO_CONTEXT,
) -> tuple[ClaimView, ...]:
    """Return every claim of a device against what was measured of it.

    A claim is judged only when quantity, aerosol or size metric, and speed match:
    CADR in a unit of flow for the top speed, or power in watts at a speed.

    Args:
        device: the device.
        rows: its rows of every method and fraction.
        aerosols: decay method id to the sort of its aerosol.
        primary_fraction: the fraction that a claim for an aerosol is held against.
        context: what stands near claims that cannot be judged.
    """
    kinds = _kinds(rows, aerosols, primary_fraction)
    return tuple(_view(device, claim, rows, kinds, context) for claim in device.claims)


def rating_views(
    device: Device,
    rows: Sequence[ResultRow],
    aerosols: Mapping[str, str],
    primary_fraction: str,
    context: ClaimContext = NO_CONTEXT,
) -> tuple[tuple[int, ClaimView], ...]:
    """Return the directories' figures, each with its rating's position.

    They are held against measurement as claims are: only where quantity, aerosol or
    size metric, and speed match.

    Args:
        device: the device.
        rows: its rows of every method and fraction.
        aerosols: decay method id to the sort of its aerosol.
        primary_fraction: the fraction that a figure for an aerosol is held against.
        context: what stands near figures that cannot be judged.
    """
    kinds = _kinds(rows, aerosols, primary_fraction)
    return tuple(
        (
            at,
            _view(
                device,
                value,
                rows,
                kinds,
                context,
                (rating.directory, rating.url or ""),
            ),
        )
        for at, rating in enumerate(device.ratings)
        for value in rating.values
    )


def ratio_grade(ratio: Interval) -> Grade:
    """Return what a ratio of measured to claimed allows to say."""
    low, high = CONSISTENT
    if ratio.high < low:
        return "below"
    if ratio.low > high:
        return "above"
    if low <= ratio.low and ratio.high <= high:
        return "consistent"
    return "cannot-tell"


def plain_text(value: float, unit: str) -> str:
    """Return a figure with its unit as recorded, where no words of a claim are."""
    number = f"{value:g}"
    return number if unit == "unstated" else f"{number} {unit}"


def _kinds(
    rows: Sequence[ResultRow], aerosols: Mapping[str, str], primary_fraction: str
) -> dict[str, set[str]]:
    return {
        f"{row.method} {row.fraction}": {
            row.fraction,
            aerosols.get(row.method, "") if row.fraction == primary_fraction else "",
        }
        for row in rows
    }


def _view(
    device: Device,
    claim: Claim | RatedValue,
    rows: Sequence[ResultRow],
    kinds: Mapping[str, set[str]],
    context: ClaimContext,
    directory: tuple[str, str] = ("", ""),
) -> ClaimView:
    measured, where, reason = _measured(device, claim, rows, kinds)
    ratio = None
    grade: Grade = "not-same-quantity"
    conversions: tuple[tuple[str, float], ...] = ()
    if claim.unit == "unstated":
        grade, reason = "no-unit", ""
        if claim.quantity in FLOWS:
            conversions = tuple(
                (unit, claim.value * M3H_PER[unit]) for unit in ("m3/h", "cfm")
            )
    elif measured is not None:
        ratio = Interval(
            measured.value / claim.value,
            measured.low / claim.value,
            measured.high / claim.value,
        )
        grade = ratio_grade(ratio)
    words, seen, (source, url) = "", "", directory
    if isinstance(claim, Claim):
        words, seen = claim.as_written or "", claim.seen.isoformat()
        source, url = claim.source or "", claim.url or ""
    return ClaimView(
        quantity=claim.quantity,
        text=words or plain_text(claim.value, claim.unit),
        value=claim.value,
        unit=claim.unit,
        aerosol=claim.aerosol,
        speed=claim.speed,
        source=source,
        url=url,
        seen=seen,
        measured=measured,
        measured_row=where,
        ratio=ratio,
        grade=grade,
        conversions=conversions,
        reason=reason,
        nearby=None if ratio else nearby(device, claim, rows, context),
    )


def _measured(
    device: Device,
    claim: Claim | RatedValue,
    rows: Sequence[ResultRow],
    kinds: Mapping[str, set[str]],
) -> tuple[Interval | None, str, str]:
    """Return what was measured of the claim's own quantity, in its unit.

    Returns:
        The measurement, where it was made, and why there is none.
    """
    if claim.value <= 0:
        return None, "", "no-value"
    at_speed = [
        row for row in rows if row.speed == claim.speed and _in_the_box(device, row)
    ]
    if claim.quantity == "cadr" and claim.unit in M3H_PER:
        reason = _other_quantity(device, claim, kinds)
        return (None, "", reason) if reason else _cadr(claim, at_speed, kinds)
    if claim.quantity == "power" and claim.unit == "W":
        return _power(claim, at_speed)
    return None, "", claim.quantity if claim.quantity in NOT_JUDGED else "other-unit"


def _other_quantity(
    device: Device, claim: Claim | RatedValue, kinds: Mapping[str, set[str]]
) -> str:
    """Return why a CADR claimed is not one that we measure, or nothing."""
    if claim.aerosol == "not-stated":
        return "no-aerosol"
    if not any(claim.aerosol in kind for kind in kinds.values()):
        return "other-aerosol"
    if claim.speed == "not-stated":
        return "no-speed"
    return "" if claim.speed == device.speeds[-1].id else "not-top"


def _cadr(
    claim: Claim | RatedValue,
    at_speed: Sequence[ResultRow],
    kinds: Mapping[str, set[str]],
) -> tuple[Interval | None, str, str]:
    best = max(
        (
            row
            for row in at_speed
            if row.cadr_m3h is not None
            and claim.aerosol in kinds[f"{row.method} {row.fraction}"]
        ),
        key=lambda row: row.cadr_m3h or 0.0,
        default=None,
    )
    if best is None or best.cadr_m3h is None:
        return None, "", "not-tested"
    each = M3H_PER[claim.unit]
    low = best.cadr_m3h if best.cadr_low is None else best.cadr_low
    high = best.cadr_m3h if best.cadr_high is None else best.cadr_high
    return (
        Interval(best.cadr_m3h / each, low / each, high / each),
        best.key,
        "",
    )


def _power(
    claim: Claim | RatedValue, at_speed: Sequence[ResultRow]
) -> tuple[Interval | None, str, str]:
    if claim.speed == "not-stated":
        return None, "", "no-speed"
    row = next((row for row in at_speed if row.power_w is not None), None)
    if row is None or row.power_w is None:
        return None, "", "not-tested"
    half = Z95 * (row.power_sd or 0.0)
    return (
        Interval(row.power_w, row.power_w - half, row.power_w + half),
        row.configuration,
        "",
    )


def _in_the_box(device: Device, row: ResultRow) -> bool:
    """Return whether a row's filter is one that the device comes with."""
    included = {use.id for use in device.filters if use.included}
    return not included or row.filter in included
