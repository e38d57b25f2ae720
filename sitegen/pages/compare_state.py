"""What the compare page's address decides, and what was left out of an address."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, NamedTuple

from sitegen.pages.words import Words, message

Trouble = Literal[
    "unknown", "malformed", "repeated", "gone", "too-many", "too-long", "version"
]


class Note(NamedTuple):
    """Something in a query that was left out.

    Attributes:
        trouble: why.
        key: the key that it stood under; ``""`` for the query as a whole.
        value: what was left out, shortened.
    """

    trouble: Trouble
    key: str
    value: str


class Rate(NamedTuple):
    """The reader's own currency.

    Attributes:
        currency: its ISO 4217 code.
        value: how much of it one unit of the archive's currency buys.
    """

    currency: str
    value: float


@dataclass(frozen=True, slots=True)
class Filter:
    """What a row must be to be shown.

    Attributes:
        field: name of a quantity or of a fact of the device.
        values: for a text: the values taken.
        at_least: for a number: the smallest taken, or nothing.
        at_most: for a number: the largest taken, or nothing.
    """

    field: str
    values: tuple[str, ...] = ()
    at_least: float | None = None
    at_most: float | None = None


@dataclass(frozen=True, slots=True)
class CompareState:
    """All that the compare page's address decides; empty or nothing = not said.

    Attributes:
        configurations: the rows chosen, as ``DEVICE.FILTER.SPEED``.
        figure: ``decay``, ``scatter``, ``ranked`` or ``""``.
        x: quantity across.
        y: quantity up.
        scale: of the axis of decay curves: ``log``, ``linear`` or ``""``.
        sort: quantity to sort by; a leading hyphen puts the largest first.
        columns: columns shown, where not all are.
        search: text to look for.
        filters: what rows must be, in the order of the quantities.
        units: ``metric``, ``us`` or ``""``.
        tariff: price of a kWh, archive's currency.
        hours: hours a day.
        years: years of ownership, a whole number.
        discount: discount rate, per cent a year.
        life: months between filter changes, of every filter.
        rate: the reader's currency.
        room_m2: floor area.
        ceiling_m: ceiling height.
        ach_per_h: air changes an hour that one machine must reach in the room.
        cap_dba: quiet cap.
    """

    configurations: tuple[str, ...] = ()
    figure: str = ""
    x: str = ""
    y: str = ""
    scale: str = ""
    sort: str = ""
    columns: tuple[str, ...] = ()
    search: str = ""
    filters: tuple[Filter, ...] = ()
    units: str = ""
    tariff: float | None = None
    hours: float | None = None
    years: float | None = None
    discount: float | None = None
    life: float | None = None
    rate: Rate | None = None
    room_m2: float | None = None
    ceiling_m: float | None = None
    ach_per_h: float | None = None
    cap_dba: float | None = None


NOTES: Mapping[Trouble, str] = MappingProxyType(
    {
        "unknown": message("Left out: {key} = {value}, which this page does not know."),
        "malformed": message("Left out: {value} is no value of {key}."),
        "repeated": message("Left out: {value}, as {key} is there twice."),
        "gone": message("Left out: there is no result for {value}."),
        "too-many": message("Left out: {value}, as no more can be shown."),
        "too-long": message("The address is too long; its end was left out."),
        "version": message("The address is of another version of this page: {value}."),
    }
)
"""What is told of a query, message ids by trouble."""


def note_text(words: Words, note: Note) -> str:
    """Return a note as a sentence for the reader."""
    return words(NOTES[note.trouble], key=note.key, value=note.value)
