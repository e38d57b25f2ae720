"""Where an archive is read, published and remembered. Standard library only."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from sitegen.archive_build.shipped import NAMES, shipped_folder


class Folders(NamedTuple):
    """The three folders of one compile.

    Attributes:
        archive: the tester's folder.
        out: where the site is written.
        state: where the engine remembers what it did; a cache, never the truth.
    """

    archive: Path
    out: Path
    state: Path


def published_folders(archive: Path, out: Path | None = None) -> Folders:
    """Return the folders of ``compile``."""
    return Folders(
        archive, out or archive / "published", archive / ".sitegen" / "state"
    )


def engine_roots(archive: Path) -> dict[str, Path]:
    """Return the engine's named roots: the archive and what ships with the tool."""
    shipped = {name: shipped_folder(name) for name in NAMES}
    return {"archive": archive, **shipped}


def engine_settings(*, show_held: bool) -> Mapping[str, object]:
    """Return the settings that steps may ask for."""
    return {"show_held": show_held}
