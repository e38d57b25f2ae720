"""The words of drawings stand where the chart's own would."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any
from xml.etree import ElementTree as ET

import pytest
import vl_convert

from sitegen.figures import decay, residuals, run, scatter
from sitegen.figures.lettering import bare, letters, tick_texts
from sitegen.figures.theme import NARROW, WIDE, Frame
from tests.figures import examples

Spec = dict[str, Any]
SVG = "{http://www.w3.org/2000/svg}"


def _by_converter(spec: Spec) -> dict[str, list[tuple[float, float]]]:
    """Return text to places as the chart converter lays it out, px of the sheet."""
    found: dict[str, list[tuple[float, float]]] = {}

    def walk(element: ET.Element, x: float, y: float) -> None:
        moved = re.match(
            r"translate\(([-\d.]+),\s*([-\d.]+)\)", element.get("transform", "")
        )
        if moved:
            x, y = x + float(moved[1]), y + float(moved[2])
        if element.tag == f"{SVG}text":
            text = "".join(element.itertext())
            found.setdefault(text, []).append((x, y))
        for child in element:
            walk(child, x, y)

    walk(ET.fromstring(vl_convert.vegalite_to_svg(spec)), 0.0, 0.0)  # noqa: S314 - ours
    return found


def _by_us(spec: Spec) -> dict[str, list[tuple[float, float]]]:
    group = letters(spec)
    moved = re.match(r"translate\(([-\d.]+),([-\d.]+)\)", group.get("transform", ""))
    assert moved is not None
    found: dict[str, list[tuple[float, float]]] = {}
    for element in group:
        place = (
            float(moved[1]) + float(element.get("x", "")),
            float(moved[2]) + float(element.get("y", "")),
        )
        found.setdefault("".join(element.itertext()), []).append(place)
    return found


CASES: list[tuple[str, Callable[[Frame], Spec]]] = [
    ("decay", lambda frame: decay.spec(examples.decay_figure(), frame)),
    (
        "linear decay",
        lambda frame: decay.spec(examples.decay_figure(scale="linear"), frame),
    ),
    ("run", lambda frame: run.spec(examples.run_figure(), frame)),
    ("residuals", lambda frame: residuals.spec(examples.residual_figure(), frame)),
    ("scatter", lambda frame: scatter.spec(examples.scatter_figure(), frame)),
]


@pytest.mark.parametrize("frame", [WIDE, NARROW], ids=lambda frame: frame.name)
@pytest.mark.parametrize(("name", "made"), CASES, ids=[name for name, _ in CASES])
def test_words_stand_where_the_converter_puts_them(
    name: str, made: Callable[[Frame], Spec], frame: Frame
) -> None:
    """Every text of the converter is ours too, at its place to within 2 px."""
    theirs, ours = _by_converter(made(frame)), _by_us(made(frame))
    assert set(ours) == set(theirs), name
    for text, places in theirs.items():
        for (x, y), (own_x, own_y) in zip(
            sorted(places), sorted(ours[text]), strict=True
        ):
            assert own_x == pytest.approx(x, abs=2.0), (text, places)
            assert own_y == pytest.approx(y, abs=2.0), (text, places)


def test_nothing_is_left_to_be_written() -> None:
    """A bare description has no text for the converter to lay out."""
    spec = run.spec(examples.run_figure())
    assert "<text" not in vl_convert.vegalite_to_svg(bare(spec))
    assert "<text" in vl_convert.vegalite_to_svg(spec)


@pytest.mark.parametrize(
    ("values", "even", "decimal", "expected"),
    [
        ([0.0, 0.05, 0.1], True, ".", ["0.00", "0.05", "0.10"]),
        ([0.0, 0.5, 1.0], True, ",", ["0,0", "0,5", "1,0"]),
        ([0.5, 1.0, 10.0, 100.0], False, ".", ["0.5", "1", "10", "100"]),
        ([-200.0, 0.0], True, ".", ["\u2212200", "0"]),
        ([0.0, 1000.0], True, ".", ["0", "1\u202f000"]),
    ],
)
def test_numbers_of_axes(
    values: list[float], even: bool, decimal: str, expected: list[str]
) -> None:
    """A linear axis has the same digits all along, a logarithmic one its shortest."""
    assert tick_texts(values, even=even, decimal=decimal) == expected
