"""What all records share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel, BeforeValidator, ConfigDict, model_validator

from sitegen.model.scalars import Id, NotNegative, Number, YesNo, parse_id, refuse


class Part(BaseModel):
    """A part of a record: frozen, and without fields that nobody knows."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", use_attribute_docstrings=True
    )


class Record(Part):
    """One YAML file; the stem of its name is its id."""

    id: Id
    """The file's stem; part of permanent addresses. Not written in the file."""
    held: YesNo = False
    """Not to be published yet: shown and marked in preview, absent from compile."""


@dataclass(frozen=True, slots=True)
class RefTo:
    """Marks a field that names another record.

    Attributes:
        kind: the kind of the record named.
        rests: whether a record that names a held one is itself held back.
    """

    kind: str
    rests: bool = True


DeviceRef = Annotated[str, BeforeValidator(parse_id), RefTo("device")]
FilterRef = Annotated[str, BeforeValidator(parse_id), RefTo("filter")]
RoomRef = Annotated[str, BeforeValidator(parse_id), RefTo("room")]
InstrumentRef = Annotated[str, BeforeValidator(parse_id), RefTo("instrument")]
MethodRef = Annotated[str, BeforeValidator(parse_id), RefTo("method")]
RunRef = Annotated[str, BeforeValidator(parse_id), RefTo("run")]
ComparisonRef = Annotated[str, BeforeValidator(parse_id), RefTo("comparison")]
# These point at something without resting on it: a video stays when one of the
# devices that it shows is held, and simply does not link to it.
LooseDeviceRef = Annotated[str, BeforeValidator(parse_id), RefTo("device", rests=False)]
LooseRunRef = Annotated[str, BeforeValidator(parse_id), RefTo("run", rests=False)]
LooseMethodRef = Annotated[str, BeforeValidator(parse_id), RefTo("method", rests=False)]
LooseComparisonRef = Annotated[
    str, BeforeValidator(parse_id), RefTo("comparison", rests=False)
]
LooseVideoRef = Annotated[str, BeforeValidator(parse_id), RefTo("video", rests=False)]


class Measured(Part):
    """A quantity in a record: a number, or a value with its standard uncertainty."""

    value: Number
    """The value, in the unit that the field's name ends with."""
    uncertainty: NotNegative | None = None
    """Standard uncertainty, in the same unit."""

    @model_validator(mode="before")
    @classmethod
    def _plain_number(cls, data: Any) -> Any:  # noqa: ANN401 - bytes from outside
        if isinstance(data, str | int | float) and not isinstance(data, bool):
            return {"value": data}
        return data

    @property
    def u(self) -> float:
        """Standard uncertainty, 0 when none is stated."""
        return self.uncertainty or 0.0


def _positive(data: Any) -> Any:  # noqa: ANN401 - bytes from outside
    measured = data if isinstance(data, Measured) else Measured.model_validate(data)
    if measured.value <= 0:
        raise refuse("out-of-bounds", value=f"{measured.value:g}", bounds="above 0")
    return measured


PositiveMeasured = Annotated[Measured, BeforeValidator(_positive)]


@dataclass(frozen=True, slots=True)
class Reference:
    """One record naming another.

    Attributes:
        path: where the name stands in the record, as keys and positions.
        kind: kind of the record named.
        id: id of the record named.
        rests: whether the naming record rests on the named one.
    """

    path: tuple[str | int, ...]
    kind: str
    id: str
    rests: bool


def references(record: Part) -> tuple[Reference, ...]:
    """Return every reference that stands in a record, in order of its fields."""
    return tuple(_of_part(record, ()))


def _of_part(part: Part, path: tuple[str | int, ...]) -> Iterator[Reference]:
    for name, info in type(part).model_fields.items():
        value = getattr(part, name)
        yield from _of_value(value, info.annotation, info.metadata, (*path, name))


def _of_value(
    value: object, annotation: object, metadata: list[Any], path: tuple[str | int, ...]
) -> Iterator[Reference]:
    if get_origin(annotation) is Annotated:
        inner, *extra = get_args(annotation)
        yield from _of_value(value, inner, [*metadata, *extra], path)
    elif isinstance(value, Part):
        yield from _of_part(value, path)
    elif isinstance(value, str):
        yield from _of_text(value, annotation, metadata, path)
    elif isinstance(value, tuple | dict):
        for key, item in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _of_value(
                item, _inside(annotation, isinstance(value, dict)), [], (*path, key)
            )


def _of_text(
    value: str, annotation: object, metadata: list[Any], path: tuple[str | int, ...]
) -> Iterator[Reference]:
    for mark in metadata:
        if isinstance(mark, RefTo):
            yield Reference(path, mark.kind, value, mark.rests)
            return
    for argument in get_args(annotation):
        if get_origin(argument) is Annotated:
            yield from _of_value(value, argument, [], path)


def _inside(annotation: object, is_mapping: bool) -> object:
    """Return the annotation of the items of a list or of a mapping's values."""
    for member in (annotation, *get_args(annotation)):
        origin = get_origin(member)
        if origin is dict and is_mapping:
            return get_args(member)[1]
        if origin is tuple and not is_mapping:
            return get_args(member)[0]
    return object
