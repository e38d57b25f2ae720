"""The state: what was built from what, kept in SQLite. A cache, never the truth."""

from __future__ import annotations

import sqlite3
import time
from contextlib import suppress
from pathlib import Path
from typing import Literal

from sitegen.rebuild.facts import Facts
from sitegen.rebuild.fastcheck import SCHEMA_VERSION, STATE_FILE
from sitegen.rebuild.leaf_table import LeafTable
from sitegen.rebuild.node_table import NodeTable
from sitegen.rebuild.output_table import OutputTable
from sitegen.rebuild.seal import put_seal, seal_holds
from sitegen.rebuild.value_table import StateDamagedError, ValueTable

# suspect: something below has changed since the trace was last checked.
# stale: must run whatever its dependencies say; holds the cause.
# ran, cause: the last run. moved, moved_cause, fields: the last change of value.
# output.node: NULL claimed by none any longer, -1 about to be written for the first
# time; next: the digest about to be written, so that a kill cannot disown a file.
_SCHEMA = """
CREATE TABLE meta (name TEXT PRIMARY KEY, value TEXT) WITHOUT ROWID;
CREATE TABLE kind (kind TEXT PRIMARY KEY, version TEXT) WITHOUT ROWID;
CREATE TABLE node (
    id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, leaf INTEGER NOT NULL,
    digest BLOB NOT NULL, suspect INTEGER NOT NULL, failed INTEGER NOT NULL,
    stale TEXT, ran INTEGER, cause TEXT, moved INTEGER, moved_cause TEXT, fields TEXT);
CREATE INDEX node_digest ON node (digest);
CREATE INDEX node_suspect ON node (id) WHERE suspect = 1;
CREATE INDEX node_again ON node (id) WHERE stale IS NOT NULL OR failed = 1;
CREATE TABLE dep (
    node INTEGER, seq INTEGER, dep INTEGER, digest BLOB, batch INTEGER,
    PRIMARY KEY (node, seq)) WITHOUT ROWID;
CREATE INDEX dep_dep ON dep (dep, node);
CREATE TABLE leaf (
    id INTEGER PRIMARY KEY, root TEXT, top TEXT, size INTEGER, mtime INTEGER,
    ctime INTEGER, inode INTEGER, racy INTEGER);
CREATE INDEX leaf_top ON leaf (root, top);
CREATE INDEX leaf_racy ON leaf (id) WHERE racy = 1;
CREATE TABLE top (
    root TEXT, top TEXT, digest BLOB, PRIMARY KEY (root, top)) WITHOUT ROWID;
CREATE TABLE output (
    path TEXT PRIMARY KEY, node INTEGER, digest BLOB, next BLOB, size INTEGER,
    mtime INTEGER, ctime INTEGER, inode INTEGER);
CREATE INDEX output_node ON output (node);
CREATE TABLE value (digest BLOB PRIMARY KEY, data BLOB);
"""
# pick: where a walk begins, or what it came to. doubt: what is suspect for as long as
# this connection is open, and for nobody else.
_TEMPORARY = """
CREATE TEMP TABLE pick (id INTEGER PRIMARY KEY);
CREATE TEMP TABLE doubt (id INTEGER PRIMARY KEY);
"""

_COMMIT_EVERY_S = 0.25

_CORRUPT_CODES = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR)


def is_damage(error: sqlite3.Error) -> bool:
    """Whether an SQLite error means a broken file, and not a full disk or the like."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    return (code & 0xFF) in _CORRUPT_CODES


class Store:
    """The state's file, its transactions and its tables.

    Args:
        folder: the folder of the state.
        mend: whether to throw a damaged state away and begin anew; ``fault`` then
            says so.

    Raises:
        StateDamagedError: if it is damaged and not to be mended.
    """

    def __init__(self, folder: Path, *, mend: bool = True) -> None:
        self.fault: Literal["state_damaged", "state_version"] | None = None
        folder.mkdir(parents=True, exist_ok=True)
        self._path = folder / STATE_FILE
        try:
            self._db = self._open()
        except StateDamagedError:
            if not mend:
                raise
            self.fault = "state_damaged"
            discard(folder)
            self._db = self._open()
        (version,) = self._db.execute("PRAGMA user_version").fetchone()
        if version != SCHEMA_VERSION:
            self._db.close()
            if not mend:
                raise StateDamagedError
            self.fault = "state_version"
            discard(folder)
            self._db = self._open()
        self._committed_s = time.monotonic()
        self.facts = Facts(self._db)
        self.nodes = NodeTable(self._db, self.facts)
        self.leaves = LeafTable(self._db, self.nodes)
        self.outputs = OutputTable(self._db)
        self.values = ValueTable(self._db)

    def _open(self) -> sqlite3.Connection:
        sealed = seal_holds(self._path)
        db = sqlite3.connect(self._path, timeout=5.0, isolation_level=None)
        try:
            if not sealed:
                _look_through(db)
            db.execute("PRAGMA journal_mode = WAL")
            db.execute("PRAGMA synchronous = NORMAL")
            (tables,) = db.execute("SELECT count(*) FROM sqlite_schema").fetchone()
            if not tables:
                db.executescript(
                    f"BEGIN; {_SCHEMA} PRAGMA user_version = {SCHEMA_VERSION}; COMMIT"
                )
            db.executescript(_TEMPORARY)
            db.execute("BEGIN")
        except UnicodeDecodeError as error:
            # SQLite tells what is broken in the broken bytes themselves.
            db.close()
            raise StateDamagedError from error
        except sqlite3.Error as error:
            db.close()
            if is_damage(error):
                raise StateDamagedError from error
            raise
        return db

    # Transactions

    def commit(self) -> None:
        """Make everything so far last, and go on."""
        self._db.execute("COMMIT")
        self._db.execute("BEGIN")
        self._committed_s = time.monotonic()

    def commit_now_and_then(self) -> None:
        """Commit if the last time is a while ago; a kill costs no more than that."""
        if time.monotonic() - self._committed_s > _COMMIT_EVERY_S:
            self.commit()

    def close(self, *, keep: bool) -> None:
        """End, with or without what was done since the last commit."""
        try:
            if keep:
                self._db.execute("COMMIT")
        finally:
            # What is not committed goes with the connection.
            self._db.close()
        if keep:
            # Without it the file is looked through next time, which is no harm.
            with suppress(OSError):
                put_seal(self._path)


def _look_through(db: sqlite3.Connection) -> None:
    """Look through the whole file.

    Raises:
        sqlite3.DatabaseError: if anything in it is not as it must be.
    """
    for (said,) in db.execute("PRAGMA integrity_check(1)"):
        if said != "ok":
            raise sqlite3.DatabaseError(said)


def discard(folder: Path) -> None:
    """Delete the state."""
    for ending in ("", "-wal", "-shm", ".seal"):
        (folder / (STATE_FILE + ending)).unlink(missing_ok=True)
