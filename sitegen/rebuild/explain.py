"""From causes to sentences, and what in a value is different."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from sitegen.rebuild.reports import Cause, CauseKind

SENTENCES: Mapping[CauseKind, str] = MappingProxyType(
    {
        "first_build": "it was built for the first time",
        "dep_changed": "{dep} changed",
        "dep_added": "{dep} appeared",
        "dep_removed": "{dep} is gone",
        "dep_suspect": "{dep} may change",
        "version_changed": "its step is now version {new}, was {old}",
        "tool_changed": "the tool itself changed",
        "output_missing": "{path} was missing from the output folder",
        "output_edited": "{path} in the output folder was not as it was written",
        "failed_before": "it failed the last time",
    }
)

_SMALL_BYTES = 16_384
_FIELDS = 8


def sentence(cause: Cause) -> str:
    """Return a cause in words, to follow "because"."""
    return SENTENCES[cause.kind].format(
        dep=cause.dep, old=cause.old or "none", new=cause.new or "none", path=cause.path
    )


def changed_fields(old: bytes, new: bytes) -> str:
    """Return the paths of what differs between two small values, as a JSON list.

    Empty if either is long or not JSON.
    """
    if max(len(old), len(new)) > _SMALL_BYTES:
        return ""
    try:
        found = _differences(json.loads(old), json.loads(new), "")
        paths = (path for path in found if path)
    except ValueError:
        return ""
    return json.dumps([path for path, _ in zip(paths, range(_FIELDS), strict=False)])


def _differences(old: Any, new: Any, path: str) -> Iterator[str]:  # noqa: ANN401 - JSON
    if isinstance(old, dict) and isinstance(new, dict):
        start = path + "." if path else ""
        for name in sorted(old.keys() | new.keys()):
            if name not in old or name not in new:
                yield start + name
            else:
                yield from _differences(old[name], new[name], start + name)
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for place, (one, other) in enumerate(zip(old, new, strict=True)):
            yield from _differences(one, other, f"{path}[{place}]")
    elif old != new or type(old) is not type(new):
        yield path
