"""Sound recordings: the sound stays as it is, what was written about it goes."""

from __future__ import annotations

import io
import struct
import wave

import pytest

from sitegen.errors import FaultsFound
from sitegen.pages.sounds import MOST_BYTES, bare_sound, sound_fault

SECRET = b"Jo of Harbour Lane"
SAMPLES = b"".join(struct.pack("<h", (at * 37) % 2000 - 1000) for at in range(801))


def _wav_chunk(name: bytes, body: bytes) -> bytes:
    return name + struct.pack("<I", len(body)) + body + bytes(len(body) % 2)


def _wav() -> bytes:
    """Return a WAV file whose recorder wrote three chunks about its owner."""
    form = struct.pack("<HHIIHH", 1, 1, 8000, 16_000, 2, 16)
    body = b"WAVE" + b"".join(
        (
            _wav_chunk(b"bext", SECRET + b" 2026-03-01"),
            _wav_chunk(b"fmt ", form),
            _wav_chunk(b"LIST", b"INFOIART" + struct.pack("<I", 18) + SECRET),
            _wav_chunk(b"data", SAMPLES),
            _wav_chunk(b"id3 ", SECRET + b"!"),
        )
    )
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _flac_block(kind: int, body: bytes, *, last: bool = False) -> bytes:
    return bytes([kind | (0x80 if last else 0)]) + len(body).to_bytes(3, "big") + body


FLAC_INFO, FLAC_SEEK, FLAC_FRAMES = b"i" * 34, b"s" * 18, b"\xff\xf8" + b"frames" * 9


def _flac() -> bytes:
    return (
        _id3v2()
        + b"fLaC"
        + _flac_block(0, FLAC_INFO)
        + _flac_block(4, SECRET)
        + _flac_block(3, FLAC_SEEK)
        + _flac_block(6, b"cover" + SECRET, last=True)
        + FLAC_FRAMES
        + _id3v1()
    )


def _id3v2() -> bytes:
    return b"ID3\x04\0\0" + bytes((0, 0, 0, len(SECRET))) + SECRET


def _id3v1() -> bytes:
    return (b"TAG" + SECRET).ljust(128, b"\0")


# MPEG 1 layer III, 128 kbit/s at 44.1 kHz without padding: 144 · 128000 / 44100 bytes.
MP3_FRAME = b"\xff\xfb\x90\x00".ljust(417, b"\x11")
# MPEG 2 layer III, 64 kbit/s at 22.05 kHz: 72 · 64000 / 22050 bytes.
MP3_LOW_FRAME = b"\xff\xf3\x80\x00".ljust(208, b"\x22")


def _mp3(frame: bytes = MP3_FRAME) -> bytes:
    lyrics = b"APETAGEX" + SECRET
    return _id3v2() + bytes(20) + frame * 5 + lyrics + _id3v1()


def _box(name: bytes, *bodies: bytes) -> bytes:
    body = b"".join(bodies)
    return struct.pack(">I", len(body) + 8) + name + body


M4A_TIMES = struct.pack(">II", 3_855_000_000, 3_855_000_001)
M4A_SOUND = b"sound" * 40


def _m4a() -> bytes:
    head = _box(b"mvhd", bytes(4), M4A_TIMES, b"rest of it")
    track = _box(
        b"trak",
        _box(b"tkhd", bytes(4), M4A_TIMES, b"track"),
        _box(
            b"mdia",
            _box(b"mdhd", b"\1\0\0\0", struct.pack(">QQ", 3_855_000_000, 1), b"media"),
        ),
    )
    told = _box(b"udta", _box(b"\xa9nam", SECRET))
    large = struct.pack(">I", 1) + b"mdat" + struct.pack(">Q", 16 + len(M4A_SOUND))
    return (
        _box(b"ftyp", b"M4A \0\0\0\0")
        + _box(b"moov", head, track, told, _box(b"meta", bytes(4), SECRET))
        + large
        + M4A_SOUND
        + _box(b"uuid", SECRET)
    )


def test_a_wav_file_keeps_its_sound_alone() -> None:
    """An independent reader finds form and samples unchanged, and nothing else is."""
    data = _wav()
    assert SECRET in data
    bare = bare_sound(data, "audio/a.wav")
    assert SECRET not in bare
    with wave.open(io.BytesIO(bare)) as opened:
        assert (opened.getframerate(), opened.getnchannels()) == (8000, 1)
        assert opened.readframes(opened.getnframes()) == SAMPLES
    assert len(bare) == 12 + 8 + 16 + 8 + len(SAMPLES)


def test_a_flac_file_keeps_what_it_is_played_with() -> None:
    """Stream, seek points and frames stay; tags of every kind go."""
    assert bare_sound(_flac(), "audio/a.flac") == (
        b"fLaC"
        + _flac_block(0, FLAC_INFO)
        + _flac_block(3, FLAC_SEEK, last=True)
        + FLAC_FRAMES
    )


@pytest.mark.parametrize("frame", [MP3_FRAME, MP3_LOW_FRAME])
def test_an_mp3_file_keeps_its_frames_alone(frame: bytes) -> None:
    """Whole frames stay, byte for byte; tags before, between and behind go."""
    assert bare_sound(_mp3(frame), "audio/a.mp3") == frame * 5


def test_an_m4a_file_is_blanked_in_place() -> None:
    """Nothing moves that is pointed at; tags, places and times are nought."""
    data = _m4a()
    bare = bare_sound(data, "audio/a.m4a")
    assert len(bare) == len(data)
    assert bare.index(M4A_SOUND) == data.index(M4A_SOUND)
    assert SECRET not in bare
    assert M4A_TIMES not in bare
    assert M4A_TIMES[:4] not in bare
    for kept in (b"rest of it", b"track", b"media", b"mvhd", b"tkhd", b"mdhd"):
        assert kept in bare
    for gone in (b"udta", b"meta", b"uuid"):
        assert gone not in bare


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (b"<script>alert(1)</script>", "a.html"),
        (b"<script>alert(1)</script>", "a.mp3"),
        (b"", "a.wav"),
        (_wav()[:60], "a.wav"),
        (_wav(), "a.mp3"),
        (_wav(), "a"),
        (b"fLaC", "a.flac"),
        (_flac()[:70], "a.flac"),
        (_m4a()[:90], "a.m4a"),
        (_m4a()[:40], "a.m4a"),
        (b"\0" * 40, "a.m4a"),
        (_id3v2() + MP3_FRAME, "a.mp3"),
    ],
)
def test_what_is_no_recording_is_a_fault_with_its_place(data: bytes, name: str) -> None:
    """A broken or misnamed file is a fault at its path, never an error."""
    fault = sound_fault(data, f"audio/{name}")
    assert fault is not None
    assert (fault.code, fault.place.file) == ("sound-unreadable", f"audio/{name}")


def test_a_recording_too_large_for_a_page_is_refused() -> None:
    """More than 20 MB are not published."""
    with pytest.raises(FaultsFound):
        bare_sound(bytes(MOST_BYTES + 1), "audio/a.wav")


def test_boxes_nested_without_end_are_refused() -> None:
    """A file that nests its parts a thousand deep is a fault, not a recursion."""
    inner = b""
    for _ in range(1000):
        inner = _box(b"moov", inner)
    data = _box(b"ftyp", b"M4A ") + inner + _box(b"mdat", b"sound")
    fault = sound_fault(data, "audio/a.m4a")
    assert fault is not None


@pytest.mark.parametrize(
    ("data", "name"),
    [(_wav(), "a.wav"), (_flac(), "a.flac"), (_mp3(), "a.mp3"), (_m4a(), "a.m4a")],
)
def test_damage_anywhere_is_a_fault_or_a_recording(data: bytes, name: str) -> None:
    """With any one byte altered, a file is refused or read, and nothing is raised."""
    assert sound_fault(data, f"audio/{name}") is None
    for at in range(min(len(data), 700)):
        altered = bytearray(data)
        altered[at] ^= 0xFF
        sound_fault(bytes(altered), f"audio/{name}")
