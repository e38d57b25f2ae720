"""Whether there is nothing to do. Imports the standard library only, and little."""


# Paths are plain text here: with pathlib a check would take twice as long.
# ruff: noqa: PTH113, PTH116, PTH118

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import time
from collections.abc import Mapping
from contextlib import suppress

from sitegen.rebuild.scan import Tree, hash_file
from sitegen.rebuild.seal import put_seal, seal_holds

# For annotations only; type checkers know the name without typing.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from pathlib import Path

SCHEMA_VERSION = 2
STATE_FILE = "state.sqlite"
_OLD_ENOUGH_NS = 2_000_000_000


def settings_digest(settings: Mapping[str, object]) -> str:
    """Return the digest of the settings, in hexadecimal.

    Raises:
        ValueError: if one is not JSON data, or is NaN or infinite.
    """
    text = json.dumps(settings, sort_keys=True, allow_nan=False)
    return hashlib.sha256(text.encode()).hexdigest()


def good_mark(settings_digest: str, tool_digest: str) -> str:
    """Return what the state says after a build without failures."""
    return f"{tool_digest} {settings_digest}"


def unchanged(
    state: Path,
    roots: Mapping[str, Path],
    out: Path,
    settings_digest: str,
    tool_digest: str,
) -> bool:
    """Whether a build would find nothing to do.

    False whenever in doubt: no state, a damaged one, one in use, an interrupted build.

    Args:
        state: the folder of the state.
        roots: the engine's roots.
        out: the output folder.
        settings_digest: what ``settings_digest`` gives for the engine's settings.
        tool_digest: the engine's tool digest.
    """
    path = os.path.join(state, STATE_FILE)
    if not os.path.isfile(path):
        return False
    sealed = seal_holds(path)
    try:
        db = sqlite3.connect(path, timeout=0.2, isolation_level=None)
    except sqlite3.Error:
        return False
    try:
        if db.execute("PRAGMA user_version").fetchone() != (SCHEMA_VERSION,):
            return False
        real_out = os.path.realpath(out)
        wanted = {
            "good": good_mark(settings_digest, tool_digest),
            "running": "",
            "out": real_out,
        }
        said = dict(db.execute("SELECT name, value FROM meta"))
        if any(said.get(name) != value for name, value in wanted.items()):
            return False
        trees = trees_of(roots, real_out, os.path.realpath(state))
        return (
            _same_tops(db, trees)
            and _same_outputs(db, real_out)
            and _same_young(db, trees)
        )
    except (sqlite3.Error, OSError, UnicodeDecodeError):
        return False
    finally:
        db.close()
        if sealed and not seal_holds(path):
            # It was this check that wrote; see ``_same_young``.
            with suppress(OSError):
                put_seal(path)


def trees_of(roots: Mapping[str, Path], out: str, state: str) -> dict[str, Tree]:
    """Return the roots to look at, without the folders that the engine writes."""
    return {name: Tree(os.fspath(root), (out, state)) for name, root in roots.items()}


def _same_tops(db: sqlite3.Connection, trees: Mapping[str, Tree]) -> bool:
    for root, top, digest in db.execute("SELECT root, top, digest FROM top"):
        if root not in trees or trees[root].top(top).digest() != digest:
            return False
    return True


def _same_outputs(db: sqlite3.Connection, out: str) -> bool:
    """Whether each file that we wrote is as we left it; others are of no concern.

    The paths are known, and to ask for each is faster than to list the folders.
    """
    place = os.open(out, os.O_RDONLY)
    try:
        for path, *mark in db.execute(
            "SELECT path, size, mtime, ctime, inode FROM output"
        ):
            seen = os.stat(path, dir_fd=place, follow_symlinks=False)
            if [seen.st_size, seen.st_mtime_ns, seen.st_ctime_ns, seen.st_ino] != mark:
                return False
    finally:
        os.close(place)
    return True


def _same_young(db: sqlite3.Connection, trees: Mapping[str, Tree]) -> bool:
    now_ns = time.time_ns()
    settled = []
    for ident, key, digest, mtime, ctime in db.execute(
        "SELECT n.id, n.key, n.digest, l.mtime, l.ctime"
        " FROM leaf l JOIN node n USING (id) WHERE l.racy = 1"
    ).fetchall():
        root, _, path = key.partition("\x1f")[2].partition(":")
        if hash_file(trees[root].where(path)) != digest:
            return False
        if max(mtime, ctime) < now_ns - _OLD_ENOUGH_NS:
            settled.append((ident, mtime, ctime))
    if settled:
        # Only a kindness to the next time; a state in use is left alone.
        try:
            db.execute("BEGIN IMMEDIATE")
            db.executemany(
                "UPDATE leaf SET racy = 0 WHERE id = ? AND mtime = ? AND ctime = ?",
                settled,
            )
            db.execute("COMMIT")
        except sqlite3.OperationalError:
            return True
    return True
