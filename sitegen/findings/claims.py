"""What the maker claims, and what a directory lists, against measurement."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sitegen.findings.views import ClaimView, Grade, Interval, ResultRow
from sitegen.measure.estimate import Z95
from sitegen.measure.units import CFM_M3H, LS_M3H
from sitegen.model import Device
from sitegen.model.device import Claim, RatedValue

M3H_PER: Mapping[str, float] = {"m3/h": 1.0, "cfm": CFM_M3H, "L/s": LS_M3H}
CONSISTENT = (0.9, 1.1)
FLOWS = ("cadr", "airflow")


def claim_views(
    device: Device,
    rows: Sequence[ResultRow],
    aerosols: Mapping[str, str],
    primary_fraction: str,
) -> tuple[ClaimView, ...]:
    """Return every claim of a device against what was measured of it.

    A claim is judged only when quantity, aerosol or size metric, and speed match:
    CADR in a unit of flow for the top speed, or power in watts at a speed.

    Args:
        device: the device.
        rows: its rows of every method and fraction.
        aerosols: decay method id to the sort of its aerosol.
        primary_fraction: the fraction that a claim for an aerosol is held against.
    """
    kinds = {
        f"{row.method} {row.fraction}": {
            row.fraction,
            aerosols.get(row.method, "") if row.fraction == primary_fraction else "",
        }
        for row in rows
    }
    return tuple(_view(device, claim, rows, kinds) for claim in device.claims)


def rating_views(device: Device) -> tuple[tuple[int, ClaimView], ...]:
    """Return the directories' figures, each with its rating's position.

    A directory's test is not ours, so that none of its figures is graded.
    """
    return tuple(
        (at, _rated(value, rating.directory, rating.url or ""))
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


def _text(value: float, unit: str) -> str:
    number = f"{value:g}"
    return number if unit == "unstated" else f"{number} {unit}"


def _rated(value: RatedValue, directory: str, url: str) -> ClaimView:
    return ClaimView(
        quantity=value.quantity,
        text=_text(value.value, value.unit),
        value=value.value,
        unit=value.unit,
        aerosol=value.aerosol,
        speed="not-stated",
        source=directory,
        url=url,
        seen="",
        measured=None,
        measured_row="",
        ratio=None,
        grade="not-same-quantity",
    )


def _view(
    device: Device,
    claim: Claim,
    rows: Sequence[ResultRow],
    kinds: Mapping[str, set[str]],
) -> ClaimView:
    measured, where = _measured(device, claim, rows, kinds)
    ratio = None
    grade: Grade = "not-same-quantity"
    conversions: tuple[tuple[str, float], ...] = ()
    if claim.unit == "unstated":
        grade = "no-unit"
        if claim.quantity in FLOWS:
            conversions = tuple(
                (unit, claim.value * M3H_PER[unit]) for unit in ("m3/h", "cfm")
            )
    elif measured is not None and claim.value > 0:
        ratio = Interval(
            measured.value / claim.value,
            measured.low / claim.value,
            measured.high / claim.value,
        )
        grade = ratio_grade(ratio)
    return ClaimView(
        quantity=claim.quantity,
        text=claim.as_written or _text(claim.value, claim.unit),
        value=claim.value,
        unit=claim.unit,
        aerosol=claim.aerosol,
        speed=claim.speed,
        source=claim.source or "",
        url=claim.url or "",
        seen=claim.seen.isoformat(),
        measured=measured,
        measured_row=where,
        ratio=ratio,
        grade=grade,
        conversions=conversions,
    )


def _measured(
    device: Device,
    claim: Claim,
    rows: Sequence[ResultRow],
    kinds: Mapping[str, set[str]],
) -> tuple[Interval | None, str]:
    """Return what was measured of the claim's own quantity, in its unit."""
    at_speed = [row for row in rows if row.speed == claim.speed]
    if claim.quantity == "cadr" and claim.unit in M3H_PER:
        if claim.speed != device.speeds[-1].id:
            return None, ""
        best = max(
            (
                row
                for row in at_speed
                if row.cadr_m3h is not None
                and claim.aerosol in kinds[f"{row.method} {row.fraction}"]
                and _in_the_box(device, row)
            ),
            key=lambda row: row.cadr_m3h or 0.0,
            default=None,
        )
        if best is None or best.cadr_m3h is None:
            return None, ""
        each = M3H_PER[claim.unit]
        low = best.cadr_m3h if best.cadr_low is None else best.cadr_low
        high = best.cadr_m3h if best.cadr_high is None else best.cadr_high
        return (
            Interval(best.cadr_m3h / each, low / each, high / each),
            f"{best.configuration} {best.method} {best.fraction}",
        )
    if claim.quantity == "power" and claim.unit == "W":
        row = next(
            (
                row
                for row in at_speed
                if row.power_w is not None and _in_the_box(device, row)
            ),
            None,
        )
        if row is None or row.power_w is None:
            return None, ""
        half = Z95 * (row.power_sd or 0.0)
        return (
            Interval(row.power_w, row.power_w - half, row.power_w + half),
            row.configuration,
        )
    return None, ""


def _in_the_box(device: Device, row: ResultRow) -> bool:
    """Return whether a row's filter is one that the device comes with."""
    included = {use.id for use in device.filters if use.included}
    return not included or row.filter in included
