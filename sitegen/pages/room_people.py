"""For how many people a CADR is the equivalent clean airflow, by use of the room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from sitegen.measure.sizing import EQUIVALENT_AIR_LS, people_served
from sitegen.measure.units import ls_from_m3h
from sitegen.model.collation import collation_key
from sitegen.pages.formats import number, whole
from sitegen.pages.frame import Site
from sitegen.pages.words import Words, message

USES: Mapping[str, str] = MappingProxyType(
    {
        "cell": message("cell"),
        "dayroom": message("day room"),
        "food_and_beverage": message("eating and drinking"),
        "gym": message("gym"),
        "office": message("office"),
        "retail": message("shop"),
        "transport_waiting": message("waiting for transport"),
        "classroom": message("classroom"),
        "lecture_hall": message("lecture hall"),
        "manufacturing": message("manufacturing"),
        "light_assembly": message("sorting, packing, light assembly"),
        "warehouse": message("warehouse"),
        "exam_room": message("examination room"),
        "group_treatment": message("group treatment"),
        "patient_room": message("patient room"),
        "resident_room": message("resident room"),
        "health_waiting": message("waiting for care"),
        "auditorium": message("auditorium"),
        "worship": message("worship"),
        "museum": message("museum"),
        "convention": message("convention"),
        "spectator_area": message("spectators"),
        "lobby": message("lobby"),
        "common_area": message("common area"),
        "dwelling": message("dwelling"),
    }
)


class PeopleRow(NamedTuple):
    """Uses of rooms that ask for one airflow.

    Attributes:
        each: airflow for each person, L/s.
        uses: the uses, as one text.
        people: how many people the CADR is enough for.
    """

    each: str
    uses: str
    people: str


@dataclass(frozen=True, slots=True)
class RoomPeople:
    """People that one setting serves.

    Attributes:
        clean: lower limit of its CADR, L/s, with its unit.
        rows: by airflow for each person, the least first.
        note: for readers of US units, why the airflow is not given in theirs.
    """

    clean: str
    rows: tuple[PeopleRow, ...]
    note: str


def room_people(words: Words, site: Site, least_m3h: float) -> RoomPeople:
    """Return for how many people a CADR is enough, by use of the room.

    Args:
        words: the interface's words.
        site: units.
        least_m3h: lower limit of the CADR, m³/h, above 0.
    """
    by_flow: dict[float, list[str]] = {}
    for use, each in EQUIVALENT_AIR_LS.items():
        by_flow.setdefault(each, []).append(words(USES[use]))
    note = ""
    if site.units == "us":
        note = words(
            "The standard's column in cfm is rounded for itself and is no conversion "
            "of these figures; they stay in litres a second."
        )
    clean = number(ls_from_m3h(least_m3h), 3, words)
    return RoomPeople(
        clean=words("{n} L/s", n=clean),
        rows=tuple(
            PeopleRow(
                each=number(each, 2, words, plain=True),
                uses=", ".join(sorted(uses, key=collation_key)),
                people=whole(people_served(each, least_m3h), words),
            )
            for each, uses in sorted(by_flow.items())
        ),
        note=note,
    )
