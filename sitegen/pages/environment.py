"""The layouts' environment: Jinja2 with nothing but what it is handed.

Layouts come from a callable, never from the file system. Everything is escaped, a
name that does not exist is an error, and which layouts a layout rests on is known
without rendering it, so that the engine can record it: rendering alone would miss
what a cached import pulls in.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from sitegen.errors import SitegenError

if TYPE_CHECKING:
    from jinja2 import BytecodeCache, Environment
    from jinja2.bccache import Bucket
    from markupsafe import Markup

Read = Callable[[str], str | None]
"""Name of a layout to its source, or nothing where there is none."""

# What could end a script element or begin a comment in it, and what old engines take
# for the end of a line: never literally inside a script element.
_SCRIPT_ESCAPES = (
    ("<", "\\u003c"),
    (">", "\\u003e"),
    ("&", "\\u0026"),
    ("\u2028", "\\u2028"),
    ("\u2029", "\\u2029"),
)


class LayoutFault(SitegenError):
    """A layout cannot be used.

    Attributes:
        code: ``missing`` (it names one that is not there), ``dynamic`` (it names one
            by an expression), ``encoding``, ``syntax`` or ``failed`` (it asked for
            what the page does not have).
        name: name of the layout.
        line: line in it, counted from 1; 0 when it is not known.
        detail: what was wrong there, in the template engine's words, or the name of
            the layout that is missing; may be empty.
    """

    def __init__(self, code: str, name: str, line: int = 0, detail: str = "") -> None:
        super().__init__(f"{code}: {name}:{line} {detail}".rstrip())
        self.code = code
        self.name = name
        self.line = line
        self.detail = detail


def compiled_layouts() -> BytecodeCache:
    """Return a place where environments share compiled layouts, by their source."""
    from jinja2 import BytecodeCache  # noqa: PLC0415 - only where layouts are rendered

    class Kept(BytecodeCache):
        """Compiled layouts in memory."""

        def __init__(self) -> None:
            self._kept: dict[str, bytes] = {}

        def load_bytecode(self, bucket: Bucket) -> None:
            if bucket.key in self._kept:
                # A layout that has changed meanwhile is noticed by its checksum.
                bucket.bytecode_from_string(self._kept[bucket.key])

        def dump_bytecode(self, bucket: Bucket) -> None:
            self._kept[bucket.key] = bucket.bytecode_to_string()

    return Kept()


def environment(read: Read, compiled: BytecodeCache | None = None) -> Environment:
    """Return an environment that takes its layouts from ``read``.

    Compiled layouts are kept: make a new environment when a layout has changed.

    Args:
        read: name of a layout to its source, or nothing where there is none; an
            archive's own layouts come first there.
        compiled: what environments share, or nothing.
    """
    from jinja2 import Environment, FunctionLoader, StrictUndefined  # noqa: PLC0415

    def loaded(name: str) -> tuple[str, str, None] | None:
        source = read(name)
        # The name stands for the file's, so that errors say which layout they are in.
        return None if source is None else (source, name, None)

    made = Environment(
        loader=FunctionLoader(loaded),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        cache_size=-1,
        bytecode_cache=compiled,
    )
    made.filters["script_json"] = script_json
    made.filters["script_text"] = script_text
    return made


def script_json(value: Any) -> Markup:  # noqa: ANN401 - JSON has no narrower type
    """Return a value as JSON that is inert inside a script element.

    Raises:
        ValueError: if the value holds NaN or an infinity.
    """
    text = json.dumps(
        value,
        ensure_ascii=False,
        sort_keys=True,
        separators=(",", ":"),
        allow_nan=False,
    )
    return script_text(text)


def script_text(text: str) -> Markup:
    """Return JSON text so that it is inert inside a script element."""
    from markupsafe import Markup  # noqa: PLC0415 - only where layouts are rendered

    for sign, escape in _SCRIPT_ESCAPES:
        text = text.replace(sign, escape)
    return Markup(text)  # noqa: S704 - escaped just here


def closure(name: str, read: Read) -> tuple[str, ...]:
    """Return a layout and all layouts that it rests on, sorted.

    A name that is asked for but does not exist is part of the answer where the
    layout allows it to be missing: its absence is something rested on.

    Args:
        name: name of the layout.
        read: name of a layout to its source, or nothing where there is none.

    Raises:
        LayoutFault: ``missing``, ``syntax``, or ``dynamic`` where a layout names
            another by an expression.
    """
    from jinja2 import Environment  # noqa: PLC0415 - only where layouts are read

    bare = Environment(autoescape=True)
    found: set[str] = set()
    waiting = [(name, False, name, 0)]
    while waiting:
        asked, optional, by, line = waiting.pop()
        if asked in found:
            continue
        source = read(asked)
        if source is None and not optional:
            raise LayoutFault("missing", by, line, asked)
        found.add(asked)
        if source is not None:
            named = _named(bare, asked, source)
            waiting += [(other, may, asked, at) for other, may, at in named]
    return tuple(sorted(found))


def _named(bare: Environment, name: str, source: str) -> list[tuple[str, bool, int]]:
    """Return the layouts that a source names: may each be missing, and its line."""
    from jinja2 import TemplateSyntaxError, nodes  # noqa: PLC0415
    from jinja2.meta import find_referenced_templates  # noqa: PLC0415

    try:
        tree = bare.parse(source)
    except TemplateSyntaxError as error:
        raise LayoutFault("syntax", name, error.lineno, error.message or "") from error
    found: list[tuple[str, bool, int]] = []
    kinds = (nodes.Extends, nodes.FromImport, nodes.Import, nodes.Include)
    for node in tree.find_all(kinds):
        # The library's own function decides what one statement names.
        alone = nodes.Template([node], lineno=node.lineno)
        asked = getattr(node, "template", None)
        several = not isinstance(getattr(asked, "value", None), str)
        optional = several or bool(getattr(node, "ignore_missing", False))
        for other in find_referenced_templates(alone):
            if other is None:
                raise LayoutFault("dynamic", name, node.lineno)
            found.append((other, optional, node.lineno))
    return found
