"""The name of a node: its kind and its arguments."""

from __future__ import annotations

from typing import NamedTuple

from sitegen.errors import RebuildError

# Arguments are joined by a character that no argument may hold, so that
# ("a", "b/c") and ("a/b", "c") stay two nodes though they print alike.
_JOINT = "\x1f"

LEAF_KINDS = ("file", "listing", "setting")
"""Kinds that the engine answers itself; no step may be called so."""


class Key(NamedTuple):
    """A node's name; a tuple, because a build hashes very many of them.

    Attributes:
        kind: which step makes it, or which kind of leaf it is.
        args: what the step is called with.
    """

    kind: str
    args: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Return ``kind:first/second``."""
        return f"{self.kind}:{'/'.join(self.args)}" if self.args else self.kind


def key_text(key: Key) -> str:
    """Return the text under which a key is stored.

    Raises:
        RebuildError: ``bad_key``, if an argument holds the joining character, or the
            stand-in for a byte of a file name that is not UTF-8.
    """
    text = _JOINT.join((key.kind, *key.args))
    if text.count(_JOINT) != len(key.args) or not _is_utf8(text):
        raise RebuildError("bad_key", key=ascii(str(key)))
    return text


def _is_utf8(text: str) -> bool:
    if text.isascii():
        return True
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def key_of(text: str) -> Key:
    """Return the key that ``key_text`` wrote."""
    kind, *args = text.split(_JOINT)
    return Key(kind, tuple(args))
