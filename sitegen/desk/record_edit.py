"""Edits of YAML files that keep comments, quotes and order; written whole or not.

A file is read as it is written: every scalar stays the text that it is (``NO``,
``0361``, ``14:45``), so that what an edit does not touch comes back unchanged.
"""

from __future__ import annotations

import io
import os
import re
import tempfile
from collections.abc import Callable, Iterable, Mapping
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
        held, head = CommentedMap(), text
    else:
        head = ""
    edit(held)
    written = io.StringIO()
    yaml.dump(held, written)
    whole = f"{head}{written.getvalue()}"
    whole = whole.replace("\n", "\r\n") if crlf else whole
    return f"{_BOM if marked else ''}{whole}".encode()


def set_scalar(held: Any, path: Iterable[str | int], text: str) -> None:  # noqa: ANN401 - plain data
    """Put a text in the place of a scalar, quoted as that one was.

    Raises:
        LookupError: if nothing stands at the path.
    """
    *parents, last = path
    for key in parents:
        held = held[key]
    before = held[last]
    held[last] = type(before)(text) if isinstance(before, str) else text


def flow(entry: Mapping[str, str]) -> Any:  # noqa: ANN401 - a mapping of the library
    """Return a mapping that is written on one line."""
    from ruamel.yaml.comments import CommentedMap

    made = CommentedMap(entry)
    made.fa.set_flow_style()
    return made


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
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
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
