"""Values by digest."""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Iterable
from hashlib import sha256

_PACK_FROM_BYTES = 2048


class StateDamagedError(Exception):
    """The state cannot be read; it is to be thrown away."""


class ValueTable:
    """The bytes of values; a digest is the SHA-256 of the bytes before packing."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db

    def get(self, digest: bytes) -> bytes:
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

    def keep(self, digest: bytes, data: bytes) -> None:
        """Store a value's bytes, long ones packed."""
        if len(data) >= _PACK_FROM_BYTES:
            packed = b"z" + zlib.compress(data, 1)
        else:
            packed = b"-" + data
        self._db.execute("INSERT OR IGNORE INTO value VALUES (?, ?)", (digest, packed))

    def drop(self, digests: Iterable[bytes]) -> None:
        """Delete those of the values that no node has any longer."""
        self._db.executemany(
            "DELETE FROM value WHERE digest = ?1"
            " AND NOT EXISTS (SELECT 1 FROM node WHERE node.digest = ?1)",
            ((digest,) for digest in digests),
        )
