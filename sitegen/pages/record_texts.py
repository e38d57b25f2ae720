"""The Markdown texts that stand in a record, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from typing import Annotated, Any, NamedTuple, get_args, get_origin

from pydantic import BeforeValidator

from sitegen.load import Problem
from sitegen.load.tree import Path
from sitegen.model import Record
from sitegen.model.base import Part
from sitegen.model.scalars import parse_text
from sitegen.pages.markdown import like
from sitegen.pages.markdown import parse_text as parse_markdown


class RecordText(NamedTuple):
    """A text of more than one line in a record; all of them are Markdown.

    Attributes:
        path: where it stands in the record, as keys and positions.
        text: the Markdown.
    """

    path: Path
    text: str


def texts_of(record: Part) -> tuple[RecordText, ...]:
    """Return the Markdown texts of a record, in order of its fields."""
    return tuple(_of_part(record, ()))


def text_problems(
    kind: str,
    record: Part,
    known: Callable[[str], bool],
    choices: Collection[str] = (),
) -> tuple[Problem, ...]:
    """Return what is wrong with the texts of a record.

    Args:
        kind: kind of the record.
        record: the record, or the archive's settings.
        known: whether ``KIND:ID`` or ``page:ID`` exists.
        choices: what exists, to guess from what was meant.
    """
    found: list[Problem] = []
    name = record.id if isinstance(record, Record) else ""
    for path, text in texts_of(record):
        prose = parse_markdown(text)
        found += [
            Problem(kind, name, path, fault.code, fault.values)
            for fault in prose.faults
        ]
        found += [
            Problem(
                kind,
                name,
                path,
                "link-unknown",
                {"target": link.target, **like(link.target, choices)},
            )
            for link in prose.links
            if not known(link.target)
        ]
    return tuple(found)


def _of_part(part: Part, path: Path) -> Iterator[RecordText]:
    for name, info in type(part).model_fields.items():
        value = getattr(part, name)
        if isinstance(value, str):
            if _is_text(info.annotation, info.metadata):
                yield RecordText((*path, name), value)
        else:
            yield from _of_value(value, (*path, name))


def _of_value(value: object, path: Path) -> Iterator[RecordText]:
    if isinstance(value, Part):
        yield from _of_part(value, path)
    elif isinstance(value, tuple | dict):
        items = value.items() if isinstance(value, dict) else enumerate(value)
        for key, item in items:
            yield from _of_value(item, (*path, key))


def _is_text(annotation: Any, metadata: Collection[Any]) -> bool:
    """Return whether a field's type is ``Text``, alone or with an alternative."""
    if any(
        isinstance(mark, BeforeValidator) and mark.func is parse_text
        for mark in metadata
    ):
        return True
    if get_origin(annotation) is Annotated:
        inner, *marks = get_args(annotation)
        return _is_text(inner, marks)
    return any(_is_text(inner, ()) for inner in get_args(annotation))
