"""Nodes with their traces."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from sitegen.rebuild.facts import Facts
from sitegen.rebuild.keys import Key, key_text
from sitegen.rebuild.reports import Cause

# A kind's keys are itself, or go on with the joint, the character before the space.
_OF_KIND = "key >= ?1 AND key < ?1 || char(32)"

MANY = 32
"""So many nodes that to look at all of them at once pays."""

_ABOVE = (
    "WITH RECURSIVE above (id) AS (SELECT id FROM pick UNION"
    " SELECT dep.node FROM above JOIN dep ON dep.dep = above.id) SELECT id FROM above"
)

# Values bound in one statement.
_BOUND = 500


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


class Story(NamedTuple):
    """When and why a node last ran, and when, why and where its value last changed."""

    id: int
    ran: int
    cause: str
    moved: int
    moved_cause: str
    fields: str


class NodeTable:
    """All nodes, leaves among them, and what each was made from."""

    def __init__(self, db: sqlite3.Connection, facts: Facts) -> None:
        self._db = db
        self._facts = facts

    def get(self, key: Key) -> Row | None:
        """Return a node."""
        return self.by_text(key_text(key))

    def by_text(self, text: str) -> Row | None:
        """Return a node by its key's text."""
        row = self._db.execute(
            "SELECT id, leaf, digest, suspect OR id IN doubt, failed, stale FROM node"
            " WHERE key = ?",
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
                " AND stale IS NULL AND id NOT IN doubt"
                " AND key >= ?1 AND key < ?1 || char(32)",
                (kind,),
            )
            found.update((key, (ident, digest)) for key, ident, digest in rows)
        return found

    def edges(self, ident: int) -> list[Edge]:
        """Return a node's dependencies in the order in which it asked."""
        rows = self._db.execute(
            "SELECT d.dep, d.digest, d.batch, n.key, n.leaf, n.digest,"
            " n.suspect OR n.failed OR n.stale IS NOT NULL OR n.id IN doubt"
            " FROM dep d JOIN node n ON n.id = d.dep WHERE d.node = ? ORDER BY d.seq",
            (ident,),
        )
        return [Edge(*row) for row in rows]

    def doubtful(self, ident: int) -> list[Edge]:
        """Return those of a node's dependencies that are different, or may yet be."""
        rows = self._db.execute(
            "SELECT d.dep, d.digest, d.batch, n.key, n.leaf, n.digest,"
            " n.suspect OR n.failed OR n.stale IS NOT NULL OR n.id IN doubt"
            " FROM dep d JOIN node n ON n.id = d.dep WHERE d.node = ?"
            " AND (n.digest != d.digest OR n.suspect OR n.failed"
            " OR n.stale IS NOT NULL OR n.id IN doubt) ORDER BY d.seq",
            (ident,),
        )
        return [Edge(*row) for row in rows]

    def good(self, texts: Sequence[str]) -> dict[str, tuple[int, bytes]]:
        """Return those nodes that need no check, by their keys' texts."""
        found: dict[str, tuple[int, bytes]] = {}
        for start in range(0, len(texts), _BOUND):
            some = texts[start : start + _BOUND]
            marks = ",".join("?" * len(some))
            rows = self._db.execute(
                "SELECT key, id, digest FROM node WHERE suspect = 0 AND failed = 0"  # noqa: S608 - marks are marks
                f" AND stale IS NULL AND id NOT IN doubt AND key IN ({marks})",
                some,
            )
            found.update((key, (ident, digest)) for key, ident, digest in rows)
        return found

    def settle(self, ident: int) -> None:
        """Note that a node's trace holds."""
        self._db.execute("UPDATE node SET suspect = 0 WHERE id = ?", (ident,))
        self._db.execute("DELETE FROM doubt WHERE id = ?", (ident,))

    def settle_above(self, ident: int) -> None:
        """Note for all that rests on a node whether its trace holds by now.

        In one go for many: to check thousands one by one takes as long as to draw.

        Args:
            ident: a node that came out as it was.
        """
        db = self._db
        few = db.execute(
            "SELECT count(*) FROM (SELECT 1 FROM dep JOIN node ON node.id = dep.node"
            " WHERE dep.dep = ? AND node.suspect = 1 LIMIT ?)",
            (ident, MANY),
        ).fetchone()[0]
        if few < MANY:
            return
        settled = [(ident,)]
        while settled:
            db.execute("DELETE FROM pick")
            db.executemany("INSERT INTO pick VALUES (?)", settled)
            settled = db.execute(
                "UPDATE node SET suspect = 0 WHERE suspect = 1 AND failed = 0"
                " AND stale IS NULL AND id IN"
                " (SELECT dep.node FROM pick CROSS JOIN dep ON dep.dep = pick.id)"
                " AND NOT EXISTS (SELECT 1 FROM dep d JOIN node n ON n.id = d.dep"
                " WHERE d.node = node.id AND (n.digest != d.digest OR n.suspect"
                " OR n.failed OR n.stale IS NOT NULL)) RETURNING id"
            ).fetchall()

    def suspect_from(self, leaves: Iterable[int]) -> bool:
        """Mark all that rests on these leaves or on nodes that must run again.

        Returns:
            Whether there was anything to start from.
        """
        self._pick_changed(leaves)
        self._db.execute(
            "UPDATE node SET suspect = 1"  # noqa: S608 - constants
            f" WHERE leaf = 0 AND suspect = 0 AND id IN ({_ABOVE})"
        )
        row = self._db.execute("SELECT EXISTS (SELECT 1 FROM node WHERE suspect = 1)")
        return bool(row.fetchone()[0])

    def doubt_from(self, leaves: Iterable[int]) -> bool:
        """Mark the same for this session alone, where little of it will be wanted.

        To write thousands of marks that the next session makes anyway takes as long as
        to draw. It has to begin from these leaves again.

        Returns:
            Whether there was anything to start from.
        """
        self._pick_changed(leaves)
        self._db.execute(f"INSERT INTO doubt {_ABOVE}")
        row = self._db.execute("SELECT EXISTS (SELECT 1 FROM doubt)")
        return bool(row.fetchone()[0])

    def _pick_changed(self, leaves: Iterable[int]) -> None:
        db = self._db
        db.execute("DELETE FROM pick")
        db.execute(
            "INSERT INTO pick SELECT id FROM node WHERE stale IS NOT NULL OR failed = 1"
        )
        db.executemany("INSERT OR IGNORE INTO pick VALUES (?)", ((i,) for i in leaves))

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
            ident = self.insert(text, 0, digest)
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
        self._db.execute("DELETE FROM doubt WHERE id = ?", (ident,))
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
            self._facts.put(untidy="1")
        return ident

    def insert(self, text: str, leaf: int, digest: bytes) -> int:
        """Store a new node without a trace; return its number."""
        cursor = self._db.execute(
            "INSERT INTO node (key, leaf, digest, suspect, failed)"
            " VALUES (?, ?, ?, 0, 0)",
            (text, leaf, digest),
        )
        return int(cursor.lastrowid or 0)

    def take_versions(self, tool: str, versions: dict[str, str]) -> None:
        """Mark what must run again because its code is another."""
        if self._facts.get("tool") != tool:
            cause = Cause("tool_changed", old=self._facts.get("tool"), new=tool)
            self._mark_stale("leaf = 0", cause)
            self._facts.put(tool=tool)
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
            "DELETE FROM top WHERE NOT EXISTS (SELECT 1 FROM leaf"
            " WHERE leaf.root = top.root AND leaf.top IN (top.top, '*'))",
            "UPDATE output SET node = NULL"
            " WHERE node > 0 AND node NOT IN (SELECT id FROM pick)",
            "DELETE FROM value WHERE digest NOT IN (SELECT digest FROM node)",
        ):
            self._db.execute(sql)

    # Telling why

    def leaves_below(self, ident: int) -> list[str]:
        """Return the keys' texts of the leaves that a node rests on and that exist."""
        rows = self._db.execute(
            "WITH RECURSIVE below (id) AS (VALUES (?1) UNION"
            " SELECT dep.dep FROM below JOIN dep ON dep.node = below.id)"
            " SELECT key FROM node JOIN below USING (id)"
            " WHERE leaf = 1 AND length(digest) > 0",
            (ident,),
        )
        return [key for (key,) in rows]

    def story(self, key: Key) -> Story | None:
        """Return what is remembered of a node."""
        row = self._db.execute(
            "SELECT id, coalesce(ran, 0), coalesce(cause, ''), coalesce(moved, 0),"
            " coalesce(moved_cause, ''), coalesce(fields, '') FROM node WHERE key = ?",
            (key_text(key),),
        ).fetchone()
        return Story(*row) if row else None
