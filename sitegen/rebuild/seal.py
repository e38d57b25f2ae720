"""A note of how the state's file was left, to notice when something else wrote to it.

Standard library only. SQLite notices some kinds of damage, and only when it comes to
the place; so a file that is not as it was left is looked through before it is used.
"""

# Paths are plain text here, as in the fast check.
# ruff: noqa: PTH116, PTH123

from __future__ import annotations

import os

_ENDING = ".seal"


def put_seal(path: str | os.PathLike[str]) -> None:
    """Note how the file stands now, closed.

    Raises:
        OSError: as the system gives it.
    """
    with open(os.fspath(path) + _ENDING, "w", encoding="ascii") as stream:
        stream.write(_standing(path))


def seal_holds(path: str | os.PathLike[str]) -> bool:
    """Whether the file stands as it was left."""
    try:
        with open(os.fspath(path) + _ENDING, encoding="ascii") as stream:
            return stream.read() == _standing(path)
    except (OSError, ValueError):
        return False


def _standing(path: str | os.PathLike[str]) -> str:
    status = os.stat(path)
    return f"{status.st_size} {status.st_mtime_ns}"
