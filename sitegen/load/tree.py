"""A YAML file as plain data: texts, lists and mappings, each with its place.

Read from the parser's events: no scalar is ever resolved (``NO`` stays a text until
its field's type decides), anchors and tags are seen where they stand, and nothing
recurses further than the depth allowed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import yaml

from sitegen.errors import Fault, Place
from sitegen.load.decoded import STAND_IN, decode
from sitegen.load.syntax import syntax_fault

Path = tuple[str | int, ...]
Spot = tuple[int, int]

MAX_BYTES = 2_000_000
_DEEPEST = 24
_BYTES_PER_NODE = 20
_NULLS = frozenset({"~", "null", "Null", "NULL"})


@dataclass(frozen=True, slots=True)
class Tree:
    """What one YAML file says, and where.

    Attributes:
        file: path below the archive.
        data: the file's mapping; empty when the file could not be read.
        keys: line and column of each key, by path of its value.
        values: line and column of each value, by path; ``()`` is the whole.
        nulls: paths of plain ``~`` and ``null``, a word only in a text field.
        faulty: paths whose values have a fault already; the rest is not to be
            complained of twice.
        faults: everything wrong with the YAML itself.
        whole: whether the file could be read to its end.
    """

    file: str
    data: Mapping[str, Any]
    keys: Mapping[Path, Spot]
    values: Mapping[Path, Spot]
    nulls: frozenset[Path]
    faulty: frozenset[Path]
    faults: tuple[Fault, ...]
    whole: bool

    def at_key(self, path: Path) -> Place:
        """Return the place of a key; of its value where it has none."""
        spot = self.keys.get(path)
        return Place(self.file, *spot) if spot else self.at_value(path)

    def at_value(self, path: Path) -> Place:
        """Return the place of a value; of the nearest parent where there is none.

        A list or mapping is where its key is: that is the line which names it.
        """
        while path and path not in self.values:
            path = path[:-1]
        inside = self.data if not path else self.value(path)
        if path in self.keys and isinstance(inside, dict | list):
            return Place(self.file, *self.keys[path])
        return Place(self.file, *self.values.get(path, (0, 0)))

    def value(self, path: Path) -> Any:  # noqa: ANN401 - plain data
        """Return the value at a path, or nothing when there is none."""
        found: Any = self.data
        for part in path:
            if isinstance(found, dict) and part in found:
                found = found[part]
            elif isinstance(found, list) and isinstance(part, int):
                if not 0 <= part < len(found):
                    return None
                found = found[part]
            else:
                return None
        return found

    def is_faulty(self, path: Path) -> bool:
        """Return whether a path, or what holds it, has a fault already."""
        return any(path[:length] in self.faulty for length in range(len(path) + 1))


def dotted(path: Sequence[str | int]) -> str:
    """Return a path as text: ``claims[0].unit``."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            text += f".{part}" if text else part
    return text


def read_yaml(data: bytes, file: str, max_bytes: int = MAX_BYTES) -> Tree:
    """Return what a YAML file says, with the place of every key and value.

    Args:
        data: the file's bytes.
        file: path below the archive, for the places of faults.
        max_bytes: size at which a file is refused unread.
    """
    decoded = decode(data, file, max_bytes)
    if decoded.text is None:
        return _unread(file, decoded.faults)
    reader = _Reader(decoded.text, file, max_bytes // _BYTES_PER_NODE)
    reader.faults.extend(decoded.faults)
    try:
        found = reader.document()
    except _Stopped:
        return _unread(file, tuple(reader.faults))
    except yaml.YAMLError as error:
        reader.faults.append(syntax_fault(error, decoded.text, file))
        return _unread(file, tuple(reader.faults))
    return Tree(
        file=file,
        data=found,
        keys=reader.keys,
        values=reader.values,
        nulls=frozenset(reader.nulls),
        faulty=frozenset(reader.faulty),
        faults=tuple(reader.faults),
        whole=True,
    )


def _unread(file: str, faults: tuple[Fault, ...]) -> Tree:
    return Tree(file, {}, {}, {}, frozenset(), frozenset(), faults, whole=False)


class _Stopped(Exception):
    """The file cannot be read on; the reason stands in the reader's faults."""


class _Reader:
    """Builds plain data from the events of one file."""

    def __init__(self, text: str, file: str, max_nodes: int) -> None:
        self._events = yaml.CSafeLoader(text).get_event
        self._file = file
        self._room = max_nodes
        self.keys: dict[Path, Spot] = {}
        self.values: dict[Path, Spot] = {}
        self.nulls: set[Path] = set()
        self.faulty: set[Path] = set()
        self.faults: list[Fault] = []

    def document(self) -> dict[str, Any]:
        """Return the one mapping that the file must be."""
        self._next()  # start of the stream
        if isinstance(self._next(), yaml.StreamEndEvent):
            self._stop("empty-file", Place(self._file))
        first = self._next()
        if isinstance(first, yaml.ScalarEvent) and not first.value:
            self._stop("empty-file", Place(self._file))
        if not isinstance(first, yaml.MappingStartEvent):
            self._stop("not-fields", self._place(first))
        found: dict[str, Any] = self._node(first, (), 0)
        self._next()  # end of the document
        after = self._next()
        if not isinstance(after, yaml.StreamEndEvent):
            self._stop("several-documents", self._place(after))
        return found

    def _next(self) -> yaml.Event:
        event = self._events()
        # The parser gives nothing only after the end, where nobody asks any more.
        return event if event is not None else yaml.StreamEndEvent()

    def _node(self, event: yaml.Event, path: Path, depth: int) -> Any:  # noqa: ANN401
        self.values[path] = _spot(event)
        self._take_room(event)
        anchor, tag = _marks(event)
        if anchor:
            self._refuse("alias", event, path, {"name": anchor})
        if tag:
            self._refuse("tag", event, path, {"tag": tag})
        if isinstance(event, yaml.AliasEvent):
            return ""
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event, path)
        if depth == _DEEPEST:
            self._stop("too-deep", self._place(event))
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(path, depth)
        return self._list(path, depth)

    def _take_room(self, event: yaml.Event) -> None:
        self._room -= 1
        if self._room < 0:
            self._stop("too-many-values", self._place(event))

    def _scalar(self, event: yaml.ScalarEvent, path: Path) -> str:
        text: str = event.value
        if not event.style:
            if not text and path not in self.faulty:
                self.faulty.add(path)
                place = Place(self._file, *self.keys.get(path, self.values[path]))
                self.faults.append(Fault("empty-value", place, dotted(path)))
            elif text in _NULLS:
                self.nulls.add(path)
        if STAND_IN in text:
            self.faulty.add(path)
        return text

    def _list(self, path: Path, depth: int) -> list[Any]:
        found: list[Any] = []
        while True:
            event = self._next()
            if isinstance(event, yaml.SequenceEndEvent):
                return found
            found.append(self._node(event, (*path, len(found)), depth + 1))

    def _mapping(self, path: Path, depth: int) -> dict[str, Any]:
        found: dict[str, Any] = {}
        while True:
            event = self._next()
            if isinstance(event, yaml.MappingEndEvent):
                return found
            key = self._key(event, path, found)
            value = self._next()
            if key is None:
                self._skip(value)
                continue
            inner = (*path, key)
            self.keys[inner] = _spot(event)
            found[key] = self._node(value, inner, depth + 1)

    def _key(
        self, event: yaml.Event, path: Path, found: Mapping[str, Any]
    ) -> str | None:
        """Return a key, or nothing when it has a fault that was reported."""
        self._take_room(event)
        if isinstance(event, yaml.AliasEvent):
            values = {"name": event.anchor or ""}
            place = self._place(event)
            self.faults.append(Fault("alias", place, dotted(path), values))
            return None
        if not isinstance(event, yaml.ScalarEvent):
            self._skip(event)
            place = self._place(event)
            self.faults.append(Fault("key-not-a-text", place, dotted(path)))
            return None
        key: str = event.value
        anchor, tag = _marks(event)
        if key and key not in found and not anchor and not tag:
            return key
        place = self._place(event)
        inner = dotted((*path, key))
        if anchor:
            self.faults.append(Fault("alias", place, inner, {"name": anchor}))
        if tag:
            self.faults.append(Fault("tag", place, inner, {"tag": tag}))
        if not key:
            self.faults.append(Fault("key-missing", place, dotted(path)))
            return None
        if key in found:
            first = self.keys[(*path, key)]
            values = {"key": key, "first": str(first[0]), "second": str(place.line)}
            self.faults.append(Fault("key-twice", place, inner, values))
            return None
        return key

    def _skip(self, event: yaml.Event) -> None:
        """Read past a value, however deep it is."""
        depth = 0
        while True:
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
            elif isinstance(event, yaml.CollectionEndEvent):
                depth -= 1
            if depth == 0:
                return
            event = self._next()

    def _refuse(
        self, code: str, event: yaml.Event, path: Path, values: dict[str, str]
    ) -> None:
        if path:  # the whole is still worth looking at
            self.faulty.add(path)
        self.faults.append(Fault(code, self._place(event), dotted(path), values))

    def _stop(self, code: str, place: Place) -> None:
        self.faults.append(Fault(code, place))
        raise _Stopped

    def _place(self, event: yaml.Event) -> Place:
        return Place(self._file, *_spot(event))


def _spot(event: yaml.Event) -> Spot:
    mark = event.start_mark
    return (mark.line + 1, mark.column + 1) if mark else (0, 0)


def _marks(event: yaml.Event) -> tuple[str, str]:
    """Return the anchor and the tag that stand at a node, each ``""`` for none."""
    anchor, tag = "", ""
    if isinstance(event, yaml.NodeEvent):
        anchor = event.anchor or ""
    if isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent):
        tag = event.tag or ""
    return anchor, tag.replace("tag:yaml.org,2002:", "!!")
