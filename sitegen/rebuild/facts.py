"""Facts about the state as a whole: a name, a text."""

from __future__ import annotations

import sqlite3


class Facts:
    """The facts.

    ``tool``, ``build`` (number of the last), ``running`` (not empty while one runs),
    ``out`` (the output folder), ``good`` (what the last build was made from, if all
    went well), ``roots`` (what was wanted), ``untidy`` (there may be nodes that
    nothing needs), ``unlisted`` (the list in the output folder has not been written
    whole since lines were added to it), ``pending`` (numbers of leaves from which what
    is suspect has yet to be marked).
    """

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db

    def get(self, name: str) -> str:
        """Return a fact, or ``""``."""
        row = self._db.execute(
            "SELECT value FROM meta WHERE name = ?", (name,)
        ).fetchone()
        return str(row[0]) if row else ""

    def put(self, **facts: str) -> None:
        """Store facts."""
        self._db.executemany("REPLACE INTO meta VALUES (?, ?)", facts.items())
