"""Stylesheet, scripts, icons and the charts' own script, named by their bytes."""

from __future__ import annotations

from hashlib import sha256

from sitegen.figures.render import chart_runtime
from sitegen.pages.addresses import asset
from sitegen.pages.assets import (
    CHART_RUNTIME,
    ICONS,
    JOINED,
    KEPT,
    SCRIPTS,
    STYLES,
    STYLESHEET,
    joined,
    name_by_bytes,
)
from sitegen.rebuild import Ask, Output, Step, bytes_codec, json_codec

Outputs = tuple[Output, ...]


def _asset_bytes(ask: Ask, path: str) -> bytes:
    """The archive's own file of that path where it may have one, else the tool's."""
    own = None if path in KEPT else ask.file_or_none(f"archive:own/assets/{path}")
    return own if own is not None else ask.file(f"assets:{path}")


def _asset_file(ask: Ask, name: str) -> bytes:
    """What is published under a name of ``pages/assets.py``."""
    if name == STYLESHEET:
        return joined([ask("asset_bytes", f"css/{part}") for part in STYLES])
    if name in JOINED:
        parts = [ask("asset_bytes", f"js/{part}") for part in JOINED[name]]
        return joined(parts, b";\n")
    if name == CHART_RUNTIME:
        return chart_runtime()
    folder = "icons" if name in ICONS else "js"
    return bytes(ask("asset_bytes", f"{folder}/{name}"))


def _asset_name(ask: Ask, name: str) -> str:
    return name_by_bytes(name, sha256(ask("asset_file", name)).hexdigest())


def _written(ask: Ask, names: tuple[str, ...]) -> Outputs:
    return tuple(
        Output(asset(ask("asset_name", name)).file, ask("asset_file", name))
        for name in names
    )


def _styles(ask: Ask) -> Outputs:
    return _written(ask, (STYLESHEET,))


def _scripts(ask: Ask) -> Outputs:
    return _written(ask, SCRIPTS)


def _icons(ask: Ask) -> Outputs:
    return _written(ask, ICONS)


def _runtime(ask: Ask) -> Outputs:
    return _written(ask, (CHART_RUNTIME,))


def asset_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (
        Step("asset_bytes", _asset_bytes, bytes_codec),
        Step("asset_file", _asset_file, bytes_codec),
        Step("asset_name", _asset_name, json_codec),
        Step("styles", _styles, writes=True),
        Step("scripts", _scripts, writes=True),
        Step("icons", _icons, writes=True),
        Step("runtime", _runtime, writes=True),
    )
