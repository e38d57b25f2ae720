"""Photographs: what a camera wrote about place, time and owner is left out.

A bench is often a home. The picture is decoded and written anew, so that no metadata
of any kind is carried over.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from sitegen.errors import Fault, Place

MOST_PIXELS = 40_000_000
LONGEST_SIDE = 1600
_FORMATS = ("JPEG", "PNG", "WEBP")


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph without metadata.

    Attributes:
        data: its bytes; empty when there is a fault.
        width: in pixels.
        height: in pixels.
        fault: why it cannot be shown, or nothing.
    """

    data: bytes
    width: int = 0
    height: int = 0
    fault: Fault | None = None


def bare_picture(data: bytes, file: str) -> Picture:
    """Return a photograph upright, at most ``LONGEST_SIDE`` pixels, without metadata.

    Args:
        data: bytes of a JPEG, PNG or WebP file.
        file: its path below the archive, for the place of a fault.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError  # noqa: PLC0415 - heavy

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=_FORMATS) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    return _refused(file, f"{opened.width} x {opened.height} pixels")
                kind = opened.format or "JPEG"
                upright = ImageOps.exif_transpose(opened)
                upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
                mode = "RGB" if kind == "JPEG" else "RGBA"
                clean = Image.frombytes(
                    mode, upright.size, upright.convert(mode).tobytes()
                )
    except UnidentifiedImageError:
        # Its own words name an address in memory, which differs from run to run.
        return _refused(file, "it is no picture that is known here")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombWarning) as error:
        return _refused(file, str(error) or type(error).__name__)
    written = io.BytesIO()
    options = {"quality": 86, "optimize": True} if kind == "JPEG" else {}
    clean.save(written, format=kind, **options)
    return Picture(written.getvalue(), clean.width, clean.height)


def _refused(file: str, why: str) -> Picture:
    return Picture(
        b"", fault=Fault("picture-unreadable", Place(file), "", {"why": why})
    )


def size_of(data: bytes) -> tuple[int, int]:
    """Return width and height in pixels of a photograph that has been read before."""
    from PIL import Image  # noqa: PLC0415 - heavy

    with Image.open(io.BytesIO(data), formats=_FORMATS) as opened:
        return opened.width, opened.height
