"""One file becomes one record, or the list of everything wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar, get_args

from pydantic import BaseModel, TypeAdapter, ValidationError

from sitegen.errors import Fault, is_fault, sort_faults
from sitegen.load.field_faults import choice_fault, field_faults
from sitegen.load.guesses import guess
from sitegen.load.tree import MAX_BYTES, Tree, dotted, read_yaml
from sitegen.model import KINDS, Addresses, Archive, Record, adapter
from sitegen.model.sense import nonsense

T = TypeVar("T")

# A release lists every id and result of the archive, and is written by the tool.
_RELEASE_BYTES = 20 * MAX_BYTES


@dataclass(frozen=True, slots=True)
class Loaded(Generic[T]):
    """What became of one file.

    Attributes:
        record: the record, or nothing when the file has a fault.
        faults: everything wrong with the file, in reading order.
        tree: the file as plain data, with places.
    """

    record: T | None
    faults: tuple[Fault, ...]
    tree: Tree


def load_record(kind: str, id: str, data: bytes, file: str) -> Loaded[Record]:  # noqa: A002
    """Return the record that a file holds, or all faults of the file.

    Args:
        kind: kind of the record, as in ``KINDS``.
        id: the file's stem.
        data: the file's bytes.
        file: path below the archive, for the places of faults.

    Raises:
        KeyError: if there is no such kind.
    """
    model = KINDS[kind].model
    limit = _RELEASE_BYTES if kind == "release" else MAX_BYTES
    tree = read_yaml(data, file, limit)
    if not tree.whole:
        return Loaded(None, tree.faults, tree)
    faults: list[Fault] = []
    if "id" in tree.data:
        faults.append(Fault("id-in-file", tree.at_key(("id",)), "id", {"id": id}))
    given = {**tree.data, "id": id}
    record: Record | None = None
    members = _members(model)
    # A list, not the mapping: the kind may be a list itself, which has no hash.
    if members and given.get("kind") not in [*members]:
        faults.extend(_kind_faults(members, given, tree))
    else:
        try:
            record = adapter(kind).validate_python(given)
        except ValidationError as errors:
            faults.extend(field_faults(errors, model, tree))
    return _finished(kind, record, faults, tree)


def load_archive_settings(data: bytes, file: str) -> Loaded[Archive]:
    """Return the settings that ``archive.yaml`` holds, or all its faults."""
    return _load_part("archive", Archive, read_yaml(data, file))


def load_addresses(data: bytes, file: str) -> Loaded[Addresses]:
    """Return what ``records/addresses.yaml`` holds, or all its faults."""
    return _load_part("addresses", Addresses, read_yaml(data, file))


P = TypeVar("P", bound=BaseModel)


def _load_part(kind: str, model: type[P], tree: Tree) -> Loaded[P]:
    if not tree.whole:
        return Loaded(None, tree.faults, tree)
    part: P | None = None
    faults: list[Fault] = []
    try:
        part = model.model_validate(tree.data)
    except ValidationError as errors:
        faults.extend(field_faults(errors, model, tree))
    return _finished(kind, part, faults, tree)


def _finished(
    kind: str, record: T | None, faults: Iterable[Fault], tree: Tree
) -> Loaded[T]:
    found = [*tree.faults, *faults]
    complained = {fault.field for fault in found}
    for broken in nonsense(kind, tree.data):
        field = dotted(broken.path)
        if tree.is_faulty(broken.path) or (field and field in complained):
            continue
        place = tree.at_value(broken.path)
        found.append(Fault(broken.code, place, field, dict(broken.values)))
    if any(map(is_fault, found)):
        record = None
    return Loaded(record, tuple(sort_faults(found)), tree)


def _members(model: Any) -> dict[str, type[BaseModel]]:  # noqa: ANN401 - class or union
    """Return the members of a union of records by their ``kind``; none for a class."""
    if isinstance(model, type):
        return {}
    union = get_args(model)[0]
    return {
        get_args(member.model_fields["kind"].annotation)[0]: member
        for member in get_args(union)
    }


def _kind_faults(
    members: Mapping[str, type[BaseModel]], given: Mapping[str, Any], tree: Tree
) -> list[Fault]:
    """Return what is wrong with a record whose ``kind`` is missing or unknown.

    The rest of the record is held against the kind that was probably meant; when
    that cannot be guessed, only what is wrong under every kind is reported.
    """
    word = given.get("kind")
    if word is None:
        values = {"name": "kind", "about": f"one of {', '.join(members)}"}
        first = Fault("missing-field", tree.at_value(()), "kind", values)
    else:
        text = word if isinstance(word, str) else "[…]"
        first = choice_fault(text, [*members], ("kind",), tree)
    meant = guess(word, members).get("guess") if isinstance(word, str) else None
    held_against = [meant] if meant else [*members]
    common: dict[tuple[str, str], Fault] | None = None
    for name in held_against:
        found = _faults_as(members[name], name, given, tree)
        if common is None:
            common = found
        else:
            common = {key: item for key, item in common.items() if key in found}
    reported = [] if tree.is_faulty(("kind",)) else [first]
    return [*reported, *(common or {}).values()]


def _faults_as(
    member: type[BaseModel], kind: str, given: Mapping[str, Any], tree: Tree
) -> dict[tuple[str, str], Fault]:
    try:
        TypeAdapter(member).validate_python({**given, "kind": kind})
    except ValidationError as errors:
        found = field_faults(errors, member, tree)
        return {(fault.field, fault.code): fault for fault in found}
    return {}
