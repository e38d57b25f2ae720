"""How many equal machines a room takes, and how loud they are together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from sitegen.findings.picks import ROOM_AREAS_M2
from sitegen.findings.views import ResultRow
from sitegen.measure.sizing import cap_of_one, units_needed
from sitegen.measure.sound import several_units
from sitegen.model.archive import Assumptions
from sitegen.model.rounding import significant_text
from sitegen.pages.formats import decibels, sound_text, whole, with_unit
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


class CountRow(NamedTuple):
    """One room.

    Attributes:
        room: floor and volume, with their units.
        by_limit: machines by the lower limit of the CADR.
        by_estimate: machines by the CADR itself.
        sound: level of all of them, counted by the limit, dB(A), or ``""``.
        cap: what each may make so that all keep the quiet cap, dB(A).
        area: its floor for scripts, m².
    """

    room: str
    by_limit: str
    by_estimate: str
    sound: str
    cap: str
    area: str


@dataclass(frozen=True, slots=True)
class RoomCounts:
    """Machines for several rooms, all at one setting.

    Attributes:
        rows: one a room.
        cap: the quiet cap for all machines of a room together, dB(A).
    """

    rows: tuple[CountRow, ...]
    cap: str


def room_counts(
    words: Words, site: Site, row: ResultRow, least_m3h: float, assumed: Assumptions
) -> RoomCounts:
    """Return how many machines rooms of the usual sizes take.

    Args:
        words: the interface's words.
        site: units.
        row: the setting; with a CADR.
        least_m3h: lower limit of its CADR, m³/h, above 0.
        assumed: air changes wanted, ceiling, quiet cap.
    """

    def count(area_m2: float) -> CountRow:
        volume = area_m2 * assumed.ceiling_m
        target = assumed.target_ach_per_h
        units = units_needed(target, volume, least_m3h)
        fewest = units_needed(target, volume, row.cadr_m3h or least_m3h)
        return CountRow(
            room=words(
                "{area}, {volume}",
                area=with_unit(area_m2, "m²", site.units, words),
                volume=with_unit(volume, "m³", site.units, words),
            ),
            by_limit=whole(units, words),
            by_estimate=whole(fewest, words),
            sound=_together(words, row, units),
            cap=decibels(cap_of_one(assumed.quiet_cap_dba, units), words),
            area=significant_text(area_m2),
        )

    return RoomCounts(
        rows=tuple(count(area) for area in ROOM_AREAS_M2),
        cap=decibels(assumed.quiet_cap_dba, words),
    )


def _together(words: Words, row: ResultRow, units: int) -> str:
    if row.sound_dba is None:
        return ""
    level = several_units(row.sound_dba, units)
    return sound_text(level, None, None, row.sound_limit, words).value
