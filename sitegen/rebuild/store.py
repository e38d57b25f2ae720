"""The state: what was built from what, kept in SQLite. A cache, never the truth."""

from __future__ import annotations

import sqlite3
import time
import zlib
from collections.abc import Iterable, Sequence
from hashlib import sha256
from pathlib import Path
from typing import Literal, NamedTuple

from sitegen.rebuild.fastcheck import SCHEMA_VERSION, STATE_FILE
from sitegen.rebuild.keys import Key, key_text
from sitegen.rebuild.reports import Cause
from sitegen.rebuild.scan import Print

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
CREATE TEMP TABLE pick (id INTEGER PRIMARY KEY);
"""
_TEMPORARY = "CREATE TEMP TABLE IF NOT EXISTS pick (id INTEGER PRIMARY KEY)"

# A kind's keys are itself, or go on with the joint, the character before the space.
_OF_KIND = "key >= ?1 AND key < ?1 || char(32)"

_COMMIT_EVERY_S = 0.25
_PACK_FROM_BYTES = 2048

_CORRUPT_CODES = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR)


class StateDamagedError(Exception):
    """The state cannot be read; it is to be thrown away."""


def is_damage(error: sqlite3.Error) -> bool:
    """Whether an SQLite error means a broken file, and not a full disk or the like."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    return (code & 0xFF) in _CORRUPT_CODES


class Row(NamedTuple):
    """A node as stored."""

    id: int
    leaf: int
    digest: bytes
    suspect: int
    failed: int
    stale: str | None


class Edge(NamedTuple):
    """A recorded dependency, and how the node at its other end stands now."""

    id: int
    then: bytes
    batch: int
    key: str
    leaf: int
    now: bytes
    unsettled: int


class OutputRow(NamedTuple):
    """A file that we wrote."""

    path: str
    node: int | None
    digest: bytes
    next: bytes | None
    mark: Print


class Story(NamedTuple):
    """When and why a node last ran, and when, why and where its value last changed."""

    id: int
    ran: int
    cause: str
    moved: int
    moved_cause: str
    fields: str


class Store:
    """The state's tables; every method is one or a few statements."""

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
        self._ids: dict[str, int] = {}

    def _open(self) -> sqlite3.Connection:
        db = sqlite3.connect(self._path, timeout=5.0, isolation_level=None)
        try:
            db.execute("PRAGMA journal_mode = WAL")
            db.execute("PRAGMA synchronous = NORMAL")
            (tables,) = db.execute("SELECT count(*) FROM sqlite_schema").fetchone()
            if not tables:
                db.executescript(
                    f"BEGIN; {_SCHEMA} PRAGMA user_version = {SCHEMA_VERSION}; COMMIT"
                )
            db.execute(_TEMPORARY)
            db.execute("BEGIN")
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
            self._db.execute("COMMIT" if keep else "ROLLBACK")
        finally:
            self._db.close()

    # Facts about the whole

    def meta(self, name: str) -> str:
        """Return a fact, or ``""``."""
        row = self._db.execute(
            "SELECT value FROM meta WHERE name = ?", (name,)
        ).fetchone()
        return str(row[0]) if row else ""

    def set_meta(self, **facts: str) -> None:
        """Store facts."""
        self._db.executemany("REPLACE INTO meta VALUES (?, ?)", facts.items())

    def take_versions(self, tool: str, versions: dict[str, str]) -> None:
        """Mark what must run again because its code is another."""
        if self.meta("tool") != tool:
            cause = Cause("tool_changed", old=self.meta("tool"), new=tool)
            self._mark_stale("leaf = 0", cause)
            self.set_meta(tool=tool)
        known = dict(self._db.execute("SELECT kind, version FROM kind"))
        for kind in known.keys() | versions.keys():
            old, new = known.get(kind, ""), versions.get(kind, "")
            if old != new:
                cause = Cause("version_changed", old=old, new=new)
                self._mark_stale(_OF_KIND, cause, kind)
        if known != versions:
            self._db.execute("DELETE FROM kind")
            self._db.executemany("INSERT INTO kind VALUES (?, ?)", versions.items())

    def _mark_stale(self, where: str, cause: Cause, *values: str) -> None:
        # ``where`` is one of the constants above; the values are bound.
        sql = f"UPDATE node SET stale = ?{len(values) + 1} WHERE ({where})"  # noqa: S608
        self._db.execute(sql + " AND stale IS NULL", (*values, cause.to_text()))

    def mark_stale(self, ids: Iterable[tuple[int, Cause]]) -> None:
        """Mark nodes that must run again."""
        self._db.executemany(
            "UPDATE node SET stale = ? WHERE id = ? AND stale IS NULL",
            ((cause.to_text(), ident) for ident, cause in ids),
        )

    # Nodes

    def node(self, key: Key) -> Row | None:
        """Return a node."""
        return self.by_text(key_text(key))

    def by_text(self, text: str) -> Row | None:
        """Return a node by its key's text."""
        row = self._db.execute(
            "SELECT id, leaf, digest, suspect, failed, stale FROM node WHERE key = ?",
            (text,),
        ).fetchone()
        return Row(*row) if row else None

    def text_of(self, ident: int) -> str:
        """Return a node's key's text."""
        row = self._db.execute("SELECT key FROM node WHERE id = ?", (ident,)).fetchone()
        return str(row[0])

    def settled(self, kinds: Iterable[str]) -> dict[str, tuple[int, bytes]]:
        """Return all nodes of some kinds that need no check, by their key's text."""
        found: dict[str, tuple[int, bytes]] = {}
        for kind in kinds:
            rows = self._db.execute(
                "SELECT key, id, digest FROM node WHERE suspect = 0 AND failed = 0"
                " AND stale IS NULL AND key >= ?1 AND key < ?1 || char(32)",
                (kind,),
            )
            found.update((key, (ident, digest)) for key, ident, digest in rows)
        return found

    def edges(self, ident: int) -> list[Edge]:
        """Return a node's dependencies in the order in which it asked."""
        rows = self._db.execute(
            "SELECT d.dep, d.digest, d.batch, n.key, n.leaf, n.digest,"
            " n.suspect OR n.failed OR n.stale IS NOT NULL"
            " FROM dep d JOIN node n ON n.id = d.dep WHERE d.node = ? ORDER BY d.seq",
            (ident,),
        )
        return [Edge(*row) for row in rows]

    def settle(self, ident: int) -> None:
        """Note that a node's trace holds."""
        self._db.execute("UPDATE node SET suspect = 0 WHERE id = ?", (ident,))

    def suspect_from(self, leaves: Iterable[int]) -> bool:
        """Mark all that rests on these leaves or on nodes that must run again.

        Returns:
            Whether there was anything to start from.
        """
        db = self._db
        db.execute("DELETE FROM pick")
        db.execute(
            "INSERT INTO pick SELECT id FROM node WHERE stale IS NOT NULL OR failed = 1"
        )
        db.executemany("INSERT OR IGNORE INTO pick VALUES (?)", ((i,) for i in leaves))
        db.execute(
            "UPDATE node SET suspect = 1 WHERE leaf = 0 AND suspect = 0 AND id IN ("
            "WITH RECURSIVE above (id) AS (SELECT id FROM pick UNION"
            " SELECT dep.node FROM above JOIN dep ON dep.dep = above.id)"
            " SELECT id FROM above)"
        )
        row = db.execute("SELECT EXISTS (SELECT 1 FROM node WHERE suspect = 1)")
        return bool(row.fetchone()[0])

    def save(
        self,
        key: Key,
        digest: bytes,
        deps: Sequence[tuple[int, bytes, int]],
        cause: Cause,
        build: int,
        *,
        failed: bool,
        fields: str = "",
    ) -> int:
        """Store a node that has just run, with its trace; return its number."""
        text = key_text(key)
        why = cause.to_text()
        old = self.by_text(text)
        if old is None:
            ident = self._insert(text, 0, digest)
            before: list[int] = []
        else:
            ident = old.id
            rows = self._db.execute("SELECT dep FROM dep WHERE node = ?", (ident,))
            before = [dep for (dep,) in rows]
            self._db.execute("DELETE FROM dep WHERE node = ?", (ident,))
        self._db.execute(
            "UPDATE node SET digest = ?, suspect = 0, failed = ?, stale = NULL,"
            " ran = ?, cause = ? WHERE id = ?",
            (digest, failed, build, why, ident),
        )
        if old is None or old.digest != digest:
            self._db.execute(
                "UPDATE node SET moved = ?, moved_cause = ?, fields = ? WHERE id = ?",
                (build, why, fields, ident),
            )
        self._db.executemany(
            "INSERT INTO dep VALUES (?, ?, ?, ?, ?)",
            ((ident, seq, *dep) for seq, dep in enumerate(deps)),
        )
        if sorted(before) != sorted(dep for dep, _, _ in deps) or old is None:
            self.set_meta(untidy="1")
        return ident

    def _insert(self, text: str, leaf: int, digest: bytes) -> int:
        cursor = self._db.execute(
            "INSERT INTO node (key, leaf, digest, suspect, failed)"
            " VALUES (?, ?, ?, 0, 0)",
            (text, leaf, digest),
        )
        return int(cursor.lastrowid or 0)

    # Values

    def value(self, digest: bytes) -> bytes:
        """Return a value's bytes.

        Raises:
            StateDamagedError: if they are not there or not what they were.
        """
        row = self._db.execute(
            "SELECT data FROM value WHERE digest = ?", (digest,)
        ).fetchone()
        if row is None:
            raise StateDamagedError
        data = bytes(row[0])
        try:
            data = zlib.decompress(data[1:]) if data[:1] == b"z" else data[1:]
        except zlib.error as error:
            raise StateDamagedError from error
        if sha256(data).digest() != digest:
            raise StateDamagedError
        return data

    def keep_value(self, digest: bytes, data: bytes) -> None:
        """Store a value's bytes, long ones packed."""
        if len(data) >= _PACK_FROM_BYTES:
            packed = b"z" + zlib.compress(data, 1)
        else:
            packed = b"-" + data
        self._db.execute("INSERT OR IGNORE INTO value VALUES (?, ?)", (digest, packed))

    def drop_values(self, digests: Iterable[bytes]) -> None:
        """Delete those of the values that no node has any longer."""
        self._db.executemany(
            "DELETE FROM value WHERE digest = ?1"
            " AND NOT EXISTS (SELECT 1 FROM node WHERE node.digest = ?1)",
            ((digest,) for digest in digests),
        )

    # Leaves

    def leaves(self, root: str, top: str) -> list[tuple[int, str, bytes, Print, int]]:
        """Return number, key text, digest, fingerprint and youth of a top's leaves."""
        rows = self._db.execute(
            "SELECT n.id, n.key, n.digest, l.size, l.mtime, l.ctime, l.inode, l.racy"
            " FROM leaf l JOIN node n USING (id) WHERE l.root = ? AND l.top = ?",
            (root, top),
        )
        return [(i, k, d, (s, m, c, n), r) for i, k, d, s, m, c, n, r in rows]

    def young_tops(self) -> set[tuple[str, str]]:
        """Return the tops in which a leaf must be read again."""
        return set(self._db.execute("SELECT root, top FROM leaf WHERE racy = 1"))

    def tops(self) -> dict[tuple[str, str], bytes]:
        """Return the digests of all tops looked at, by root and top."""
        rows = self._db.execute("SELECT root, top, digest FROM top")
        return {(root, top): digest for root, top, digest in rows}

    def set_top(self, root: str, top: str, digest: bytes | None) -> None:
        """Store the digest of a top; None forgets it."""
        if digest is None:
            self._db.execute("DELETE FROM top WHERE root = ? AND top = ?", (root, top))
        else:
            self._db.execute("REPLACE INTO top VALUES (?, ?, ?)", (root, top, digest))

    def add_leaf(
        self, text: str, digest: bytes, place: tuple[str, str], mark: Print, racy: bool
    ) -> int:
        """Store a new leaf, with its root and top; return its number."""
        ident = self._insert(text, 1, digest)
        self._db.execute(
            "INSERT INTO leaf VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (ident, *place, *mark, racy),
        )
        return ident

    def set_leaf(self, ident: int, digest: bytes, mark: Print, racy: bool) -> None:
        """Store what a leaf is now."""
        self._db.execute("UPDATE node SET digest = ? WHERE id = ?", (digest, ident))
        self._db.execute(
            "UPDATE leaf SET size = ?, mtime = ?, ctime = ?, inode = ?, racy = ?"
            " WHERE id = ?",
            (*mark, racy, ident),
        )

    def note_change(self, ident: int, build: int, fields: str) -> None:
        """Note the build in which a leaf was seen to have changed."""
        self._db.execute(
            "UPDATE node SET moved = ?, fields = ? WHERE id = ?", (build, fields, ident)
        )

    # Outputs

    def output(self, path: str) -> OutputRow | None:
        """Return a file that we wrote."""
        return next(iter(self._outputs("path = ?", path)), None)

    def outputs_of(self, node: int) -> list[OutputRow]:
        """Return a node's files."""
        return self._outputs("node = ?", node)

    def unclaimed(self) -> list[OutputRow]:
        """Return the files that no node claims any longer."""
        return self._outputs("node IS NULL OR node = -1")

    def outputs_below(self, top: str) -> list[OutputRow]:
        """Return the files in one top folder."""
        if top:
            return self._outputs("path > ?1 || '/' AND path < ?1 || '0'", top)
        return self._outputs("path NOT LIKE '%/%'")

    def all_outputs(self) -> list[OutputRow]:
        """Return all files, by path."""
        return self._outputs("1")

    def _outputs(self, where: str, *values: str | int) -> list[OutputRow]:
        sql = "SELECT * FROM output WHERE " + where + " ORDER BY path"  # noqa: S608
        return [
            OutputRow(row[0], row[1], row[2], row[3], row[4:])
            for row in self._db.execute(sql, values)
        ]

    def manifest(self) -> str:
        """Return digest and path of each of our files, a line each."""
        rows = self._db.execute(
            "SELECT lower(hex(digest)) || '  ' || path || char(10) FROM output"
            " WHERE node IS NOT -1 ORDER BY path"
        )
        return "".join(line for (line,) in rows)

    def count_outputs(self) -> int:
        """Return the number of files that stand through us."""
        return int(self._db.execute("SELECT count(*) FROM output").fetchone()[0])

    def set_output(
        self, path: str, node: int | None, digest: bytes, mark: Print
    ) -> None:
        """Store a file that has been written."""
        self._db.execute(
            "REPLACE INTO output VALUES (?, ?, ?, NULL, ?, ?, ?, ?)",
            (path, node, digest, *mark),
        )

    def intend(self, path: str, digest: bytes) -> None:
        """Store that a file is about to be written."""
        self._db.execute(
            "INSERT INTO output VALUES (?1, -1, x'', ?2, 0, 0, 0, 0)"
            " ON CONFLICT DO UPDATE SET next = ?2",
            (path, digest),
        )

    def claim(self, path: str, node: int | None) -> None:
        """Store whose file it is."""
        self._db.execute("UPDATE output SET node = ? WHERE path = ?", (node, path))

    def forget_output(self, path: str) -> None:
        """Forget a file."""
        self._db.execute("DELETE FROM output WHERE path = ?", (path,))

    # Tidying

    def reach(self, roots: Iterable[Key]) -> None:
        """Put all that these nodes rest on, and themselves, into ``pick``."""
        self._db.execute("DELETE FROM pick")
        texts = ((key_text(key),) for key in roots)
        self._db.executemany(
            "INSERT OR IGNORE INTO pick SELECT id FROM node WHERE key = ?", texts
        )
        self._db.execute(
            "INSERT OR IGNORE INTO pick"
            " WITH RECURSIVE below (id) AS (SELECT id FROM pick UNION"
            " SELECT dep.dep FROM below JOIN dep ON dep.node = below.id)"
            " SELECT id FROM below"
        )

    def reached(self, ident: int) -> bool:
        """Whether the last ``reach`` came to a node."""
        row = self._db.execute("SELECT 1 FROM pick WHERE id = ?", (ident,)).fetchone()
        return row is not None

    def drop_unreached(self) -> None:
        """Forget all that the last ``reach`` did not come to."""
        for sql in (
            "DELETE FROM node WHERE id NOT IN (SELECT id FROM pick)",
            "DELETE FROM dep WHERE node NOT IN (SELECT id FROM pick)",
            "DELETE FROM leaf WHERE id NOT IN (SELECT id FROM pick)",
            "DELETE FROM top WHERE root != '' AND NOT EXISTS (SELECT 1 FROM leaf"
            " WHERE leaf.root = top.root AND leaf.top IN (top.top, '*'))",
            "UPDATE output SET node = NULL"
            " WHERE node > 0 AND node NOT IN (SELECT id FROM pick)",
            "DELETE FROM value WHERE digest NOT IN (SELECT digest FROM node)",
        ):
            self._db.execute(sql)

    # Telling why

    def story(self, key: Key) -> Story | None:
        """Return what is remembered of a node."""
        row = self._db.execute(
            "SELECT id, coalesce(ran, 0), coalesce(cause, ''), coalesce(moved, 0),"
            " coalesce(moved_cause, ''), coalesce(fields, '') FROM node WHERE key = ?",
            (key_text(key),),
        ).fetchone()
        return Story(*row) if row else None


def discard(folder: Path) -> None:
    """Delete the state."""
    for ending in ("", "-wal", "-shm"):
        (folder / (STATE_FILE + ending)).unlink(missing_ok=True)
