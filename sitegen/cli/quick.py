"""``compile`` with nothing to do, answered with the standard library alone."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

_QUIET = {"-q", "--quiet"}


def nothing_to_do(arguments: Sequence[str]) -> bool:
    """Return whether this is a plain ``compile`` and everything is up to date.

    Anything out of the ordinary is left to the real command.
    """
    if not arguments or arguments[0] != "compile":
        return False
    rest = [word for word in arguments[1:] if word not in _QUIET]
    if any(word.startswith("-") for word in rest) or len(rest) > 1:
        return False
    archive = Path(rest[0] if rest else ".")
    if not (archive / ".sitegen" / "state").is_dir():
        return False
    if not _unchanged(archive):
        return False
    if not _QUIET.intersection(arguments):
        sys.stderr.write("Up to date: nothing to do.\n")
    return True


def _unchanged(archive: Path) -> bool:
    from sitegen.archive_build.folders import (  # noqa: PLC0415 - only for compile
        engine_roots,
        engine_settings,
        published_folders,
    )
    from sitegen.archive_build.tool import tool_digest  # noqa: PLC0415
    from sitegen.rebuild.fastcheck import settings_digest, unchanged  # noqa: PLC0415

    folders = published_folders(archive)
    return unchanged(
        folders.state,
        engine_roots(folders.archive),
        folders.out,
        settings_digest(engine_settings(show_held=False)),
        tool_digest(),
    )
