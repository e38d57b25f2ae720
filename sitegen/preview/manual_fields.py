"""What a record may say, field by field, as its model has it: for the manual."""

from __future__ import annotations

import inspect
import types
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from sitegen.model import KINDS, Addresses, Archive
from sitegen.model.base import Measured, RefTo

# What the check of a field takes, by the check's name.
_TAKES: Mapping[str, str] = MappingProxyType(
    {
        "parse_text": "text",
        "parse_line": "text on one line",
        "parse_id": "an id: a to z, 0 to 9 and hyphens, at most 64",
        "parse_number": "number",
        "parse_whole": "whole number",
        "parse_yes_no": "yes or no",
        "parse_date": "date, as 2026-01-31",
        "parse_moment": "date and time with offset, as 2026-01-31T14:45+01:00",
        "parse_link": "web or mailto address",
        "parse_web_link": "web address",
        "parse_money": "amount of money",
        "parse_currency": "currency of three letters (ISO 4217)",
        "parse_clock": "m:ss or h:mm:ss, in quotes",
        "parse_file_name": "name of a file",
        "_number_or_gap": "number, or nothing",
        "_checked": "configuration, DEVICE.FILTER.SPEED",
        "_target": "KIND:ID",
        "_positive": "number above 0, or {value, uncertainty}",
    }
)


@dataclass(frozen=True, slots=True)
class FieldSaid:
    """A field in words.

    Attributes:
        name: its name in the file.
        takes: what may stand there.
        means: what it says, with its unit.
        required: whether a record must have it.
        part: anchor of the part that it holds, or ``""``.
    """

    name: str
    takes: str
    means: str
    required: bool
    part: str = ""


@dataclass(frozen=True, slots=True)
class ModelSaid:
    """A record, or a part of one, in words.

    Attributes:
        anchor: its place on the page.
        title: its heading.
        means: what it is.
        fields: its fields, in order.
    """

    anchor: str
    title: str
    means: str
    fields: tuple[FieldSaid, ...]


def manual_kinds() -> tuple[str, ...]:
    """Return the kinds of records that the manual describes, settings first."""
    return ("archive", *KINDS, "addresses")


def models_said(kind: str) -> tuple[ModelSaid, ...]:
    """Return what a kind of record may say: itself, then its parts, each once.

    Args:
        kind: one of ``manual_kinds``.
    """
    known: dict[str, Any] = {"archive": Archive, "addresses": Addresses}
    model = known[kind] if kind in known else KINDS[kind].model
    waiting = list(_members(model))
    first = len(waiting)
    said: dict[type[BaseModel], ModelSaid] = {}
    while waiting:
        one = waiting.pop(0)
        if one in said:
            continue
        is_record = len(said) < first
        said[one] = _model_said(one, kind, is_record=is_record, several=first > 1)
        waiting += _parts_of(one)
    return tuple(said.values())


def _members(model: Any) -> Iterator[type[BaseModel]]:
    if isinstance(model, type):
        yield model
        return
    for argument in get_args(model):
        if isinstance(argument, type) or get_args(argument):
            yield from _members(argument)


def _model_said(
    model: type[BaseModel], kind: str, *, is_record: bool, several: bool
) -> ModelSaid:
    title = kind.capitalize() if is_record else _spaced(model.__name__)
    if is_record and several:
        words = get_args(model.model_fields["kind"].annotation)
        title = f"kind: {words[0]}"
    anchor = kind if is_record and not several else _anchor(model)
    fields = tuple(_fields(model))
    return ModelSaid(anchor, title, inspect.cleandoc(model.__doc__ or ""), fields)


def _spaced(name: str) -> str:
    words = "".join(f" {sign.lower()}" if sign.isupper() else sign for sign in name)
    return f"Part: {words.strip()}"


def _anchor(model: type[BaseModel]) -> str:
    return model.__name__.lower()


def _fields(model: type[BaseModel]) -> Iterator[FieldSaid]:
    for name, info in model.model_fields.items():
        if name == "id" and "stem" in (info.description or ""):
            continue
        parts = list(_parts_in(info.annotation))
        yield FieldSaid(
            name=info.alias or name.rstrip("_"),
            takes=_takes(info.annotation, info.metadata),
            means=" ".join((info.description or "").split()),
            required=info.is_required(),
            part=_anchor(parts[0]) if parts else "",
        )


def _parts_of(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for info in model.model_fields.values():
        yield from _parts_in(info.annotation)


def _parts_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        if annotation is not Measured:
            yield annotation
        return
    for argument in get_args(annotation):
        yield from _parts_in(argument)


def _takes(annotation: Any, metadata: Sequence[Any]) -> str:
    """Return what a field takes, from its type and the check before it."""
    # What a reference names says more than that it is an id.
    for mark in sorted(metadata, key=lambda mark: not isinstance(mark, RefTo)):
        found = _marked(mark, annotation)
        if found:
            return found
    if get_origin(annotation) is Annotated:
        inner, *more = get_args(annotation)
        return _takes(inner, more)
    return _made_of(annotation)


def _marked(mark: object, annotation: Any) -> str:
    """Return what one mark on a field says that it takes, or ``""``."""
    if isinstance(mark, RefTo):
        article = "an" if mark.kind[0] in "aeiou" else "a"
        return f"id of {article} {mark.kind}"
    check = getattr(mark, "func", None)
    name = getattr(check, "__name__", "")
    if name == "check":
        return _bounded(check)
    if name == "_listed":
        return f"{_takes(get_args(annotation)[0], ())}, or a list of them"
    return _TAKES.get(name, "")


def _made_of(annotation: Any) -> str:
    """Return what a type takes that is made of others."""
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin in {Union, types.UnionType}:
        each = [_takes(one, ()) for one in arguments if one is not type(None)]
        return " or ".join(dict.fromkeys(each))
    if origin is Literal:
        choices = [str(one) for one in arguments]
        return choices[0] if len(choices) == 1 else f"one of {', '.join(choices)}"
    if origin is tuple:
        return f"list: {_takes(arguments[0], ())}"
    if origin is dict:
        return f"map: {_takes(arguments[0], ())} → {_takes(arguments[1], ())}"
    return _plain(annotation)


def _plain(annotation: Any) -> str:
    if annotation is Measured:
        return "number, or {value, uncertainty}"
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        words = _spaced(annotation.__name__).removeprefix("Part: ")
        return f"{words}, see below"
    return {str: "text", int: "whole number", float: "number", bool: "yes or no"}.get(
        annotation, "text"
    )


def _bounded(check: Any) -> str:
    bounds = inspect.getclosurevars(check).nonlocals
    words = []
    for name, word in (("above", "above"), ("low", "at least"), ("high", "at most")):
        if bounds.get(name) is not None:
            words.append(f"{word} {bounds[name]:g}")
    return f"number, {' and '.join(words)}"
