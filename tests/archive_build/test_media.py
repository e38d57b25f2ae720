"""Photographs and recordings of an archive: published bare, or faults with a place."""

from __future__ import annotations

import io
import struct
import wave
from pathlib import Path

import html5lib
import pytest
from PIL import Image

from sitegen.archive_build import check_archive, compile_archive, published_folders
from sitegen.errors import fault_line
from tests.conftest import site_files

DEVICE = "records/devices/example-cleaner.yaml"
XHTML = "{http://www.w3.org/1999/xhtml}"


def _photograph(path: Path, size: tuple[int, int] = (1200, 900)) -> None:
    exif = Image.Exif()
    exif[0x013B] = "Jo of Harbour Lane"
    exif.get_ifd(0x8825)[2] = (54.0, 21.0, 5.0)
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.linear_gradient("L").resize(size).convert("RGB").save(path, exif=exif)


def _recording(path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    written = io.BytesIO()
    with wave.open(written, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(8000)
        sound.writeframes(bytes(1600))
    tag = b"INFOIART" + struct.pack("<I", 18) + b"Jo of Harbour Lane"
    path.write_bytes(written.getvalue() + b"LIST" + struct.pack("<I", len(tag)) + tag)


def _say(bench: Path, text: str) -> None:
    with (bench / DEVICE).open("a", encoding="utf-8") as record:
        record.write(f"\n{text}\n")


def test_both_are_published_bare_and_with_their_words(bench: Path) -> None:
    """Sizes, words and level note are there; tags and places are not; nothing plays."""
    _photograph(bench / "photos" / "at home" / "drum, low #1.jpg")
    _recording(bench / "audio" / "low.wav")
    _say(
        bench,
        'photos: [{file: "at home/drum, low #1.jpg", alt: A drum <low>, credit: Me}]\n'
        "audio: [{file: low.wav, label: At low, level_note: 24 dB(A) at 1 m, "
        "credit: Me}]",
    )
    folders = published_folders(bench)
    outcome = compile_archive(folders, workers=1)
    assert not outcome.stopped, outcome.faults
    files = site_files(folders.out)
    assert not [path for path, data in files.items() if b"Harbour Lane" in data]
    page = html5lib.parse(
        files["devices/example-cleaner/index.html"], transport_encoding="utf-8"
    )
    (image,) = (each for each in page.iter(f"{XHTML}img") if each.get("srcset"))
    assert image.get("alt") == "A drum <low>"
    assert (image.get("width"), image.get("height")) == ("1200", "900")
    offered = [each.rsplit(" ", 1) for each in image.get("srcset", "").split(", ")]
    assert [wide for _, wide in offered] == ["960w", "480w", "1200w"]
    for link, wide in offered:
        path = link.replace("%20", " ").replace("%2C", ",").replace("%23", "#")
        with Image.open(io.BytesIO(files[path.removeprefix("../../")])) as opened:
            assert f"{opened.width}w" == wide
    (sound,) = page.iter(f"{XHTML}audio")
    assert "controls" in sound.attrib
    assert sound.get("preload") == "none"
    assert "autoplay" not in sound.attrib
    text = files["devices/example-cleaner/index.html"].decode()
    assert "24 dB(A) at 1 m" in text
    with wave.open(io.BytesIO(files["audio/low.wav"])) as opened_sound:
        assert opened_sound.getnframes() == 800


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ("photos: [{file: a.jpg, credit: Me}]", "missing-field"),
        ("photos: [{file: a.jpg, alt: '', credit: Me}]", "empty-text"),
        ("audio: [{file: a.wav, label: Low, credit: Me}]", "missing-field"),
        ("photos: [{file: lost.jpg, alt: A drum, credit: Me}]", "media-missing"),
        ("photos: [{file: ../a.jpg, alt: A drum, credit: Me}]", "not-a-file-name"),
        ("photos: [{file: /etc/passwd, alt: A, credit: Me}]", "not-a-file-name"),
        ('photos: [{file: "a\\\\b.jpg", alt: A, credit: Me}]', "not-a-file-name"),
        ("photos: [{file: .hidden.jpg, alt: A, credit: Me}]", "media-missing"),
        ("photos: [{file: broken.jpg, alt: A, credit: Me}]", "picture-unreadable"),
        ("photos: [{file: drawn.svg, alt: A, credit: Me}]", "picture-unreadable"),
        ("photos: [{file: really-a.png, alt: A, credit: Me}]", "picture-name"),
        ("photos: [{file: bomb.png, alt: A, credit: Me}]", "picture-unreadable"),
        (
            "audio: [{file: a.html, label: A, level_note: 1, credit: Me}]",
            "sound-unreadable",
        ),
    ],
)
def test_what_is_wrong_has_a_place_and_stops_before_anything_is_written(
    bench: Path, said: str, code: str
) -> None:
    """A missing text, file or picture is a fault of its own, told with its place."""
    folders = published_folders(bench)
    before = site_files(folders.out)
    assert len(before) > 50
    _photograph(bench / "photos" / "a.jpg")
    _photograph(bench / "photos" / "really-a.jpg")
    (bench / "photos" / "really-a.jpg").rename(bench / "photos" / "really-a.png")
    (bench / "photos" / ".hidden.jpg").write_bytes(b"x")
    whole = (bench / "photos" / "a.jpg").read_bytes()
    (bench / "photos" / "broken.jpg").write_bytes(whole[: len(whole) // 2])
    (bench / "photos" / "drawn.svg").write_text("<svg onload='alert(1)'/>")
    Image.new("1", (7000, 7000)).save(bench / "photos" / "bomb.png")
    (bench / "audio").mkdir()
    (bench / "audio" / "a.html").write_text("<script>alert(1)</script>")
    _recording(bench / "audio" / "a.wav")
    _say(bench, said)
    faults = check_archive(bench)
    assert code in {fault.code for fault in faults}, [*map(fault_line, faults)]
    for fault in faults:
        assert fault.place.file.startswith(("records/devices/", "photos/", "audio/"))
        assert fault.place.line or not fault.place.file.startswith("records/")
    outcome = compile_archive(folders, workers=1)
    assert outcome.stopped
    assert {fault.code for fault in outcome.faults} == {fault.code for fault in faults}
    assert site_files(folders.out) == before
