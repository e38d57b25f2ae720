"""The files that we wrote, each with the node that claims it."""

from __future__ import annotations

import sqlite3
from typing import NamedTuple

from sitegen.rebuild.scan import Print


class OutputRow(NamedTuple):
    """A file that we wrote."""

    path: str
    node: int | None
    digest: bytes
    next: bytes | None
    mark: Print


class OutputTable:
    """The files that stand in the output folder through us."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db

    def get(self, path: str) -> OutputRow | None:
        """Return a file that we wrote."""
        return next(iter(self._select("path = ?", path)), None)

    def of(self, node: int) -> list[OutputRow]:
        """Return a node's files."""
        return self._select("node = ?", node)

    def unclaimed(self) -> list[OutputRow]:
        """Return the files that no node claims any longer."""
        return self._select("node IS NULL OR node = -1")

    def all(self) -> list[OutputRow]:
        """Return all files, by path."""
        return self._select("1")

    def _select(self, where: str, *values: str | int) -> list[OutputRow]:
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

    def count(self) -> int:
        """Return the number of files that stand through us."""
        return int(self._db.execute("SELECT count(*) FROM output").fetchone()[0])

    def put(self, path: str, node: int | None, digest: bytes, mark: Print) -> None:
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

    def forget(self, path: str) -> None:
        """Forget a file."""
        self._db.execute("DELETE FROM output WHERE path = ?", (path,))
