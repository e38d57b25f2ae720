"""QR codes in pages.

The code is read back here by a small reader written from ISO/IEC 18004, for symbols
of version 1 to 6 in byte mode; it uses nothing of the library that made the code.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from sitegen.pages.qr import TooLong, qr_svg

SVG = "{http://www.w3.org/2000/svg}"
QUIET = 4
# Table 9: data codewords of each block at error correction level L, M, Q, H.
BLOCKS: dict[int, dict[str, list[int]]] = {
    1: {"L": [19], "M": [16], "Q": [13], "H": [9]},
    2: {"L": [34], "M": [28], "Q": [22], "H": [16]},
    3: {"L": [55], "M": [44], "Q": [17] * 2, "H": [13] * 2},
    4: {"L": [80], "M": [32] * 2, "Q": [24] * 2, "H": [9] * 4},
    5: {"L": [108], "M": [43] * 2, "Q": [15, 15, 16, 16], "H": [11, 11, 12, 12]},
    6: {"L": [68] * 2, "M": [27] * 4, "Q": [19] * 4, "H": [15] * 4},
}
FORMAT_MASK = 0b101010000010010
LEVELS = "MLHQ"


def modules(svg: str) -> list[list[int]]:
    """Return the dark modules that the drawing shows, without its quiet zone."""
    root = ET.fromstring(svg)  # noqa: S314 - our own bytes
    side = int(root.get("viewBox", "").split()[2])
    grid = [[0] * side for _ in range(side)]
    path = root.find(f"{SVG}path")
    assert path is not None
    for x, y, width in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", path.get("d", "")):
        for at in range(int(x), int(x) + int(width)):
            grid[int(y)][at] = 1
    edge = range(QUIET, side - QUIET)
    for y in range(side):
        for x in range(side):
            assert not grid[y][x] or (x in edge and y in edge), "quiet zone"
    return [[grid[y][x] for x in edge] for y in edge]


def masked(mask: int, y: int, x: int) -> bool:
    """Return whether a mask turns a module (table 10)."""
    return (
        (y + x) % 2 == 0,
        y % 2 == 0,
        x % 3 == 0,
        (y + x) % 3 == 0,
        (y // 2 + x // 3) % 2 == 0,
        (y * x) % 2 + (y * x) % 3 == 0,
        ((y * x) % 2 + (y * x) % 3) % 2 == 0,
        ((y + x) % 2 + (y * x) % 3) % 2 == 0,
    )[mask]


def is_data(side: int, y: int, x: int) -> bool:
    """Return whether a module holds data: no finder, timing, alignment or format."""
    if (y < 9 and x < 9) or (y < 9 and x >= side - 8) or (y >= side - 8 and x < 9):
        return False
    if 6 in {y, x}:
        return False
    centre = side - 7
    return side == 21 or max(abs(y - centre), abs(x - centre)) > 2


def bits_of(grid: list[list[int]], mask: int) -> list[int]:
    side = len(grid)
    found: list[int] = []
    columns = [x for x in range(side - 1, 0, -1) if x > 6 and (side - 1 - x) % 2 == 0]
    columns += [5, 3, 1]
    for turn, right in enumerate(columns):
        rows = range(side - 1, -1, -1) if turn % 2 == 0 else range(side)
        for y in rows:
            pair = [x for x in (right, right - 1) if is_data(side, y, x)]
            found.extend(grid[y][x] ^ masked(mask, y, x) for x in pair)
    return found


def decoded(grid: list[list[int]]) -> str:
    side = len(grid)
    spots = [(8, x) for x in (0, 1, 2, 3, 4, 5, 7, 8)]
    spots += [(y, 8) for y in (7, 5, 4, 3, 2, 1, 0)]
    form = int("".join(str(grid[y][x]) for y, x in spots), 2) ^ FORMAT_MASK
    level, mask = LEVELS[form >> 13], form >> 10 & 0b111
    bits = bits_of(grid, mask)
    words = [
        int("".join(map(str, bits[at : at + 8])), 2)
        for at in range(0, len(bits) // 8 * 8, 8)
    ]
    sizes = BLOCKS[(side - 17) // 4][level]
    blocks: list[list[int]] = [[] for _ in sizes]
    stream = iter(words)
    for at in range(max(sizes)):
        for block, size in zip(blocks, sizes, strict=True):
            if at < size:
                block.append(next(stream))
    data = "".join(f"{word:08b}" for block in blocks for word in block)
    assert data[:4] == "0100", "byte mode"
    length = int(data[4:12], 2)
    return bytes(
        int(data[at : at + 8], 2) for at in range(12, 12 + 8 * length, 8)
    ).decode()


@pytest.mark.parametrize(
    "url",
    [
        "https://e.org/a",
        "https://example.org/bench/c/quiet/",
        "https://example.org/bench/devices/alder-3/?a=1&b=2",
        "https://example.org/a-longer/archive/devices/a-rather-long-name-of-a-device/",
    ],
)
def test_code_reads_back(url: str) -> None:
    """A reader made from the standard finds the address in the drawing."""
    assert decoded(modules(qr_svg(url))) == url


def test_finders_stand_in_three_corners() -> None:
    """The three finder patterns are where readers look for them."""
    ring = "1111111/1000001/1011101/1011101/1011101/1000001/1111111"
    grid = modules(qr_svg("https://example.org/"))
    side = len(grid)
    for top, left in ((0, 0), (0, side - 7), (side - 7, 0)):
        seen = ["".join(map(str, row[left : left + 7])) for row in grid[top : top + 7]]
        assert "/".join(seen) == ring


def test_dressed_for_a_page() -> None:
    """The drawing has a title, classes, no style attribute, and escapes its address."""
    svg = qr_svg('https://example.org/?a="><script>')
    root = ET.fromstring(svg)  # noqa: S314 - our own bytes
    assert root.findtext(f"{SVG}title") == (
        'QR code of https://example.org/?a="><script>'
    )
    assert root.get("aria-label") == root.findtext(f"{SVG}title")
    assert "style=" not in svg
    assert "<script" not in svg
    assert {each.get("class") for each in root.iter() if each.get("class")} == {
        "qr",
        "qr-ground",
        "qr-marks",
    }


def test_too_long() -> None:
    """An address that no code can hold is an error that says so."""
    with pytest.raises(TooLong):
        qr_svg("https://example.org/" + "a" * 3000)
