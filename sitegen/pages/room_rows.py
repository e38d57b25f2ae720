"""Which room a device serves, by the archive's assumptions and by rules of thumb."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitegen.findings.views import Labels, ResultRow
from sitegen.measure.sizing import area_m2
from sitegen.model.archive import Assumptions
from sitegen.model.rounding import significant_text
from sitegen.pages.addresses import COMPARE, link, of_record
from sitegen.pages.compare_state import CompareState, Filter
from sitegen.pages.configuration_names import capital, setting_name
from sitegen.pages.formats import in_units, number, quantity_text, with_unit
from sitegen.pages.fractions import fraction_text
from sitegen.pages.frame import Site
from sitegen.pages.own_words import own_words
from sitegen.pages.query_text import write_query
from sitegen.pages.room_counts import RoomCounts, room_counts
from sitegen.pages.room_people import RoomPeople, room_people
from sitegen.pages.room_rules import RuleShown, rules
from sitegen.pages.words import Words, message

_ASSUMED = message(
    "For {n} air changes an hour under a ceiling of {ceiling}, with the lower limit of "
    "each CADR."
)


@dataclass(frozen=True, slots=True)
class RoomRow:
    """One setting and the room that it serves.

    Attributes:
        setting: speed and filter.
        sound: its level, or ``""``.
        clean: lower limit of its CADR, with its unit.
        area: floor that this serves, with its unit.
        least: lower limit of its CADR, m³/h, for scripts.
    """

    setting: str
    sound: str
    clean: str
    area: str
    least: str


@dataclass(frozen=True, slots=True)
class Rooms:
    """Rooms by setting, and rules of thumb for the first of them.

    Attributes:
        assumed: what the rooms are reckoned with, a sentence.
        rows: one a setting, the fastest first.
        first: the setting that the rules of thumb are for.
        least: lower limit of that setting's CADR, with its unit.
        rules: rules of thumb for it.
        counts: machines of that setting for rooms of several sizes.
        people: people for whom that setting is enough.
        own: what scripts reckon a reader's own room with, by name.
    """

    assumed: str
    rows: tuple[RoomRow, ...]
    first: str
    least: str
    rules: tuple[RuleShown, ...]
    counts: RoomCounts
    people: RoomPeople
    own: Mapping[str, str]


def rooms(
    words: Words,
    site: Site,
    labels: Labels,
    rows: Sequence[ResultRow],
    assumed: Assumptions,
) -> Rooms | None:
    """Return the rooms that settings serve, or nothing where none gives clean air.

    Reckoned with the lower limit of each CADR.

    Args:
        words: the interface's words.
        site: units.
        labels: names of the device's parts.
        rows: results in order, the fastest first.
        assumed: air changes wanted and ceiling height.
    """
    known = [
        (row, row.cadr_low)
        for row in rows
        if row.cadr_low is not None and row.cadr_low > 0
    ]
    if not known:
        return None
    best, least = max(known, key=lambda pair: pair[1])
    return Rooms(
        assumed=words(
            _ASSUMED,
            n=number(assumed.target_ach_per_h, 3, words, plain=True),
            ceiling=with_unit(assumed.ceiling_m, "m", site.units, words),
        ),
        rows=tuple(_row(words, site, labels, row, low, assumed) for row, low in known),
        first=capital(setting_name(words, labels, best.filter, best.speed)),
        least=_flow(words, site, least),
        rules=rules(words, site, least, fraction_text(words, best.fraction)),
        counts=room_counts(words, site, best, least, assumed),
        people=room_people(words, site, least),
        own=_own(words, site, best, least, assumed),
    )


def _row(
    words: Words,
    site: Site,
    labels: Labels,
    row: ResultRow,
    low_m3h: float,
    assumed: Assumptions,
) -> RoomRow:
    level = quantity_text("sound_dba", row, site.units, words).value
    return RoomRow(
        setting=capital(setting_name(words, labels, row.filter, row.speed)),
        sound=level,
        clean=_flow(words, site, low_m3h),
        area=_area(words, site, low_m3h, assumed.target_ach_per_h, assumed.ceiling_m),
        least=significant_text(low_m3h),
    )


def _own(
    words: Words, site: Site, best: ResultRow, least_m3h: float, assumed: Assumptions
) -> Mapping[str, str]:
    """Return the numbers of the setting and the archive, as ``data-`` attributes."""
    exact = {
        "least": least_m3h,
        "cadr": best.cadr_m3h or least_m3h,
        "ceiling": assumed.ceiling_m,
        "changes": assumed.target_ach_per_h,
        "cap": assumed.quiet_cap_dba,
        "area-factor": 1 / in_units(1.0, "m²", site.units)[0],
        "length-factor": 1 / in_units(1.0, "m", site.units)[0],
        "volume-factor": 1 / in_units(1.0, "m³", site.units)[0],
    }
    return {
        **{name: significant_text(value) for name, value in exact.items()},
        "ceiling-shown": number(
            in_units(assumed.ceiling_m, "m", site.units)[0], 3, words, plain=True
        ),
        "sound": "" if best.sound_dba is None else significant_text(best.sound_dba),
        "locale": words.locale.replace("_", "-"),
        "area-unit": in_units(0.0, "m²", site.units)[1],
        "length-unit": in_units(0.0, "m", site.units)[1],
        "volume-unit": in_units(0.0, "m³", site.units)[1],
        "assumed": words(_ASSUMED),
        "cap-of": words("for {cap} dB(A) of all"),
        "size": words("{area}, {volume}"),
        "at-most": words("at most {level}") if best.sound_limit == "at_most" else "",
        **own_words(words),
        "mark": words("Rooms are reckoned with your own numbers: {what}."),
        "more-said": words("These settings, all by your own numbers"),
        "more": link(
            of_record("device", best.device),
            COMPARE,
            write_query(CompareState(filters=(Filter("device", (best.device,)),))),
        ),
    }


def _flow(words: Words, site: Site, flow_m3h: float) -> str:
    flow, unit = in_units(flow_m3h, "m³/h", site.units)
    return f"{number(flow, 3, words)} {unit}"


def _area(
    words: Words, site: Site, cadr_m3h: float, changes_per_h: float, ceiling_m: float
) -> str:
    floor = area_m2(cadr_m3h, changes_per_h, ceiling_m)
    return with_unit(floor, "m²", site.units, words, digits=2)
