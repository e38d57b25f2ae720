"""Bytes of a raw log become text: its encoding, its byte order mark, its line ends."""

from __future__ import annotations

import codecs

from sitegen.errors import Fault, Place

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# Windows programs that say Latin-1 mean this; where the two agree it is the same.
_PYTHON_NAME = {"latin-1": "cp1252"}
# First bytes of workbooks: a zip archive, and the compound file of old ones.
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")


def encoding_by_mark(data: bytes) -> str | None:
    """Return the encoding that a byte order mark states, or nothing without one."""
    return next((name for mark, name in _MARKS if data.startswith(mark)), None)


def likely_encoding(data: bytes) -> tuple[str, str]:
    """Return the encoding that bytes seem to have, and the evidence for it."""
    marked = encoding_by_mark(data)
    if marked:
        return marked, "the file begins with a byte order mark"
    if _zeros(data):
        return "utf-16", "every second byte of the first line is zero"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        byte = f"0x{data[error.start]:02X}"
        return "latin-1", f"the byte {byte} on line {line} is no UTF-8"
    return "utf-8", "all bytes are valid UTF-8"


def _zeros(data: bytes) -> bool:
    head = data[:64]
    head = head[: len(head) // 2 * 2]
    return len(head) > 3 and (not any(head[1::2]) or not any(head[::2]))


def log_text(data: bytes, file: str, encoding: str, faults: list[Fault]) -> str | None:
    """Return the text of a log with a line feed at line ends, or nothing with a fault.

    Args:
        data: bytes of the log.
        file: its name, for the places of faults.
        encoding: the encoding stated; a byte order mark goes before it.
        faults: takes what is wrong, and what was seen otherwise than stated.
    """
    if not data.strip(b"\x00\r\n\t \xef\xbb\xbf\xff\xfe"):
        faults.append(Fault("intake-empty", Place(file)))
        return None
    marked = encoding_by_mark(data)
    if data.startswith(_WORKBOOKS) or (
        b"\x00" in data[:4096] and not marked and not _zeros(data)
    ):
        faults.append(Fault("intake-no-text", Place(file)))
        return None
    found = marked or ("utf-16" if _zeros(data) else encoding)
    if found != encoding:
        values = {"found": found, "stated": encoding}
        faults.append(Fault("intake-other-encoding", Place(file), "", values))
    text = _decoded(data, file, found, faults)
    if text is None:
        return None
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")


def _decoded(data: bytes, file: str, name: str, faults: list[Fault]) -> str | None:
    if name == "utf-16":
        # A log that stopped in the middle of a character has an odd byte.
        data = data[: len(data) // 2 * 2]
        if not encoding_by_mark(data):
            name = "utf-16-le" if not any(data[1:64:2]) else "utf-16-be"
    try:
        return data.decode(_PYTHON_NAME.get(name, name))
    except UnicodeDecodeError as error:
        if name == "latin-1":
            return data.decode("latin-1")
        line = data.count(b"\n", 0, error.start) + 1
        values = {
            "byte": f"0x{data[error.start]:02X}",
            "stated": name,
            "guess": likely_encoding(data)[0],
        }
        faults.append(Fault("intake-encoding", Place(file, line), "", values))
        return None
