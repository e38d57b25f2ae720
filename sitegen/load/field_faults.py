"""The validator's errors as faults with places: one fault for one cause."""

from __future__ import annotations

import re
import types
from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from sitegen.errors import CODES, Fault, Place
from sitegen.load.guesses import guess, listed
from sitegen.load.tree import Path, Tree, dotted

_GUESSES_AT_MOST = 100
_QUOTED = re.compile(r"'([^']*)'")
_SHAPES = {
    "model_type": "not-fields-here",
    "model_attributes_type": "not-fields-here",
    "dict_type": "not-fields-here",
    "tuple_type": "not-a-list",
    "list_type": "not-a-list",
    "string_type": "not-a-text",
}


def field_faults(
    errors: ValidationError,
    model: Any,  # noqa: ANN401 - class or union
    tree: Tree,
) -> list[Fault]:
    """Return the faults that a validator found in a file.

    Args:
        errors: what the validator raised on ``tree.data``.
        model: the class or union that was validated against.
        tree: the file, for places and for what is faulty already.
    """
    found: list[Fault] = []
    seen: set[Path] = set()
    for error in errors.errors(include_url=False):
        path = real_path(error["loc"], tree.data)
        missing = error["type"] == "missing"
        if missing:
            path = (*path, _spelt(error["loc"][-1]))
        if path in seen or tree.is_faulty(path):
            continue
        seen.add(path)
        found.append(_fault(error, path, model, tree, len(found) < _GUESSES_AT_MOST))
    return found


def real_path(loc: Iterable[str | int], data: Any) -> Path:  # noqa: ANN401 - plain data
    """Return the part of a validator's location that stands in the data.

    Names of union members and marks such as ``[key]`` are left out.
    """
    path: list[str | int] = []
    here = data
    for part in loc:
        name = _spelt(part)
        inside = isinstance(here, Mapping) and name in here
        listed_there = isinstance(here, list) and isinstance(name, int)
        if inside or (listed_there and isinstance(name, int) and name < len(here)):
            path.append(name)
            here = here[name]
    return tuple(path)


def fields_at(model: Any, loc: Iterable[str | int]) -> Mapping[str, str]:  # noqa: ANN401
    """Return the fields that a record may have at a validator's location.

    Returns:
        Name of each field, as written in a file, to the sentence on it.
    """
    here = list(_models(model))
    for part in loc:
        inner: list[Any] = []
        for candidate in here:
            inner.extend(_below(candidate, part))
        here = inner or here
    fields: dict[str, str] = {}
    for candidate in here:
        if isinstance(candidate, type) and issubclass(candidate, BaseModel):
            for name, info in candidate.model_fields.items():
                fields[str(_spelt(name))] = " ".join((info.description or "").split())
    return fields


def _spelt(part: str | int) -> str | int:
    return "is" if part == "is_" else part


def _models(annotation: Any) -> Iterator[Any]:  # noqa: ANN401
    """Yield the classes and containers that an annotation may stand for."""
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _models(get_args(annotation)[0])
    elif origin in {Union, types.UnionType}:
        for member in get_args(annotation):
            yield from _models(member)
    else:
        yield annotation


def _below(candidate: Any, part: str | int) -> Iterator[Any]:  # noqa: ANN401
    origin = get_origin(candidate)
    if origin is tuple and isinstance(part, int):
        yield from _models(get_args(candidate)[0])
    elif origin is dict and part != "[key]":
        yield from _models(get_args(candidate)[1])
    elif isinstance(candidate, type) and issubclass(candidate, BaseModel):
        if isinstance(part, str) and part in candidate.model_fields:
            yield from _models(candidate.model_fields[part].annotation)
        elif isinstance(part, str) and part in _tags(candidate):
            yield candidate


def _tags(model: type[BaseModel]) -> tuple[str, ...]:
    info = model.model_fields.get("kind")
    if info is None or get_origin(info.annotation) is not Literal:
        return ()
    return tuple(get_args(info.annotation))


def _fault(
    error: ErrorDetails,
    path: Path,
    model: Any,  # noqa: ANN401
    tree: Tree,
    guessing: bool,
) -> Fault:
    if error["type"] == "missing":
        return _missing(error, path, model, tree)
    if error["type"] == "extra_forbidden":
        return _unknown(error, path, model, tree, guessing)
    return _wrong(error, path, tree)


def _wrong(error: ErrorDetails, path: Path, tree: Tree) -> Fault:
    kind = error["type"]
    is_key = error["loc"][-1] == "[key]"
    place = tree.at_key(path) if is_key else tree.at_value(path)
    context = {key: str(item) for key, item in error.get("ctx", {}).items()}
    word = str(path[-1]) if is_key else _word(error["input"])
    if path in tree.nulls and not is_key:
        return Fault("empty-value", place, dotted(path))
    if kind == "literal_error":
        return _choice(word, _QUOTED.findall(context["expected"]), path, place)
    if kind in CODES:
        return Fault(kind, place, dotted(path), context)
    if kind in _SHAPES:
        return Fault(_SHAPES[kind], place, dotted(path), {"value": word})
    values = {"value": word, "problem": error["msg"]}
    return Fault("not-understood", place, dotted(path), values)


def _missing(
    error: ErrorDetails,
    path: Path,
    model: Any,  # noqa: ANN401
    tree: Tree,
) -> Fault:
    name = str(path[-1])
    about = fields_at(model, error["loc"][:-1]).get(name, "").rstrip(".")
    values = {"name": name, "about": about}
    return Fault("missing-field", tree.at_value(path[:-1]), dotted(path), values)


def _unknown(
    error: ErrorDetails,
    path: Path,
    model: Any,  # noqa: ANN401
    tree: Tree,
    guessing: bool,
) -> Fault:
    allowed = [*fields_at(model, error["loc"][:-1])]
    if len(path) == 1 and "id" in allowed:
        allowed.remove("id")
    name = str(path[-1])
    meant = guess(name, allowed) if guessing else {}
    values = {"name": name, **(meant or {"fields": ", ".join(allowed)})}
    return Fault("unknown-field", tree.at_key(path), dotted(path), values)


def _choice(word: str, choices: list[str], path: Path, place: Place) -> Fault:
    values = {"value": word, "choices": listed(choices), **guess(word, choices)}
    return Fault("not-one-of", place, dotted(path), values)


def choice_fault(word: str, choices: list[str], path: Path, tree: Tree) -> Fault:
    """Return the fault for a word that is none of a few allowed ones."""
    return _choice(word, choices, path, tree.at_value(path))


def _word(value: object) -> str:
    if isinstance(value, Mapping):
        return "{…}"
    if isinstance(value, list):
        return "[…]"
    text = str(value)
    return text if len(text) <= 60 else text[:57] + "…"
