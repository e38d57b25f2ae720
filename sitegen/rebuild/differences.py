"""What in a value is different."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any

from sitegen.rebuild.reports import Difference

_NOT_LONG_BYTES = 65_536
_MOST = 8
_SHORT = 80
_MISSING = object()


def changed_fields(old: bytes, new: bytes) -> str:
    """Return what differs between two values, in the form in which it is stored.

    Empty if either is long or not JSON.
    """
    if max(len(old), len(new)) > _NOT_LONG_BYTES:
        return ""
    try:
        found = _differences(json.loads(old), json.loads(new), "")
        return stored_differences(found)
    except ValueError:
        return ""


def stored_differences(differences: Iterable[Difference]) -> str:
    """Return the first few differences as text."""
    return json.dumps([[d.path, d.old, d.new] for d in islice(differences, _MOST)])


def read_differences(text: str) -> tuple[Difference, ...]:
    """Return the differences that were stored."""
    return tuple(Difference(*each) for each in json.loads(text)) if text else ()


def _differences(old: Any, new: Any, path: str) -> Iterator[Difference]:  # noqa: ANN401 - JSON
    if isinstance(old, dict) and isinstance(new, dict):
        start = path + "." if path else ""
        for name in sorted(old.keys() | new.keys()):
            one, other = old.get(name, _MISSING), new.get(name, _MISSING)
            yield from _differences(one, other, start + name)
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for place, (one, other) in enumerate(zip(old, new, strict=True)):
            yield from _differences(one, other, f"{path}[{place}]")
    elif old != new or type(old) is not type(new):
        yield Difference(path, _said(old), _said(new))


def _said(value: Any) -> str:  # noqa: ANN401 - JSON
    if value is _MISSING:
        return ""
    if isinstance(value, list):
        return f"[{len(value)}]"
    if isinstance(value, dict):
        return f"{{{len(value)}}}"
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= _SHORT else text[: _SHORT - 1] + "…"
