"""The words of a drawing, put into it by us: names, numbers of axes, their titles.

Every text has a place of its own, reckoned beforehand, so that the chart converter
need not lay any out. It measures each text a score of times, which took half of a
drawing's time.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import log
from typing import Any
from xml.etree import ElementTree as ET

from sitegen.figures.labels import LEADING

# How far below a text's middle, top and bottom its base line stands, in em.
_MIDDLE, _TOP, _BOTTOM = 0.3, 0.79, -0.21
_ANCHORS = {"left": None, "center": "middle", "right": "end"}


def bare(spec: dict[str, Any]) -> dict[str, Any]:
    """Return a chart description without any text.

    Args:
        spec: description with stacked layers.
    """
    layers = []
    for layer in spec["layer"]:
        if layer["mark"]["type"] == "text":
            continue
        encoding = dict(layer["encoding"])
        for channel in ("x", "y"):
            if channel in encoding and "title" in encoding[channel]:
                encoding[channel] = {**encoding[channel], "title": None}
        layers.append({**layer, "encoding": encoding})
    config = spec["config"]
    return {
        **spec,
        "layer": layers,
        "config": {**config, "axis": {**config["axis"], "labels": False}},
    }


def letters(spec: dict[str, Any]) -> ET.Element:
    """Return the texts of a chart, to be put into its drawing.

    Args:
        spec: description with stacked layers, sizes and axes filled in.
    """
    padding = spec["padding"]
    group = ET.Element(
        "g", {"transform": f"translate({_n(padding['left'])},{_n(padding['top'])})"}
    )
    for channel in ("x", "y"):
        encoding = _scaled(spec, channel)
        if encoding is not None:
            group.extend(_axis(spec, channel, encoding))
    for layer in spec["layer"]:
        if layer["mark"]["type"] == "text":
            group.extend(_named(spec, layer))
    return group


def tick_texts(values: Sequence[float], *, even: bool, decimal: str) -> list[str]:
    """Return the numbers of an axis.

    Args:
        values: where they stand.
        even: whether all have the same digits after the mark, as on a linear axis.
        decimal: the mark.
    """
    exact = [Decimal(f"{value:.10g}").normalize() for value in values]
    digits = [max(0, -int(value.as_tuple().exponent)) for value in exact]
    most = max(digits, default=0)
    texts = []
    for value, own in zip(exact, digits, strict=True):
        text = f"{value:,.{most if even else own}f}"
        # Thousands are set apart by a narrow blank that does not break.
        text = text.replace(",", "\u202f").replace(".", decimal)
        texts.append(text.replace("-", "\u2212"))
    return texts


def _scaled(spec: dict[str, Any], channel: str) -> dict[str, Any] | None:
    """Return the encoding of an axis: of the first layer that has it."""
    for layer in spec["layer"]:
        encoding = layer["encoding"].get(channel, {})
        if encoding.get("axis", {}).get("values"):
            return dict(encoding)
    return None


def _axis(
    spec: dict[str, Any], channel: str, encoding: dict[str, Any]
) -> list[ET.Element]:
    config = spec["config"]
    size = config["text"]["fontSize"]
    pad = config["axis"]["labelPadding"]
    scale = encoding["scale"]
    low, high = scale["domain"]
    is_log = scale.get("type") == "log"
    values = encoding["axis"]["values"]
    decimal = config["locale"]["number"]["decimal"]
    made = []
    for value, text in zip(
        values, tick_texts(values, even=not is_log, decimal=decimal), strict=True
    ):
        share = log(value / low) / log(high / low) if is_log else 0.0
        if not is_log:
            share = (value - low) / (high - low)
        if channel == "x":
            place = (share * spec["width"], spec["height"] + pad + _TOP * size)
            made.append(_text(*place, [text], "soft", "center", size))
        else:
            place = (-pad, (1 - share) * spec["height"] + _MIDDLE * size)
            made.append(_text(*place, [text], "soft", "right", size))
    title = encoding.get("title")
    if title and channel == "x":
        down = pad + size + config["axisX"]["titlePadding"] + _TOP * size
        place = (spec["width"] / 2, spec["height"] + down)
        made.append(_text(*place, [title], "soft", "center", size))
    elif title:
        at = config["axisY"]
        place = (at["titleX"], at["titleY"] + _BOTTOM * size)
        made.append(_text(*place, [title], "soft", "left", size))
    return made


def _named(spec: dict[str, Any], layer: dict[str, Any]) -> list[ET.Element]:
    size = spec["config"]["text"]["fontSize"]
    mark, encoding = layer["mark"], layer["encoding"]
    rows = spec["datasets"].get(layer["data"].get("name"), ())
    made = []
    for row in rows:
        text = row[encoding["text"]["field"]]
        ink = row[encoding["fill"]["field"]].removeprefix("var(--").removesuffix(")")
        made.append(
            _text(
                row[encoding["x"]["field"]],
                row[encoding["y"]["field"]] + _MIDDLE * size,
                text if isinstance(text, list) else [text],
                ink,
                mark.get("align", "left"),
                size,
                weight=mark.get("fontWeight", ""),
            )
        )
    return made


def _text(
    x: float,
    y: float,
    lines: Sequence[str],
    ink: str,
    align: str,
    size: float,
    *,
    weight: str = "",
) -> ET.Element:
    attributes = {"x": _n(x), "y": _n(y), "class": f"fill-{ink}"}
    anchor = _ANCHORS[align]
    if anchor:
        attributes["text-anchor"] = anchor
    if weight:
        attributes["font-weight"] = weight
    made = ET.Element("text", attributes)
    if len(lines) == 1:
        made.text = lines[0]
        return made
    for at, line in enumerate(lines):
        part = ET.SubElement(made, "tspan", {"x": _n(x)})
        if at:
            part.set("dy", _n(LEADING * size))
        part.text = line
    return made


def _n(value: float) -> str:
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
