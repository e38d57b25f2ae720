"""Sound recordings: the sound alone, without what a recorder wrote about it.

Tags hold names, places and times, much as a photograph's metadata do. What is
published is the sound with what is needed to play it: chunks of a WAV file (RIFF,
Microsoft and IBM, 1991), metadata blocks of FLAC (RFC 9639), frames of MP3 (ISO/IEC
11172-3) and boxes of M4A (ISO/IEC 14496-12). The sound itself is not touched.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from sitegen.errors import Fault, FaultsFound, Place

MOST_BYTES = 20_000_000

_WAV_KEPT = (b"fmt ", b"fact", b"data")
_FLAC_STREAM_INFO, _FLAC_SEEK_TABLE = 0, 3
# kbit/s of layer III, by version (MPEG 1; MPEG 2 and 2.5) and the header's index.
_MP3_RATES_1 = (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 0)
_MP3_RATES_2 = (0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160, 0)
_MP3_SAMPLING = (44_100, 48_000, 32_000)
_M4A_INSIDE = frozenset({b"moov", b"trak", b"mdia", b"minf"})
_M4A_BLANKED = frozenset({b"udta", b"meta", b"uuid", b"free", b"skip"})
_M4A_DATED = frozenset({b"mvhd", b"tkhd", b"mdhd"})
_M4A_DEEPEST = 8


class _Broken(ValueError):
    """The recording is not what its name says."""


def bare_sound(data: bytes, file: str) -> bytes:
    """Return a sound recording without its tags.

    Args:
        data: bytes of a WAV, FLAC, MP3 or M4A file.
        file: its path below the archive; its ending says which.

    Raises:
        FaultsFound: if it cannot be read, or is too large for a page.
    """
    try:
        return _reader(data, file.lower().rpartition(".")[2])(data)
    except (_Broken, struct.error, IndexError) as error:
        why = str(error) if isinstance(error, _Broken) else "it is cut short"
        fault = Fault("sound-unreadable", Place(file), "", {"why": why})
        raise FaultsFound([fault]) from error


def sound_fault(data: bytes, file: str) -> Fault | None:
    """Return why a recording cannot be published, or nothing.

    Args:
        data: the file's bytes.
        file: its path below the archive.
    """
    try:
        bare_sound(data, file)
    except FaultsFound as found:
        return found.faults[0]
    return None


def _reader(data: bytes, ending: str) -> Callable[[bytes], bytes]:
    if ending not in _READERS:
        raise _Broken(f'"{ending[:20]}" is no kind of recording that is read')
    if len(data) > MOST_BYTES:
        raise _Broken(f"{len(data) / 1e6:.0f} MB")
    return _READERS[ending]


def _wav(data: bytes) -> bytes:
    if data[:4] != b"RIFF" or data[8:12] != b"WAVE":
        raise _Broken("it is no WAV file")
    kept: dict[bytes, bytes] = {}
    at = 12
    while at + 8 <= len(data):
        name, size = data[at : at + 4], struct.unpack_from("<I", data, at + 4)[0]
        body = data[at + 8 : at + 8 + size]
        if len(body) < size and name != b"data":
            raise _Broken("it is cut short")
        if name in _WAV_KEPT:
            kept.setdefault(name, body)
        at += 8 + size + size % 2
    if len(kept.get(b"fmt ", b"")) < 16 or not kept.get(b"data"):
        raise _Broken("it holds no sound")
    chunks = b"".join(
        name
        + struct.pack("<I", len(kept[name]))
        + kept[name]
        + b"\0" * (len(kept[name]) % 2)
        for name in _WAV_KEPT
        if name in kept
    )
    return b"RIFF" + struct.pack("<I", len(chunks) + 4) + b"WAVE" + chunks


def _chunk(name: bytes, body: bytes) -> bytes:
    return name + struct.pack("<I", len(body)) + body + bytes(len(body) % 2)


def _flac(data: bytes) -> bytes:
    at = _after_id3(data)
    if data[at : at + 4] != b"fLaC":
        raise _Broken("it is no FLAC file")
    at += 4
    kept: list[tuple[int, bytes]] = []
    last = False
    while not last:
        head = data[at]
        last, kind = bool(head & 0x80), head & 0x7F
        size = int.from_bytes(data[at + 1 : at + 4], "big")
        body = data[at + 4 : at + 4 + size]
        if len(body) < size:
            raise _Broken("it is cut short")
        if kind in {_FLAC_STREAM_INFO, _FLAC_SEEK_TABLE}:
            kept.append((kind, body))
        at += 4 + size
    frames = data[at : _before_id3v1(data)]
    # Every frame begins with fourteen ones and a zero.
    if not kept or kept[0][0] != _FLAC_STREAM_INFO or frames[:1] != b"\xff":
        raise _Broken("it holds no sound")
    blocks = b"".join(
        bytes([kind | (0x80 if number == len(kept) else 0)])
        + len(body).to_bytes(3, "big")
        + body
        for number, (kind, body) in enumerate(kept, 1)
    )
    return b"fLaC" + blocks + frames


def _after_id3(data: bytes) -> int:
    """Return where the sound begins, behind tags of ID3 version 2."""
    at = 0
    while data[at : at + 3] == b"ID3" and len(data) >= at + 10:
        size = 0
        for byte in data[at + 6 : at + 10]:
            size = size << 7 | byte & 0x7F
        at += 10 + size + (10 if data[at + 5] & 0x10 else 0)
    return at


def _before_id3v1(data: bytes) -> int:
    """Return where the sound ends, before a tag of ID3 version 1."""
    return len(data) - 128 if data[-128:-125] == b"TAG" else len(data)


def _mp3(data: bytes) -> bytes:
    frames = []
    at, end = _after_id3(data), _before_id3v1(data)
    while at + 4 <= end:
        size = _mp3_frame(data, at)
        if size and at + size <= end:
            frames.append(data[at : at + size])
            at += size
        else:
            # Tags of other kinds and padding: on to what may be the next frame.
            at = data.find(b"\xff", at + 1, end)
            if at < 0:
                break
    if len(frames) < 2:
        raise _Broken("it holds no sound")
    return b"".join(frames)


def _mp3_frame(data: bytes, at: int) -> int:
    """Return the length of the frame at a place, bytes, or 0 where there is none."""
    head = int.from_bytes(data[at : at + 4], "big")
    version, layer = head >> 19 & 3, head >> 17 & 3
    rate, sampling, padding = head >> 12 & 15, head >> 10 & 3, head >> 9 & 1
    if head >> 21 != 0x7FF or version == 1 or layer != 1 or sampling == 3:
        return 0
    first = version == 3
    kbit = (_MP3_RATES_1 if first else _MP3_RATES_2)[rate]
    if not kbit:
        return 0
    hertz = _MP3_SAMPLING[sampling] // {3: 1, 2: 2, 0: 4}[version]
    return (144 if first else 72) * kbit * 1000 // hertz + padding


def _m4a(data: bytes) -> bytes:
    if data[4:8] != b"ftyp":
        raise _Broken("it is no M4A file")
    written = bytearray(data)
    names = {data[at + 4 : at + 8] for at, _, _ in _boxes(data, 0, len(data), 0)}
    if not {b"moov", b"mdat"} <= names:
        raise _Broken("it holds no sound")
    _blank(written, 0, len(data), 0)
    return bytes(written)


def _boxes(
    data: bytes | bytearray, at: int, end: int, depth: int
) -> Iterator[tuple[int, int, int]]:
    """Yield where each box of a stretch begins, where its content does, where it ends.

    Its name stands four bytes behind its beginning.
    """
    if depth > _M4A_DEEPEST:
        raise _Broken("its parts are nested too deeply")
    while at < end:
        size, inside = struct.unpack_from(">I4x", data, at)[0], at + 8
        if size == 1:
            size, inside = struct.unpack_from(">Q", data, at + 8)[0], at + 16
        after = end if size == 0 else at + size
        if after < inside or after > end:
            raise _Broken("it is cut short")
        yield at, inside, after
        at = after


def _blank(written: bytearray, at: int, end: int, depth: int) -> None:
    """Blank what is not the sound, in place: nothing moves that is pointed at."""
    for start, inside, after in _boxes(written, at, end, depth):
        name = bytes(written[start + 4 : start + 8])
        if name in _M4A_BLANKED:
            written[start + 4 : start + 8] = b"free"
            written[inside:after] = bytes(after - inside)
        elif name in _M4A_DATED:
            wide = 8 if written[inside] == 1 else 4
            stretch = min(2 * wide, after - inside - 4)
            written[inside + 4 : inside + 4 + stretch] = bytes(stretch)
        elif name in _M4A_INSIDE:
            _blank(written, inside, after, depth + 1)


_READERS: Mapping[str, Callable[[bytes], bytes]] = MappingProxyType(
    {"wav": _wav, "flac": _flac, "mp3": _mp3, "m4a": _m4a}
)
