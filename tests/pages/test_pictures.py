"""Photographs: what is left of them, and what is refused."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable

import pytest
from PIL import Image, ImageCms

from sitegen.errors import FaultsFound
from sitegen.pages.pictures import (
    LONGEST_SIDE,
    bare_pictures,
    picture_fault,
    picture_sizes,
)

# Written into every field that a camera has for it; found nowhere afterwards.
SECRETS = (b"Harbour Lane", b"Camera 4711", b"Lens of Jo", b"2026:03:01")


def _gradient(size: tuple[int, int]) -> Image.Image:
    return Image.linear_gradient("L").resize(size).convert("RGB")


def _photograph(size: tuple[int, int] = (64, 48), kind: str = "JPEG") -> bytes:
    """Return a photograph that says where, when, by whom and with what."""
    exif = Image.Exif()
    exif[0x010F] = "Camera 4711"
    exif[0x013B] = "Jo of Harbour Lane"
    exif[0x0132] = "2026:03:01 10:00:00"
    exif[0xA434] = "Lens of Jo"
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (54.0, 21.0, 5.0)
    written = io.BytesIO()
    more: dict[str, object] = {"exif": exif}
    if kind == "JPEG":
        more["comment"] = b"At Harbour Lane"
    if kind in {"JPEG", "WEBP"}:
        more["xmp"] = b"<x:xmpmeta><who>Harbour Lane</who></x:xmpmeta>"
    _gradient(size).save(written, format=kind, **more)
    return written.getvalue()


@pytest.mark.parametrize(
    ("kind", "ending"), [("JPEG", "jpg"), ("PNG", "png"), ("WEBP", "webp")]
)
def test_nothing_that_the_camera_wrote_is_left(kind: str, ending: str) -> None:
    """No EXIF, place, comment or XMP stands in any size, by value or by tag."""
    data = _photograph((2000, 1500), kind)
    assert any(secret in data for secret in SECRETS)
    pictures = bare_pictures(data, f"photos/a.{ending}")
    assert len(pictures) == 3
    for picture in pictures:
        assert not [secret for secret in SECRETS if secret in picture.data]
        assert b"Exif" not in picture.data
        assert b"eXIf" not in picture.data
        with Image.open(io.BytesIO(picture.data)) as opened:
            assert dict(opened.getexif()) == {}
            assert opened.getexif().get_ifd(0x8825) == {}
            assert {"exif", "xmp", "comment", "icc_profile"} & set(opened.info) == set()
            assert opened.format == kind


def test_sizes_are_what_the_files_hold() -> None:
    """The sizes told from the head of a file are those of what is written."""
    data = _photograph((2400, 1200))
    found = bare_pictures(data, "photos/a.jpg")
    sizes = [(each.width, each.height) for each in found]
    assert sizes == [(1600, 800), (960, 480), (480, 240)]
    assert list(picture_sizes(data)) == sizes
    for each in found:
        with Image.open(io.BytesIO(each.data)) as opened:
            assert opened.size == (each.width, each.height)
    assert len(found[2].data) < len(found[1].data) < len(found[0].data)


def test_a_small_picture_is_not_made_larger() -> None:
    """A picture that is smaller than all widths has one size, its own."""
    assert picture_sizes(_photograph((400, 300))) == ((400, 300),)
    assert max(picture_sizes(_photograph((30, 4000)))[0]) == LONGEST_SIDE


def test_a_picture_held_on_its_side_is_turned_upright() -> None:
    """What the camera said of how it was held is done before it is forgotten."""
    image = Image.new("RGB", (80, 40), "black")
    image.paste("white", (0, 0, 40, 40))
    exif = Image.Exif()
    exif[0x0112] = 6  # the right side of the scene is at the top of the stored picture
    written = io.BytesIO()
    image.save(written, format="JPEG", exif=exif)
    (found,) = bare_pictures(written.getvalue(), "photos/a.jpg")
    assert picture_sizes(written.getvalue()) == ((40, 80),)
    with Image.open(io.BytesIO(found.data)) as opened:
        assert opened.size == (40, 80)
        top, bottom = opened.getpixel((20, 10)), opened.getpixel((20, 70))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert top[0] > 200
    assert bottom[0] < 50


def test_several_pictures_in_one_file_are_one_photograph() -> None:
    """A telephone's file with a second picture behind the first is read as a JPEG."""
    written = io.BytesIO()
    second = _gradient((32, 24))
    _gradient((64, 48)).save(
        written, format="MPO", save_all=True, append_images=[second]
    )
    (found,) = bare_pictures(written.getvalue(), "photos/a.jpg")
    with Image.open(io.BytesIO(found.data)) as opened:
        assert (opened.format, opened.size) == ("JPEG", (64, 48))


def test_colours_are_turned_into_those_that_browsers_assume() -> None:
    """A picture in another colour space keeps its look without its profile."""
    lab_like = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
    written = io.BytesIO()
    Image.new("RGB", (8, 8), (200, 30, 60)).save(
        written, format="PNG", icc_profile=lab_like.tobytes()
    )
    (found,) = bare_pictures(written.getvalue(), "photos/a.png")
    with Image.open(io.BytesIO(found.data)) as opened:
        pixel = opened.convert("RGB").getpixel((4, 4))
    assert isinstance(pixel, tuple)
    assert max(abs(a - b) for a, b in zip(pixel, (200, 30, 60), strict=True)) <= 2


def _chunk(kind: bytes, body: bytes) -> bytes:
    check = struct.pack(">I", zlib.crc32(kind + body))
    return struct.pack(">I", len(body)) + kind + body + check


def _bomb(width: int, height: int) -> bytes:
    """Return a PNG of few bytes that unpacks into a great many pixels."""
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    rows = zlib.compress(bytes(1_000_000), 9)
    return (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", head)
        + _chunk(b"IDAT", rows)
        + _chunk(b"IEND", b"")
    )


def _text_bomb() -> bytes:
    """Return a PNG whose compressed remark unpacks into 200 MB."""
    data = _photograph((8, 8), "PNG")
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(bytes(1_000_000)) for _ in range(200))
    packed += packer.flush()
    return data[:33] + _chunk(b"zTXt", b"a\0\0" + packed) + data[33:]


SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)">'
    b"<script>alert(1)</script></svg>"
)
WRONG: dict[str, tuple[Callable[[], bytes], str, str]] = {
    "no picture": (lambda: b"hello", "a.jpg", "picture-unreadable"),
    "nothing": (lambda: b"", "a.jpg", "picture-unreadable"),
    "cut short": (lambda: _photograph()[:-200], "a.jpg", "picture-unreadable"),
    "cut short, PNG": (
        lambda: _photograph(kind="PNG")[:-40],
        "a.png",
        "picture-unreadable",
    ),
    "drawing with script": (lambda: SVG, "a.svg", "picture-unreadable"),
    "drawing called a photograph": (lambda: SVG, "a.jpg", "picture-unreadable"),
    "another kind": (lambda: _photograph(kind="PNG"), "a.jpg", "picture-name"),
    "a page's ending": (_photograph, "a.html", "picture-name"),
    "no ending": (_photograph, "a", "picture-name"),
    "too many pixels": (lambda: _bomb(20_000, 2_001), "a.png", "picture-unreadable"),
    "a bomb": (lambda: _bomb(60_000, 60_000), "a.png", "picture-unreadable"),
    "a larger bomb": (
        lambda: _bomb(2_000_000_000, 2_000_000_000),
        "a.png",
        "picture-unreadable",
    ),
    "a bomb of text": (_text_bomb, "a.png", "picture-unreadable"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_cannot_be_shown_is_a_fault_with_its_place(case: str) -> None:
    """A broken, misnamed or exploding file is a fault at its path, never an error."""
    make, name, code = WRONG[case]
    data = make()
    fault = picture_fault(data, f"photos/{name}")
    assert fault is not None
    assert (fault.code, fault.place.file) == (code, f"photos/{name}")
    with pytest.raises(FaultsFound) as found:
        bare_pictures(data, f"photos/{name}")
    assert found.value.faults[0].code == code


def test_a_sound_picture_has_no_fault() -> None:
    """What can be shown is let through, whatever the case of its ending."""
    assert picture_fault(_photograph(), "photos/a.JPG") is None
    assert picture_fault(_photograph(kind="WEBP"), "photos/a.webp") is None


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_damage_anywhere_is_a_fault_or_a_picture(kind: str) -> None:
    """With any one byte altered, a file is refused or shown, and nothing is raised."""
    data = _photograph((40, 30), kind)
    ending = {"JPEG": "jpg", "PNG": "png", "WEBP": "webp"}[kind]
    for at in range(0, len(data), 7):
        altered = bytearray(data)
        altered[at] ^= 0xFF
        if picture_fault(bytes(altered), f"photos/a.{ending}") is None:
            sizes = picture_sizes(bytes(altered))
            found = bare_pictures(bytes(altered), f"photos/a.{ending}")
            assert [(each.width, each.height) for each in found] == list(sizes)
