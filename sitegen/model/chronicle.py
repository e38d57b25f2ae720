"""What changed, what was released, which addresses moved."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from sitegen.model.base import Part, Record
from sitegen.model.scalars import ID_PATTERN, Date, Id, Line, Text, parse_line, refuse

# Kinds that have a page, or a place on one; words of the release list.
AddressedKind = Literal[
    "device",
    "run",
    "comparison",
    "table",
    "method",
    "video",
    "filter",
    "prose",
    "edition",
    "change",
    "room",
    "instrument",
]
TARGET_KINDS = ("device", "run", "comparison", "table", "method", "video", "filter")


def _target(value: Any) -> str:  # noqa: ANN401 - bytes from outside
    text = parse_line(value)
    kind, colon, name = text.partition(":")
    if not colon or kind not in TARGET_KINDS or not ID_PATTERN.fullmatch(name):
        raise refuse("not-a-target", value=text[:60])
    return text


Target = Annotated[str, BeforeValidator(_target)]
"""A record named as ``KIND:ID``, for example ``device:alder-3``."""


class Change(Record):
    """An entry of the change log."""

    date: Date
    """Day of the change."""
    kind: Literal["correction", "retest", "price", "method", "addition", "withdrawal"]
    """What sort of change it is."""
    affects: tuple[Target, ...] = ()
    """Records affected, as ``KIND:ID``."""
    text: Text
    """What changed and why, in Markdown."""
    closed: Date | None = None
    """For a correction: the day on which all that it affects was put right."""


class Release(Record):
    """What was published on a day, so that no address dies."""

    date: Date
    """Day of the release."""
    ids: dict[AddressedKind, tuple[Id, ...]]
    """Ids published, by kind."""
    moved: dict[AddressedKind, dict[Id, Id]] = {}
    """Ids published before under which nothing is found now, and where it went."""
    gone: dict[AddressedKind, tuple[Id, ...]] = {}
    """Ids published before that are gone."""
    digests: dict[str, str] = {}
    """Two digests per published result: of what was measured, of what it costs."""
    numbers: dict[str, str] = {}
    """The main numbers of each result, to tell later what they were."""


class AddressChange(Part):
    """An address that moved or is gone."""

    kind: AddressedKind
    """Kind of the record."""
    id: Id
    """The id that was published."""
    moved_to: Id | None = None
    """The id under which it is found now."""
    gone: Line | None = None
    """Why it is no longer there."""
    date: Date
    """Since when."""


class Addresses(Part):
    """``records/addresses.yaml``: addresses moved or gone."""

    addresses: tuple[AddressChange, ...] = ()
    """One entry an address."""
