"""Stills show the numbers of the page, and nothing near the edges."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import html5lib
import pytest
from PIL import Image

from sitegen.archive_build import published_folders
from sitegen.archive_build.published import published
from sitegen.desk.stills import Still, make_stills, write_stills
from sitegen.errors import UsageFault
from tests.conftest import Compiled

RANKED, SCATTER, DECAY = "quiet-bedroom", "air-and-power", "box-step-by-step"
SIZES = ("1920x1080", "3840x2160", "1080x1920")
_XHTML = "{http://www.w3.org/1999/xhtml}"
_MOVED = re.compile(r"translate\(([-\d.e]+),\s*([-\d.e]+)\)")


@pytest.fixture(scope="module")
def stills(demo: Compiled) -> dict[str, dict[str, Still]]:
    """The stills of one comparison of each kind, by their names."""
    with published(published_folders(demo.archive)) as view:
        return {
            name: {one.name: one for one in make_stills(view, name, "light")}
            for name in (RANKED, SCATTER, DECAY)
        }


@dataclass(frozen=True, slots=True)
class Mark:
    """Something drawn: its group's classes, place, path and text."""

    role: str
    x: float
    y: float
    path: str
    text: str


def marks_of(still: Still) -> list[Mark]:
    """Return what an SVG draws, each at its place in the frame."""

    def walk(element: ET.Element, x: float, y: float, role: str) -> Iterator[Mark]:
        found = _MOVED.match(element.get("transform", ""))
        if found:
            x, y = x + float(found[1]), y + float(found[2])
        role = element.get("class") or role
        yield Mark(role, x, y, element.get("d", ""), element.text or "")
        for child in element:
            yield from walk(child, x, y, role)

    return list(walk(ET.fromstring(still.data.decode()), 0.0, 0.0, ""))  # noqa: S314


def texts_of(still: Still) -> list[str]:
    """Return all words of an SVG, in the order in which they are drawn."""
    return [mark.text for mark in marks_of(still) if mark.text.strip()]


def scale_of(marks: Sequence[Mark], *, across: bool) -> tuple[float, float, float]:
    """Return value and place of two ticks as a line: value at 0 px, value a px, log?

    Args:
        marks: the marks of an SVG.
        across: whether of the horizontal axis.
    """
    ticks = [mark for mark in marks if "role-axis-label" in mark.role and mark.text]
    level = max(mark.y for mark in ticks)
    on = [mark for mark in ticks if (abs(mark.y - level) < 1) == across]
    values = [float(mark.text.replace("\u2212", "-")) for mark in on]
    grids = sorted({mark.x if across else mark.y for mark in on})
    assert len(grids) == len(values)
    places = [mark.x if across else mark.y for mark in on]
    first, last = (values[0], places[0]), (values[-1], places[-1])
    even = len({round(b - a, 6) for a, b in pairwise(values)}) == 1
    if even or across:
        per_px = (last[0] - first[0]) / (last[1] - first[1])
        return first[0] - per_px * first[1], per_px, 0.0
    per_px = math.log(last[0] / first[0]) / (last[1] - first[1])
    return math.log(first[0]) - per_px * first[1], per_px, 1.0


def value_at(scale: tuple[float, float, float], place: float) -> float:
    """Return the value that stands at a place."""
    found = scale[0] + scale[1] * place
    return math.exp(found) if scale[2] else found


def page_table(demo: Compiled, comparison: str) -> list[list[str]]:
    """Return the table of numbers of the figure on the comparison's page."""
    page = demo.site / "c" / comparison / "index.html"
    tree = html5lib.parse(page.read_bytes(), transport_encoding="utf-8")
    figure = tree.find(f".//{_XHTML}figure")
    assert figure is not None
    return [
        ["".join(cell.itertext()) for cell in row] for row in figure.iter(f"{_XHTML}tr")
    ]


def svgs(stills: dict[str, dict[str, Still]], comparison: str) -> list[Still]:
    """Return the SVG stills of a comparison, lying and upright."""
    return [
        stills[comparison][f"{comparison}-{size}.svg"]
        for size in ("1920x1080", "1080x1920")
    ]


def test_intervals_are_those_of_the_page(
    demo: Compiled, stills: dict[str, dict[str, Still]]
) -> None:
    """A ranked still has the page's first rows, and counts those left out."""
    _, *rows = page_table(demo, RANKED)
    for still in svgs(stills, RANKED):
        words = texts_of(still)
        shown = [text for text in words if re.fullmatch(r"[\d.]+ to [\d.]+", text)]
        assert len(shown) >= 6
        assert shown == [row[2] for row in rows[: len(shown)]]
        joined = " ".join(words)
        more = re.search(r"(\d+) more are in the table", joined)
        assert more
        published_rows = csv.DictReader(
            io.StringIO((demo.site / "data/results.csv").read_text(encoding="utf-8"))
        )
        assert sum(1 for _ in published_rows) > len(rows)
        page = (demo.site / "c" / RANKED / "index.html").read_text(encoding="utf-8")
        told = re.search(r"(\d+) more are in the table", page)
        assert int(more[1]) == len(rows) - len(shown) + int(told[1] if told else 0)


def test_points_are_those_of_the_data(
    demo: Compiled, stills: dict[str, dict[str, Still]]
) -> None:
    """Every point of a scatter still stands at the numbers of results.csv."""
    text = (demo.site / "data/results.csv").read_text(encoding="utf-8")
    known = [
        (float(row["power_w"]), float(row["cadr_m3h"]))
        for row in csv.DictReader(io.StringIO(text))
        if row["power_w"] and row["cadr_m3h"]
    ]
    for still in svgs(stills, SCATTER):
        marks = marks_of(still)
        x, y = scale_of(marks, across=True), scale_of(marks, across=False)
        points = [
            (value_at(x, mark.x), value_at(y, _centred(mark.y, marks)))
            for mark in marks
            if "mark-symbol" in mark.role and mark.path
        ]
        assert len(points) > 50
        for watts, cadr in points:
            assert any(abs(watts - w) < 0.4 and abs(cadr - c) < 4 for w, c in known), (
                watts,
                cadr,
            )


def _centred(y: float, marks: Sequence[Mark]) -> float:
    """Return a height as the labels of the axis have it, whose base lines are lower."""
    labels = [mark for mark in marks if "role-axis-label" in mark.role and mark.text]
    level = max(mark.y for mark in labels)
    ups = sorted(mark.y for mark in labels if abs(mark.y - level) > 1)
    rules = sorted(
        mark.y for mark in marks if "role-axis-grid" in mark.role and mark.y != 0
    )
    near = [line for line in rules if abs(line - ups[0]) < 40]
    return y + (ups[0] - near[0])


def test_curves_are_those_of_the_page(
    demo: Compiled, stills: dict[str, dict[str, Still]]
) -> None:
    """A decay still's strong lines pass through the numbers of the page's table."""
    head, *rows = page_table(demo, DECAY)
    middles = [at for at, name in enumerate(head) if at and "repeat" not in name]
    wanted = {
        (float(row[0]), float(row[at])) for row in rows for at in middles if row[at]
    }
    assert len(wanted) > 6
    for still in svgs(stills, DECAY):
        marks = marks_of(still)
        x, y = scale_of(marks, across=True), scale_of(marks, across=False)
        drawn = [
            (
                value_at(x, mark.x + float(px)),
                value_at(y, _centred(mark.y + float(py), marks)),
            )
            for mark in marks
            if "mark-line" in mark.role and mark.path
            for px, py in re.findall(r"([-\d.e]+),([-\d.e]+)", mark.path)
        ]
        for minute, percent in wanted:
            assert any(
                abs(t - minute) < 0.35 and abs(math.log(p / percent)) < 0.03
                for t, p in drawn
            ), (minute, percent)


@pytest.mark.parametrize("comparison", [RANKED, SCATTER, DECAY])
def test_edges_are_empty(stills: dict[str, dict[str, Still]], comparison: str) -> None:
    """Pictures have their sizes, and their outermost twentieth is bare paper."""
    for size in SIZES:
        still = stills[comparison][f"{comparison}-{size}.png"]
        with Image.open(io.BytesIO(still.data)) as picture:
            seen = picture.convert("RGB")
        wide, high = map(int, size.split("x"))
        assert seen.size == (wide, high)
        paper = seen.getpixel((0, 0))
        edges = (
            (0, 0, wide, high // 20),
            (0, high - high // 20, wide, high),
            (0, 0, wide // 20, high),
            (wide - wide // 20, 0, wide, high),
        )
        for edge in edges:
            assert seen.crop(edge).getcolors() is not None
            assert {colour for _, colour in seen.crop(edge).getcolors() or ()} == {
                paper
            }
        inside = seen.crop((wide // 10, high // 10, wide - wide // 10, high // 2))
        assert len(inside.getcolors(1 << 24) or ()) > 4


@pytest.mark.parametrize("comparison", [RANKED, SCATTER, DECAY])
def test_the_source_is_named(
    demo: Compiled, stills: dict[str, dict[str, Still]], comparison: str
) -> None:
    """Every still names its page's address, whole, and the newest result's day."""
    page = (demo.site / "c" / comparison / "index.html").read_text(encoding="utf-8")
    canonical = re.search(r'rel="canonical" href="https://([^"]+)"', page)
    assert canonical
    for still in svgs(stills, comparison):
        words = "".join(texts_of(still))
        assert canonical[1] in words
        assert re.search(r"newest result \d{1,2} [A-Z][a-z]+ 2\d{3}", words)
        assert "simulated data" in words


def test_type_is_large(stills: dict[str, dict[str, Still]]) -> None:
    """Type that is not told to be small is shown at 12 px at least on a phone."""
    for by_name in stills.values():
        for name, still in by_name.items():
            if not name.endswith(".svg") or still.small:
                continue
            sizes = re.findall(r'font-size="([\d.]+)px"', still.data.decode())
            body = sorted(map(float, sizes))[len(sizes) // 2]
            wide = 1920 if "1920x1080" in name else 1080
            assert body * (844 if wide == 1920 else 390) / wide >= 12


def test_an_unknown_comparison_is_refused(demo: Compiled) -> None:
    """A comparison that is not published is refused, with a guess what was meant."""
    with (
        published(published_folders(demo.archive)) as view,
        pytest.raises(UsageFault, match='did you mean "quiet-bedroom"'),
    ):
        make_stills(view, "quiet-bedrom", "light")


def test_pictures_of_before_are_replaced(tmp_path: Path) -> None:
    """Writing again replaces a picture, and leaves other files alone."""
    folder = tmp_path / "frames"
    write_stills(folder, (Still("a.png", b"one"),))
    (folder / "mine.txt").write_bytes(b"kept")
    assert write_stills(folder, (Still("a.png", b"two"),)) == (folder / "a.png",)
    found = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert found == {"a.png": b"two", "mine.txt": b"kept"}
