"""Edits of YAML files that keep comments, quotes and order; written whole or not.

A file is read as it is written: every scalar stays the text that it is (``NO``,
``0361``, ``14:45``). Lines that an edit does not touch come back byte for byte, however
their author spaced them.
"""

from __future__ import annotations

import io
import os
import re
import tempfile
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from difflib import SequenceMatcher
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ruamel.yaml import YAML

_BOM = "\ufeff"
# A list or mapping below a key at the margin shows how the file is indented.
_KEY = r"^[^\s#-][^\n]*:[ \t]*(?:#[^\n]*)?\n(?:[ \t]*(?:#[^\n]*)?\n)*"
_LIST = re.compile(rf"{_KEY}( *)- ", re.MULTILINE)
_MAPPING = re.compile(rf"{_KEY}( +)[^\s#-]", re.MULTILINE)


def edited(data: bytes, edit: Callable[[Any], None]) -> bytes:
    """Return a YAML file after an edit of what it holds.

    Args:
        data: the file: UTF-8, one document whose top is a mapping; an empty one is
            taken for an empty mapping.
        edit: changes the mapping in place; values are texts, lists and mappings.
    """
    from ruamel.yaml.comments import CommentedMap

    text = data.decode("utf-8")
    marked, text = text.startswith(_BOM), text.removeprefix(_BOM)
    crlf = "\r\n" in text
    text = text.replace("\r\n", "\n")
    yaml = _as_written(text)
    held = yaml.load(text)
    if held is None:
        # What stands in the file is comments alone: they come first.
        held = CommentedMap()
        edit(held)
        whole = f"{text}{_dumped(yaml, held)}"
    else:
        plain = _dumped(yaml, held)
        edit(held)
        whole = _on_its_lines(yaml, text, plain, _dumped(yaml, held))
    whole = whole.replace("\n", "\r\n") if crlf else whole
    return f"{_BOM if marked else ''}{whole}".encode()


def _dumped(yaml: YAML, held: Any) -> str:  # noqa: ANN401 - plain data
    written = io.StringIO()
    yaml.dump(held, written)
    return written.getvalue()


def _on_its_lines(yaml: YAML, text: str, plain: str, new: str) -> str:
    """Return the new text with every line that an edit left alone as it stood.

    The library spaces what it writes in its own way. What it makes of the file without
    an edit shows which line is which.

    Args:
        yaml: reader and writer.
        text: the file as it stood.
        plain: the same as the library writes it.
        new: the edited file as the library writes it.
    """
    from ruamel.yaml.error import YAMLError

    stood, before, after = (each.split("\n") for each in (text, plain, new))
    if not text.endswith("\n"):
        stood.append("")
    same: dict[int, int] = {}
    for block in SequenceMatcher(
        None, before, after, autojunk=False
    ).get_matching_blocks():
        same |= {block.a + at: block.b + at for at in range(block.size)}
    lines: list[str] = []
    done = 0
    for first, end, start, stop in _matched(before, stood):
        places = [same.get(at) for at in range(first, end)]
        begin = places[0] if places else done
        if begin is None or places != list(range(begin, begin + len(places))):
            # Edited: what became of it follows with the lines up to the next match.
            continue
        lines += [*after[done:begin], *stood[start:stop]]
        done = begin + len(places)
    merged = "\n".join([*lines, *after[done:]])
    try:
        fits = yaml.load(merged) == yaml.load(new)
    except YAMLError:
        # The author indents in two ways, and the new lines in one of them.
        fits = False
    return merged if fits else new


def _matched(plain: list[str], stood: list[str]) -> Iterator[tuple[int, int, int, int]]:
    """Yield which lines of the library's are which of the author's, in order.

    A line for a line, but where an author broke a text differently: there all lines of
    the one go with all of the other.
    """
    if len(plain) == len(stood):
        yield from ((at, at + 1, at, at + 1) for at in range(len(plain)))
        return
    bare = [["".join(line.split()) for line in lines] for lines in (plain, stood)]
    matcher = SequenceMatcher(None, bare[0], bare[1], autojunk=False)
    for tag, first, end, start, stop in matcher.get_opcodes():
        if tag == "equal":
            yield from (
                (first + at, first + at + 1, start + at, start + at + 1)
                for at in range(end - first)
            )
        else:
            yield first, end, start, stop


def with_block(
    data: bytes, key: str, value: Mapping[str, str], before: Container[str]
) -> bytes:
    """Return a YAML file with a new field, a line for each of its values.

    Args:
        data: the file; its top is a mapping without the key, written a line a field.
        key: the new field.
        value: its values.
        before: fields; the new one stands before the first of them that is there, and
            before the comment above that, else at the end.

    Raises:
        LookupError: if the top is written on one line, as a flow mapping.
    """
    text = data.decode("utf-8").removeprefix(_BOM)
    held = _as_written(text).load(text)
    if held.fa.flow_style():
        raise LookupError(key)
    end = "\r\n" if "\r\n" in text else "\n"
    lines = data.decode("utf-8").splitlines(keepends=True)
    places = [held.lc.key(name)[0] for name in held if name in before]
    at = min(places, default=len(lines))
    while places and at and lines[at - 1].lstrip().startswith("#"):
        at -= 1
    if at and not lines[at - 1].endswith("\n"):
        lines[at - 1] += end
    block = [
        f"{key}:{end}",
        *(f"  {name}: {text}{end}" for name, text in value.items()),
    ]
    return "".join([*lines[:at], *block, *lines[at:]]).encode()


def set_scalar(held: Any, path: Iterable[str | int], text: str) -> None:  # noqa: ANN401 - plain data
    """Put a text in the place of a scalar, quoted or folded as that one was.

    Raises:
        LookupError: if nothing stands at the path.
    """
    *parents, last = path
    for key in parents:
        held = held[key]
    before = held[last]
    if not isinstance(before, str):
        held[last] = text
        return
    new = type(before)(text)
    # After a text of several lines the comment that follows hangs on the text itself.
    if hasattr(before, "comment"):
        new.comment = before.comment  # type: ignore[attr-defined]
    held[last] = new


def flow(entry: Mapping[str, str]) -> Any:  # noqa: ANN401 - a mapping of the library
    """Return a mapping that is written on one line."""
    from ruamel.yaml.comments import CommentedMap

    made = CommentedMap(entry)
    made.fa.set_flow_style()
    return made


def block(entry: Mapping[str, str]) -> Any:  # noqa: ANN401 - a mapping of the library
    """Return a mapping that is written a line a value."""
    from ruamel.yaml.comments import CommentedMap

    return CommentedMap(entry)


def is_flow(entry: Any) -> bool:  # noqa: ANN401 - plain data
    """Return whether a mapping or a list is written on one line."""
    return bool(entry.fa.flow_style())


def block_list(held: Any, key: str) -> Any:  # noqa: ANN401 - plain data
    """Return the list under a key, written an item a line; made where there is none."""
    from ruamel.yaml.comments import CommentedSeq

    if not held.get(key):
        held[key] = CommentedSeq()
    held[key].fa.set_block_style()
    return held[key]


def write_files(folder: Path, changes: Iterable[tuple[str, bytes | None]]) -> None:
    """Write files in order, each whole or not at all, and delete others.

    Args:
        folder: the archive.
        changes: path below the folder and bytes; nothing for a file to delete.
    """
    for name, data in changes:
        path = folder / name
        if data is None:
            path.unlink(missing_ok=True)
        else:
            _replace(path, data)


def _replace(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    number, aside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        mode = path.stat().st_mode & 0o7777 if path.exists() else 0o644
        Path(aside).chmod(mode)
        Path(aside).replace(path)
    except BaseException:
        Path(aside).unlink(missing_ok=True)
        raise


def _as_written(text: str) -> YAML:
    """Return a reader and writer for which every plain scalar is a text."""
    from ruamel.yaml import YAML
    from ruamel.yaml.resolver import BaseResolver

    class Untyped(BaseResolver):
        processing_version = (1, 2)

        def __init__(
            self,
            version: object = None,  # noqa: ARG002 - as the library calls it
            loader: object = None,
            loadumper: object = None,
        ) -> None:
            super().__init__(loader or loadumper)

    yaml = YAML(typ="rt")
    yaml.Resolver = Untyped
    yaml.preserve_quotes = True
    yaml.width = 1_000_000
    mapping = _MAPPING.search(text)
    listed = _LIST.search(text)
    offset = len(listed[1]) if listed else 2
    yaml.indent(
        mapping=len(mapping[1]) if mapping else 2, sequence=offset + 2, offset=offset
    )
    return yaml
