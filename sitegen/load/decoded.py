"""Bytes become text: one encoding, no control characters, a bounded size."""

from __future__ import annotations

import re
from typing import NamedTuple

from sitegen.errors import Fault, Place

# What a text file has no use for. Two of the groups are line ends that only some
# programs take for one, so that line numbers would differ from the editor's; the last
# two make a text read otherwise than it is stored.
_CONTROL = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufeff\ufffe\uffff\u2028\u2029"
    "\u202a-\u202e\u2066-\u2069]"
)
_LINE_END = re.compile(r"\r\n|\r|\n")
_SHOWN_AT_MOST = 20
STAND_IN = "\ufffd"
"""Stands where a control character was, so that columns stay right."""


class Decoded(NamedTuple):
    """The text of a file.

    Attributes:
        text: the text without its byte order mark, or nothing when the bytes are
            none; control characters are replaced by ``STAND_IN``.
        faults: what is wrong with the bytes.
    """

    text: str | None
    faults: tuple[Fault, ...]


def decode(data: bytes, file: str, max_bytes: int) -> Decoded:
    """Return the text of a file, or what keeps it from being one.

    Args:
        data: the file's bytes.
        file: path below the archive, for the places of faults.
        max_bytes: size at which a file is refused unread.
    """
    if len(data) > max_bytes:
        values = {"size": _megabytes(len(data)), "limit": _megabytes(max_bytes)}
        return Decoded(None, (Fault("too-large", Place(file), "", values),))
    if _is_utf_16(data):
        return Decoded(None, (Fault("utf-16", Place(file)),))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # Offsets of utf-8-sig do not count the mark, so decode what stands before.
        before = error.object[: error.start].decode("utf-8", "replace")
        place = Place(file, *position(before, len(before)))
        byte = {"byte": f"0x{error.object[error.start]:02X}"}
        return Decoded(None, (Fault("not-utf-8", place, "", byte),))
    return Decoded(*_without_control(text, file))


def position(text: str, at: int) -> tuple[int, int]:
    """Return line and column, counted from 1, of an offset into a text."""
    before = text[:at]
    line, start = 1, 0
    for found in _LINE_END.finditer(before):
        line, start = line + 1, found.end()
    return line, at - start + 1


def _megabytes(size: int) -> str:
    return f"{size / 1e6:.3g} MB"


def _is_utf_16(data: bytes) -> bool:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return True
    # Without a mark: every second byte of Latin text is zero.
    head = data[:64]
    return len(head) > 3 and (
        not any(head[1::2]) or not any(head[: len(head) // 2 * 2 : 2])
    )


def _without_control(text: str, file: str) -> tuple[str, tuple[Fault, ...]]:
    if not _CONTROL.search(text):
        return text, ()
    faults: list[Fault] = []
    for found in _CONTROL.finditer(text):
        if len(faults) == _SHOWN_AT_MOST:
            break
        place = Place(file, *position(text, found.start()))
        named = {"char": f"U+{ord(found[0]):04X}"}
        faults.append(Fault("control-character", place, "", named))
    return _CONTROL.sub(STAND_IN, text), tuple(faults)
