"""Writing files whole or not at all, and paths that stay where they belong."""

from __future__ import annotations

import re
import secrets
from pathlib import Path

from sitegen.errors import RebuildError

_LEFTOVER = re.compile(r"part-[0-9a-f]{12}\.tmp~")
_ODD = re.compile(r"[\x00-\x1f\x7f\\\ud800-\udfff]")


def write_atomic(path: str | Path, data: bytes) -> None:
    """Write ``data`` to ``path`` so that a reader sees all of the old or of the new.

    The folder must exist. The temporary file stands beside the target, and goes if
    writing fails.

    Raises:
        OSError: as the system gives it, with a path.
    """
    target = Path(path)
    part = target.with_name(f"part-{secrets.token_hex(6)}.tmp~")
    try:
        with part.open("xb") as stream:
            stream.write(data)
        part.replace(target)
    except BaseException as error:
        part.unlink(missing_ok=True)
        if isinstance(error, OSError) and error.filename is None:
            # A full disk is told of while writing, where nobody knows the name.
            error.filename = str(target)
        raise


def is_leftover(name: str) -> bool:
    """Whether a file name is that of a temporary file of ``write_atomic``."""
    return _LEFTOVER.fullmatch(name) is not None


def check_relative(path: str) -> str:
    """Return ``path`` if it is a plain relative path with forward slashes.

    Raises:
        RebuildError: ``unsafe_path``, if it is empty, absolute, leads upwards, names a
            hidden file, or holds a backslash, a drive, a control character or what
            is not UTF-8.
    """
    odd = _ODD.search(path) is not None or path[1:2] == ":"
    if odd or any(part[:1] in {"", "."} for part in path.split("/")):
        raise RebuildError("unsafe_path", path=ascii(path))
    return path
