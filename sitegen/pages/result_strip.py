"""The result strip: the few answers that a reader came for, each with its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sitegen.findings.views import Labels, Place, QuietPick, ResultRow
from sitegen.model import QUANTITIES
from sitegen.pages.code_words import CLEARANCE_BASES, VALIDITY, word
from sitegen.pages.configuration_names import capital, setting_name
from sitegen.pages.formats import (
    decibels,
    not_reached_text,
    number,
    quantity_text,
    rank_text,
    unit_text,
)
from sitegen.pages.frame import Site
from sitegen.pages.place_strip import PlaceDrawing, place_drawing
from sitegen.pages.words import Words

_QUANTITIES = ("cadr_m3h", "clearance_min", "sound_dba", "power_w")


@dataclass(frozen=True, slots=True)
class StripCell:
    """One answer.

    Attributes:
        label: what is answered.
        setting: the setting that it holds for, or ``""`` for that of the strip.
        value: the number, or ``""``.
        unit: its unit.
        interval: its 95 % interval, or what else is to be said of it.
        rank: its place in words, or ``""``.
        missing: why there is no number, or ``""``.
        place: its place, drawn, or nothing.
    """

    label: str
    setting: str
    value: str
    unit: str
    interval: str
    rank: str
    missing: str
    place: PlaceDrawing | None


@dataclass(frozen=True, slots=True)
class ResultStrip:
    """The strip.

    Attributes:
        setting: the setting of all cells without one of their own, or ``""``.
        cells: the answers, in order.
    """

    setting: str
    cells: tuple[StripCell, ...]


def headline_row(
    rows: Sequence[ResultRow], places: Sequence[Place]
) -> ResultRow | None:
    """Return the row that heads a device's page: the one whose places are given.

    Without places it is the one with the highest CADR; without any CADR, nothing.
    """
    known = [row for row in rows if row.cadr_m3h is not None]
    placed = next((p.value for p in places if p.quantity == "cadr_m3h"), None)
    found = next((row for row in known if row.cadr_m3h == placed), None)
    if found is not None:
        return found
    return max(known, key=lambda row: row.cadr_m3h or 0.0, default=None)


def setting_text(words: Words, labels: Labels, row: ResultRow) -> str:
    """Return ``Brisk, fine filter``: the setting of a row in words."""
    return setting_name(words, labels, row.filter, row.speed)


def result_strip(
    words: Words,
    site: Site,
    labels: Labels,
    head: ResultRow | None,
    places: Sequence[Place],
    quiet: QuietPick,
) -> ResultStrip:
    """Return the strip of a device.

    Args:
        words: the interface's words.
        site: units and currency.
        labels: names of the device's parts.
        head: the row that heads the page, or nothing.
        places: places of its numbers.
        quiet: the best under the quiet cap.
    """
    by_name = {place.quantity: place for place in places}
    cells = []
    if head is not None:
        cells = [
            _cell(words, site, name, head, by_name.get(name)) for name in _QUANTITIES
        ]
    cells.append(_quiet(words, site, labels, quiet, by_name.get("cadr_m3h")))
    return ResultStrip(
        setting=setting_text(words, labels, head) if head is not None else "",
        cells=tuple(cells),
    )


def _label(words: Words, name: str) -> str:
    return {
        "cadr_m3h": words("Clean air delivered (CADR)"),
        "clearance_min": words("Time to clear the test room"),
        "sound_dba": words("Sound"),
        "power_w": words("Power"),
    }[name]


def _cell(
    words: Words, site: Site, name: str, row: ResultRow, place: Place | None
) -> StripCell:
    shown = quantity_text(name, row, site.units, words)
    quantity = QUANTITIES[name]
    drawn = None
    if place is not None:
        limits = (
            getattr(row, quantity.low) if quantity.low else None,
            getattr(row, quantity.high) if quantity.high else None,
        )
        low, high = limits
        both = (low, high) if low is not None and high is not None else None
        drawn = place_drawing(words, site.units, place, both)
    return StripCell(
        label=_label(words, name),
        setting="",
        value=shown.value,
        unit=unit_text(name, site.units, site.currency, words) if shown.value else "",
        interval=_interval(words, name, row, shown.interval),
        rank=_rank(words, place),
        missing="" if shown.value else _missing(words, name, row),
        place=drawn,
    )


def _interval(words: Words, name: str, row: ResultRow, interval: str) -> str:
    if name == "cadr_m3h" and "CADR_ZERO" in row.flags:
        zero = words("not told from zero")
        return f"{interval} · {zero}" if interval else zero
    if name == "clearance_min" and row.clearance_min is not None:
        basis = word(words, CLEARANCE_BASES, row.clearance_basis)
        return f"{interval} · {basis}" if interval else basis
    return interval


def _missing(words: Words, name: str, row: ResultRow) -> str:
    if name == "clearance_min" and row.clearance_basis == "not-reached":
        return not_reached_text(row, words)
    if name in {"cadr_m3h", "clearance_min"} and row.validity == "not_rated":
        return word(words, VALIDITY, "not_rated")
    return words("not measured")


def _rank(words: Words, place: Place | None) -> str:
    if place is None:
        return ""
    return words("place {rank}", rank=rank_text(place.low, place.high, place.of, words))


def _quiet(
    words: Words,
    site: Site,
    labels: Labels,
    quiet: QuietPick,
    everyone: Place | None,
) -> StripCell:
    cap = number(quiet.cap_dba, 3, words, plain=True)
    label = words("Most clean air at {cap} dB(A) or less", cap=cap)
    row = quiet.row
    if row is None:
        return StripCell(label, "", "", "", "", "", _nothing_quiet(words, quiet), None)
    shown = quantity_text("cadr_m3h", row, site.units, words)
    level = quantity_text("sound_dba", row, site.units, words).value
    said = words("{level} dB(A)", level=level)
    if quiet.near:
        said = words("{level} dB(A), within its uncertainty of that", level=level)
    if "CADR_ZERO" in row.flags:
        said = f"{said} · {words('not told from zero')}"
    drawn = None
    if everyone is not None and row.cadr_m3h is not None:
        own = replace(
            everyone,
            value=row.cadr_m3h,
            low=row.rank_low or everyone.low,
            high=row.rank_high or everyone.high,
        )
        both = (
            (row.cadr_low, row.cadr_high)
            if row.cadr_low is not None and row.cadr_high is not None
            else None
        )
        drawn = place_drawing(words, site.units, own, both)
    rank = rank_text(row.rank_low, row.rank_high, row.ranked_of, words)
    return StripCell(
        label=label,
        setting=capital(setting_text(words, labels, row)),
        value=shown.value,
        unit=unit_text("cadr_m3h", site.units, site.currency, words),
        interval=f"{shown.interval} · {said}" if shown.interval else said,
        rank=words("at any loudness place {rank}", rank=rank) if rank else "",
        missing="",
        place=drawn,
    )


def _nothing_quiet(words: Words, quiet: QuietPick) -> str:
    if quiet.quietest_dba is None:
        return words("sound was not measured")
    level = decibels(quiet.quietest_dba, words)
    if quiet.reason == "quiet_speed_not_tested":
        return words(
            "quiet setting not tested: {level} dB(A), clean air not measured",
            level=level,
        )
    return words(
        "no tested setting at or below {cap} dB(A); quietest tested {level} dB(A)",
        cap=decibels(quiet.cap_dba, words),
        level=level,
    )
