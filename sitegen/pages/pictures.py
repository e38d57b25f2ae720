"""Photographs: what a camera wrote about place, time and owner is left out.

A bench is often a home. The picture is decoded and written anew, so that no metadata
of any kind is carried over, in a few widths of which a browser takes the one that it
needs.
"""

from __future__ import annotations

import io
import struct
import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from sitegen.errors import Fault, FaultsFound, Place

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_PIXELS = 40_000_000
LONGEST_SIDE = 1600
SMALLER_WIDTHS = (960, 480)
"""Widths, in pixels, that a picture is published in beside its largest."""

_FORMATS = ("JPEG", "PNG", "WEBP")
_ENDINGS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"JPEG": (".jpg", ".jpeg"), "PNG": (".png",), "WEBP": (".webp",)}
)
# Of the format's 80 to 95 a value at which a drawing's edges stay clean.
_QUALITY = 86
# The tag in which a camera says which way it was held, and its values that swap sides.
_ORIENTATION = 0x0112
_ON_ITS_SIDE = frozenset({5, 6, 7, 8})


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph without metadata, in one size.

    Attributes:
        data: its bytes.
        width: in pixels.
        height: in pixels.
    """

    data: bytes
    width: int
    height: int


def picture_fault(data: bytes, file: str) -> Fault | None:
    """Return why a photograph cannot be shown, or nothing.

    It is decoded to its end, in a small size where the format allows.

    Args:
        data: bytes of a JPEG, PNG or WebP file.
        file: its path below the archive, for the place of the fault.
    """
    found = _read(data, file, longest=LONGEST_SIDE // 4)
    return found if isinstance(found, Fault) else None


def bare_pictures(data: bytes, file: str) -> tuple[Picture, ...]:
    """Return a photograph upright, without metadata, the largest size first.

    The largest has at most ``LONGEST_SIDE`` pixels a side; the others are those of
    ``SMALLER_WIDTHS`` that are less wide.

    Args:
        data: bytes of a JPEG, PNG or WebP file.
        file: its path below the archive, for the place of a fault.

    Raises:
        FaultsFound: if it cannot be shown.
    """
    found = _read(data, file)
    if isinstance(found, Fault):
        raise FaultsFound([found])
    kind, image = found
    return tuple(
        Picture(_written(image, kind, size), *size) for size in _sizes(*image.size)
    )


def picture_sizes(data: bytes) -> tuple[tuple[int, int], ...]:
    """Return width and height, in pixels, of each size of a sound photograph.

    Only the head of the file is read.

    Args:
        data: bytes in which ``picture_fault`` found no fault.
    """
    from PIL import Image  # noqa: PLC0415 - heavy

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with Image.open(io.BytesIO(data), formats=_FORMATS) as opened:
            width, height = opened.size
            if opened.getexif().get(_ORIENTATION) in _ON_ITS_SIDE:
                width, height = height, width
    return _sizes(width, height)


def _sizes(width: int, height: int) -> tuple[tuple[int, int], ...]:
    share = min(1.0, LONGEST_SIDE / max(width, height))
    largest = (max(1, round(width * share)), max(1, round(height * share)))
    smaller = [
        (wide, max(1, round(largest[1] * wide / largest[0])))
        for wide in SMALLER_WIDTHS
        if wide < largest[0]
    ]
    return (largest, *smaller)


def _read(data: bytes, file: str, longest: int = 0) -> tuple[str, Image] | Fault:
    """Return format and upright picture, or what is wrong.

    Args:
        data: the file's bytes.
        file: its path below the archive.
        longest: side in pixels that suffices; 0 for the whole.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError  # noqa: PLC0415 - heavy

    try:
        with warnings.catch_warnings():
            # Of damaged tags the library warns; they are not published anyway.
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=_FORMATS) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    return _refused(file, f"{opened.width} x {opened.height} pixels")
                kind = opened.format or "JPEG"
                # Telephones put several pictures into one JPEG; the first is shown.
                kind = "JPEG" if kind == "MPO" else kind
                if not file.lower().endswith(_ENDINGS[kind]):
                    return _misnamed(file, kind)
                if longest:
                    opened.draft("RGB", (longest, longest))
                upright = _in_srgb(ImageOps.exif_transpose(opened))
                mode = "RGB" if kind == "JPEG" else "RGBA"
                return kind, upright.convert(mode)
    except UnidentifiedImageError:
        # Its own words name an address in memory, which differs from run to run.
        return _refused(file, "it is no picture that is known here")
    except (
        ArithmeticError,
        EOFError,
        LookupError,
        OSError,
        SyntaxError,
        TypeError,
        ValueError,
        struct.error,
        Image.DecompressionBombError,
        Image.DecompressionBombWarning,
    ) as error:
        return _refused(file, str(error) or type(error).__name__)


def _in_srgb(image: Image) -> Image:
    """Return a picture in the colours that browsers assume where nothing is said."""
    from PIL import ImageCms  # noqa: PLC0415 - heavy

    profile = image.info.get("icc_profile")
    if not profile or image.mode not in {"RGB", "RGBA"}:
        return image
    try:
        found = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        wanted = ImageCms.createProfile("sRGB")
        turned = ImageCms.profileToProfile(image, found, wanted)
    except (ImageCms.PyCMSError, OSError):
        # A profile that cannot be read leaves the colours as they are.
        return image
    return image if turned is None else turned


def _written(image: Image, kind: str, size: tuple[int, int]) -> bytes:
    from PIL import Image  # noqa: PLC0415 - heavy

    sized = (
        image if image.size == size else image.resize(size, Image.Resampling.LANCZOS)
    )
    # Made from its pixels alone: what else the library remembers is not written.
    clean = Image.frombytes(image.mode, size, sized.tobytes())
    written = io.BytesIO()
    if kind == "PNG":
        clean.save(written, format=kind, optimize=True)
    else:
        clean.save(written, format=kind, quality=_QUALITY, optimize=True)
    return written.getvalue()


def _refused(file: str, why: str) -> Fault:
    return Fault("picture-unreadable", Place(file), "", {"why": why})


def _misnamed(file: str, kind: str) -> Fault:
    values = {"kind": kind, "endings": " or ".join(_ENDINGS[kind])}
    return Fault("picture-name", Place(file), "", values)
