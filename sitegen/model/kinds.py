"""The table of record kinds: folder, model, and whether the kind has pages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from pydantic import TypeAdapter

from sitegen.model.base import Record
from sitegen.model.bench import Filter, Instrument, Room
from sitegen.model.chronicle import Change, Release
from sitegen.model.device import Device
from sitegen.model.method import Method
from sitegen.model.run import Run
from sitegen.model.showing import Comparison, Edition, Table, Video


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of record.

    Attributes:
        name: the word used in references and links.
        folder: folder below ``records``.
        model: what a file of this kind must be (a class or a union).
    """

    name: str
    folder: str
    model: Any


KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        kind.name: kind
        for kind in (
            Kind("device", "devices", Device),
            Kind("filter", "filters", Filter),
            Kind("room", "rooms", Room),
            Kind("instrument", "instruments", Instrument),
            Kind("method", "methods", Method),
            Kind("run", "runs", Run),
            Kind("table", "tables", Table),
            Kind("comparison", "comparisons", Comparison),
            Kind("edition", "editions", Edition),
            Kind("video", "videos", Video),
            Kind("change", "changes", Change),
            Kind("release", "releases", Release),
        )
    }
)


@cache
def adapter(kind: str) -> TypeAdapter[Record]:
    """Return the validator of one kind of record.

    Raises:
        KeyError: if there is no such kind.
    """
    return TypeAdapter(KINDS[kind].model)
