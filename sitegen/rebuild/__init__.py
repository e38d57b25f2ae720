"""The incremental rebuild engine; it knows nothing of what is built with it.

The names below are loaded when first used, so that ``rebuild.fastcheck`` can be
imported without the rest.
"""

from __future__ import annotations

# Spelled as a constant so that typing need not be imported; type checkers know it.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from sitegen.rebuild.codecs import Codec, bytes_codec, json_codec, text_codec
    from sitegen.rebuild.decoded import Values
    from sitegen.rebuild.engine import Engine
    from sitegen.rebuild.files import write_atomic
    from sitegen.rebuild.keys import Key
    from sitegen.rebuild.lock import Holder
    from sitegen.rebuild.reports import (
        BuildReport,
        Cause,
        Difference,
        Failure,
        HeldBack,
        Hop,
        Note,
        Part,
        Progress,
    )
    from sitegen.rebuild.session import First
    from sitegen.rebuild.steps import Ask, Output, Step, Value

__all__ = [
    "Ask",
    "BuildReport",
    "Cause",
    "Codec",
    "Difference",
    "Engine",
    "Failure",
    "First",
    "HeldBack",
    "Holder",
    "Hop",
    "Key",
    "Note",
    "Output",
    "Part",
    "Progress",
    "Step",
    "Value",
    "Values",
    "bytes_codec",
    "json_codec",
    "text_codec",
    "write_atomic",
]

_REPORTS = (
    "BuildReport",
    "Cause",
    "Difference",
    "Failure",
    "HeldBack",
    "Hop",
    "Note",
    "Part",
)


def __getattr__(name: str) -> object:
    homes = {
        **dict.fromkeys(("Codec", "bytes_codec", "json_codec", "text_codec"), "codecs"),
        **dict.fromkeys((*_REPORTS, "Progress"), "reports"),
        **dict.fromkeys(("Ask", "Output", "Step", "Value"), "steps"),
        "Engine": "engine",
        "First": "session",
        "Holder": "lock",
        "Key": "keys",
        "Values": "decoded",
        "write_atomic": "files",
    }
    if name not in homes:
        message = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(message)
    from importlib import import_module  # noqa: PLC0415 - not in the fast path

    return getattr(import_module(f"{__name__}.{homes[name]}"), name)
