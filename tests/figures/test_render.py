"""What a page gets: a lean drawing that follows the page's own colours."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
import vl_convert

from sitegen.figures import decay, theme
from sitegen.figures.drawn import DrawnParts, DrawTask, Figure, draw
from sitegen.figures.numbers import plain
from sitegen.figures.render import chart_runtime, png, still_svg, svg, vega
from tests.figures.examples import (
    decay_figure,
    decay_line,
    point,
    ranked_figure,
    residual_figure,
    run_figure,
    scatter_figure,
)

NS = "{http://www.w3.org/2000/svg}"
CSS = Path(__file__).resolve().parent.parent.parent / "assets" / "css" / "figures.css"


def examples() -> dict[str, Figure]:
    """Return a figure of each kind, and those with keys, marks and gaps."""
    floored = decay_line(rate_per_h=30.0, minutes=61, role="repeat")
    return {
        "decay": decay_figure(decay_line(), floored, decay_line(role="fit")),
        "decay-keyed": decay_figure(
            decay_line("A & B <i>", minutes=9), decay_line("Birch", index=1)
        ),
        "decay-many": decay_figure(
            *(decay_line(f"D{at}", index=at, rate_per_h=3 + at) for at in range(8))
        ),
        "run": run_figure(),
        "residuals": residual_figure(),
        "ranked": ranked_figure(),
        "scatter": scatter_figure(),
        "scatter-keyed": scatter_figure(
            *(point(f"Alder Tower, speed {at}", 40 + at / 50, 100) for at in range(12))
        ),
    }


KINDS = tuple(examples())


@cache
def parts(kind: str) -> DrawnParts:
    return draw(DrawTask(examples()[kind], f"figure-{kind}", plain))


def drawings(kind: str) -> Iterator[tuple[str, str, ET.Element]]:
    """Yield frame, text and tree of a figure's two drawings."""
    made = parts(kind)
    for frame, text in (("wide", made.wide), ("narrow", made.narrow)):
        yield frame, text, ET.fromstring(text)  # noqa: S314 - our own


@pytest.mark.parametrize("kind", KINDS)
def test_drawing_says_what_it_is(kind: str) -> None:
    """A drawing is an image named by its title and told by its description."""
    made = parts(kind)
    for frame, _, root in drawings(kind):
        ident = f"figure-{kind}-{frame}"
        assert root.tag == f"{NS}svg"
        assert root.get("role") == "img"
        assert root.get("id") == ident
        assert root.get("aria-labelledby") == f"{ident}-title {ident}-desc"
        title, desc = root.find(f"{NS}title"), root.find(f"{NS}desc")
        assert title is not None
        assert desc is not None
        assert (title.get("id"), title.text) == (f"{ident}-title", made.title)
        assert (desc.get("id"), desc.text) == (f"{ident}-desc", made.description)
        assert made.description


@pytest.mark.parametrize("kind", KINDS)
def test_policy_of_the_page_is_kept(kind: str) -> None:
    """A drawing has no style, no script, no handler and nothing from elsewhere."""
    for _, text, root in drawings(kind):
        tags = {element.tag.removeprefix(NS) for element in root.iter()}
        assert tags <= {
            "svg",
            "title",
            "desc",
            "g",
            "path",
            "line",
            "rect",
            "text",
            "tspan",
            "defs",
            "clipPath",
        }
        names = {name for element in root.iter() for name in element.attrib}
        assert "style" not in names
        assert not [name for name in names if name.startswith("on") or "href" in name]
        assert "url(http" not in text


@pytest.mark.parametrize("kind", KINDS)
def test_colours_are_the_pages(kind: str) -> None:
    """No colour is written out: a drawing has classes, which the style sheet knows."""
    known = set(re.findall(r"\.((?:fill|line)-[a-z0-9]+)", CSS.read_text("utf-8")))
    used: set[str] = set()
    for _, text, root in drawings(kind):
        for element in root.iter():
            for name in ("fill", "stroke"):
                assert element.get(name, "none") in {"none", "transparent"}
            if element is not root:
                used |= set(element.get("class", "").split())
        assert re.search(r"#[0-9a-fA-F]{3,8}\b|rgba?\(|var\(", text) is None
    assert used
    assert used <= known


@pytest.mark.parametrize("kind", KINDS)
def test_drawing_fits_its_frame(kind: str) -> None:
    """A drawing is as wide as its frame and carries its class."""
    for frame, _, root in drawings(kind):
        left, top, width, height = map(float, root.get("viewBox", "").split())
        assert (left, top) == (0, 0)
        assert width == pytest.approx(theme.FRAMES[frame].width, abs=0.1)
        assert height > 100
        assert root.get("class") == f"drawing {frame}"


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_unseen_is_kept(kind: str) -> None:
    """No empty group, unseen point, renderer's mark or needless digit is left in."""
    for _, text, root in drawings(kind):
        assert not [g for g in root.iter(f"{NS}g") if len(g) == 0]
        assert not [e for e in root.iter() if e.get("opacity") == "0"]
        assert not [e for e in root.iter() if e.get("d") == ""]
        for word in ("role-mark", "mark-group", "aria-hidden", "pointer-events"):
            assert word not in text
        for element in root.iter():
            for name, value in element.attrib.items():
                assert re.search(r"\.\d\d", value) is None, (name, value)


def words_in(root: ET.Element) -> list[str]:
    return [" ".join(text.itertext()) for text in root.iter(f"{NS}text")]


def test_words_of_a_drawing() -> None:
    """Names, target and titles of the axes stand in the drawing as text."""
    for _, _, root in drawings("decay"):
        said = words_in(root)
        assert "Alder, high" in " ".join(said)
        assert "Time since the start, min" in said
        assert "target 10\u00a0%" in " ".join(said)


def test_hostile_name_is_inert() -> None:
    """A name that looks like markup is text."""
    for _, text, root in drawings("decay-keyed"):
        assert "A & B <i>" in " ".join(words_in(root))
        assert "<i>" not in text


def test_gap_is_not_bridged() -> None:
    """A line with a gap is drawn in two strokes, one without in one."""
    whole = decay_line(minutes=21)
    broken = decay_line(minutes=21)
    values = (*whole.value[:8], None, None, *whole.value[10:])
    broken = type(broken)(broken.label, "middle", whole.t_min, values)

    def strokes(line: decay.DecayLine) -> list[int]:
        spec = decay.spec(decay_figure(line, target=None))
        root = ET.fromstring(svg(spec, "a", "t", "d", "wide"))  # noqa: S314 - our own
        return [
            path.get("d", "").count("M")
            for path in root.iter(f"{NS}path")
            if path.get("class") == "line-d1" and path.get("stroke-width") == "2"
        ]

    assert strokes(whole) == [1]
    assert strokes(broken) == [2]


def test_triangle_of_a_reading_below_the_axis() -> None:
    """Each reading too low for the axis is one mark more in the drawing."""

    def marks(*low: float) -> int:
        line = decay_line(minutes=21)
        values = (*line.value[: 21 - len(low)], *low)
        line = type(line)(line.label, "middle", line.t_min, values)
        spec = decay.spec(decay_figure(line, target=None))
        root = ET.fromstring(svg(spec, "a", "t", "d", "wide"))  # noqa: S314 - our own
        closed = [p for p in root.iter(f"{NS}path") if p.get("d", "").endswith("Z")]
        return len(closed)

    none = marks()
    assert marks(0.0) == none + 1
    assert marks(0.0, -0.1, 1e-7) == none + 3


def test_empty_layers_are_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """A layer without data, or one that only points, is not drawn at all."""
    given: list[dict[str, Any]] = []
    drawer = vl_convert.vegalite_to_svg

    def watched(spec: dict[str, Any]) -> str:
        given.append(spec)
        return str(drawer(spec))

    spec = decay.spec(decay_figure(target=None))
    monkeypatch.setattr(vl_convert, "vegalite_to_svg", watched)
    drawing = svg(spec, "a", "t", "d", "wide")
    names = [layer["data"]["name"] for layer in given[0]["layer"]]
    # One line, and the short line that leads to its name; words are ours to write.
    assert names == ["middles", "leaders"]
    assert ">Alder, high</text>" in drawing
    assert len(spec["layer"]) > 3


def test_spec_is_not_changed_by_drawing() -> None:
    """Drawing leaves the description as it was, and gives the same bytes again."""
    spec = decay.spec(decay_figure())
    before = json.dumps(spec, sort_keys=True)
    first = svg(spec, "a", "t", "d", "wide")
    assert json.dumps(spec, sort_keys=True) == before
    assert svg(spec, "a", "t", "d", "wide") == first


@pytest.mark.parametrize(("paper", "place"), [("light", 0), ("dark", 1)])
def test_still_stands_alone(paper: theme.Paper, place: int) -> None:
    """A still has its colours written in, its title and its credit."""
    spec = decay.spec(decay_figure(credit="Bench, 2024"), theme.CARD)
    made = still_svg(theme.coloured(spec, paper))
    assert "var(" not in made
    assert theme.TOKENS["--d1"][place] in made
    root = ET.fromstring(made)  # noqa: S314 - our own
    said = words_in(root)
    assert {"Decay", "Bench, 2024"} <= set(said)
    assert (root.get("width"), root.get("height")) == ("1200", "630")


def test_picture() -> None:
    """A picture has the size of its frame times the scale."""
    spec = theme.coloured(decay.spec(decay_figure(), theme.CARD), "light")
    data = png(spec, 0.5)
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = (int.from_bytes(data[at : at + 4], "big") for at in (16, 20))
    assert (width, height) == (600, 315)


def test_compiled_chart_asks_for_nothing() -> None:
    """A chart for the page's script holds its data and names no address."""
    made = vega(decay.spec(decay_figure()))
    text = json.dumps(made)
    assert "$schema" not in made
    assert "http" not in text
    assert "Alder, high" in text


def test_script_of_the_charts() -> None:
    """The script that draws charts is one classic script."""
    script = chart_runtime()
    assert script.endswith(b"\n")
    assert not script.endswith(b"\n\n")
    assert len(script) > 100_000
