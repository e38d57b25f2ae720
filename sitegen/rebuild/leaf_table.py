"""Leaves with their fingerprints, and the top folders that were looked at."""

from __future__ import annotations

import sqlite3

from sitegen.rebuild.node_table import NodeTable
from sitegen.rebuild.scan import Print


class LeafTable:
    """What is remembered of leaves beyond what every node has."""

    def __init__(self, db: sqlite3.Connection, nodes: NodeTable) -> None:
        self._db = db
        self._nodes = nodes

    def below(self, root: str, top: str) -> list[tuple[int, str, bytes, Print, int]]:
        """Return number, key text, digest, fingerprint and youth of a top's leaves."""
        rows = self._db.execute(
            "SELECT n.id, n.key, n.digest, l.size, l.mtime, l.ctime, l.inode, l.racy"
            " FROM leaf l JOIN node n USING (id) WHERE l.root = ? AND l.top = ?",
            (root, top),
        )
        return [(i, k, d, (s, m, c, n), r) for i, k, d, s, m, c, n, r in rows]

    def get(self, text: str) -> tuple[int, bytes, Print, int] | None:
        """Return number, digest, fingerprint and youth of a leaf by its key's text."""
        row = self._db.execute(
            "SELECT n.id, n.digest, l.size, l.mtime, l.ctime, l.inode, l.racy"
            " FROM leaf l JOIN node n USING (id) WHERE n.key = ?",
            (text,),
        ).fetchone()
        return row and (row[0], row[1], (row[2], row[3], row[4], row[5]), row[6])

    def young_tops(self) -> set[tuple[str, str]]:
        """Return the tops in which a leaf must be read again."""
        return set(self._db.execute("SELECT root, top FROM leaf WHERE racy = 1"))

    def tops(self) -> dict[tuple[str, str], bytes]:
        """Return the digests of all tops looked at, by root and top."""
        rows = self._db.execute("SELECT root, top, digest FROM top")
        return {(root, top): digest for root, top, digest in rows}

    def set_top(self, root: str, top: str, digest: bytes) -> None:
        """Store the digest of a top."""
        self._db.execute("REPLACE INTO top VALUES (?, ?, ?)", (root, top, digest))

    def add(
        self, text: str, digest: bytes, place: tuple[str, str], mark: Print, racy: bool
    ) -> int:
        """Store a new leaf, with its root and top; return its number."""
        ident = self._nodes.insert(text, 1, digest)
        self._db.execute(
            "INSERT INTO leaf VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (ident, *place, *mark, racy),
        )
        return ident

    def update(self, ident: int, digest: bytes, mark: Print, racy: bool) -> None:
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
