"""A QR code of a permanent address, as SVG that stands in a page.

The code is ISO/IEC 18004 by segno; the drawing is ours, with classes and without
style attributes. Dark marks on a light ground are written into it, because readers
of such codes need them so, also on a dark page.
"""

from __future__ import annotations

from html import escape
from itertools import groupby

from sitegen.errors import SitegenError
from sitegen.pages.words import ENGLISH, Words

# The quiet zone that the standard asks for, modules.
QUIET_MODULES = 4


class TooLong(SitegenError):
    """A text has more characters than a QR code can hold."""


def qr_svg(url: str, words: Words = ENGLISH) -> str:
    """Return the code of an address.

    One module is one unit of the drawing; its size on the page is left to the page.

    Args:
        url: the full address.
        words: the interface's words.

    Raises:
        TooLong: if no code can hold the address.
    """
    import segno  # noqa: PLC0415 - for pages with a code alone

    try:
        code = segno.make_qr(url, error="m")
    except segno.DataOverflowError as error:
        raise TooLong(url) from error
    rows = [tuple(bytes(row)) for row in code.matrix]
    side = len(rows) + 2 * QUIET_MODULES
    title = escape(words("QR code of {address}", address=url))
    return (
        f'<svg class="qr" viewBox="0 0 {side} {side}" role="img" '
        f'aria-label="{title}" shape-rendering="crispEdges" '
        'xmlns="http://www.w3.org/2000/svg">'
        f"<title>{title}</title>"
        f'<rect class="qr-ground" width="{side}" height="{side}" fill="#fff"/>'
        f'<path class="qr-marks" fill="#000" d="{_path(rows)}"/>'
        "</svg>"
    )


def _path(rows: list[tuple[int, ...]]) -> str:
    """Return the dark modules as rectangles, one for each stretch of a row."""
    drawn: list[str] = []
    for y, row in enumerate(rows, QUIET_MODULES):
        x = QUIET_MODULES
        for dark, stretch in groupby(row):
            width = len(list(stretch))
            if dark:
                drawn.append(f"M{x} {y}h{width}v1h-{width}z")
            x += width
    return "".join(drawn)
