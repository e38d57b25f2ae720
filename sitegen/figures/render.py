"""From a chart's description to what a page holds: SVG, PNG, Vega.

A drawing in a page carries classes for its colours, so that it follows the page's
tokens (light, dark, print); no style attribute, since the page's policy refuses them.
"""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree as ET

from sitegen.figures.lettering import bare, letters

SVG = "http://www.w3.org/2000/svg"
_TOKEN = re.compile(r"^var\(--([a-z0-9]+)\)$")
_NUMBER = re.compile(r"-?\d+\.\d+(?:e-?\d+)?|-?\d+e-?\d+")
# What says nothing: the values that SVG assumes anyway, and marks of the renderer.
_ASSUMED = {
    "opacity": {"1"},
    "stroke-opacity": {"1"},
    "fill-opacity": {"1"},
    "stroke-width": {"1"},
    "font-weight": {"normal"},
    "text-anchor": {"start"},
    "stroke-dasharray": {"1,0", "1.1,0", "2,0"},
    "stroke-miterlimit": {"10"},
    "stroke-linejoin": {"miter"},
    "transform": {"translate(0,0)"},
    "x2": {"0"},
    "y2": {"0"},
}
_NEVER = {
    "style",
    "role",
    "pointer-events",
    "font-family",
    "aria-hidden",
    "aria-label",
    "aria-roledescription",
    "display",
}


def svg(
    spec: dict[str, Any], ident: str, title: str, description: str, frame: str
) -> str:
    """Return a drawing to be put into a page.

    Args:
        spec: chart description (Vega-Lite) whose colours are tokens.
        ident: its id; unique on the page.
        title: its title.
        description: its text alternative.
        frame: name of the frame, a class of the drawing.
    """
    import vl_convert

    drawn = bare(spec)
    drawn["layer"] = [each for each in drawn["layer"] if _is_drawn(each, spec)]
    root = ET.fromstring(vl_convert.vegalite_to_svg(drawn))  # noqa: S314 - our own
    width, height = (root.get(name, "0") for name in ("width", "height"))
    drawing = ET.Element(
        "svg",
        {
            "xmlns": SVG,
            "class": f"drawing {frame}",
            "viewBox": f"0 0 {_short(width)} {_short(height)}",
            "role": "img",
            "id": ident,
            "aria-labelledby": f"{ident}-title {ident}-desc",
        },
    )
    ET.SubElement(drawing, "title", {"id": f"{ident}-title"}).text = title
    ET.SubElement(drawing, "desc", {"id": f"{ident}-desc"}).text = description
    for child in root:
        drawing.extend(_lean(child))
    drawing.append(letters(spec))
    drawing.set("font-size", _short(str(spec["config"]["text"]["fontSize"])))
    return ET.tostring(drawing, encoding="unicode")


def _is_drawn(layer: dict[str, Any], spec: dict[str, Any]) -> bool:
    """Return whether a layer can be seen: it has data, and does not only point."""
    rows = spec["datasets"].get(layer["data"].get("name"), True)
    return bool(rows) and layer["mark"].get("opacity", 1) != 0


def still_svg(spec: dict[str, Any]) -> str:
    """Return a drawing that stands alone, its colours written in it.

    Args:
        spec: chart description (Vega-Lite) with colours, see `theme.coloured`.
    """
    import vl_convert

    return str(vl_convert.vegalite_to_svg(spec))


def png(spec: dict[str, Any], scale: float = 1.0) -> bytes:
    """Return a picture of a chart.

    Args:
        spec: chart description (Vega-Lite) with colours, see `theme.coloured`.
        scale: pixels for each px of the description.
    """
    import vl_convert

    return bytes(vl_convert.vegalite_to_png(spec, scale=scale))


def lean_png(data: bytes, colours: int = 64) -> bytes:
    """Return a picture with so few colours as a drawing needs; a fifth of the bytes."""
    import io

    from PIL import Image

    made = io.BytesIO()
    with Image.open(io.BytesIO(data)) as picture:
        few = picture.convert("RGB").quantize(colours, Image.Quantize.FASTOCTREE)
        few.save(made, format="PNG", optimize=True)
    return made.getvalue()


def vega(spec: dict[str, Any]) -> dict[str, Any]:
    """Return the compiled chart (Vega) that the page's script draws."""
    import vl_convert

    made: dict[str, Any] = vl_convert.vegalite_to_vega(spec)
    made.pop("$schema", None)
    return made


def chart_runtime() -> bytes:
    """Return the script that draws interactive charts, for the site's assets.

    One classic script made of general-purpose charting libraries, wrapped so that
    its names do not meet those of a page.
    """
    import vl_convert

    # The library's own stub takes the snippet for required; without one it gives all.
    bundle = vl_convert.javascript_bundle()  # type: ignore[call-arg]
    return f"(function () {{\n{bundle.strip()}\n}})();\n".encode()


def _lean(element: ET.Element) -> list[ET.Element]:
    """Return what is to be drawn of an element, without empty groups and wrappers."""
    tag = element.tag.removeprefix(f"{{{SVG}}}")
    kept: list[ET.Element] = []
    for child in element:
        kept.extend(_lean(child))
    attributes = _attributes(element)
    if tag == "g":
        if not kept:
            return []
        if not attributes:
            return kept
        if len(kept) == 1 and set(attributes) == {"transform"} and kept[0].tag == "g":
            inner = kept[0].get("transform")
            both = f"{attributes['transform']} {inner}" if inner else None
            kept[0].set("transform", both or attributes["transform"])
            return kept
    elif tag in {"defs", "clipPath"}:
        if not kept:
            return []
    elif tag in {"path", "line", "rect"} and not _seen(attributes):
        return []
    lean = ET.Element(tag, attributes)
    lean.text = element.text if tag in {"text", "tspan"} else None
    lean.extend(kept)
    return [lean]


def _seen(attributes: dict[str, str]) -> bool:
    if attributes.get("opacity") == "0" or attributes.get("d") == "":
        return False
    return any(
        attributes.get(name, "none") not in {"none", "transparent"}
        for name in ("stroke", "fill")
    ) or any(word in attributes.get("class", "") for word in ("fill-", "line-"))


def _attributes(element: ET.Element) -> dict[str, str]:
    """Return the attributes that draw, colours as classes, numbers short."""
    found: dict[str, str] = {}
    classes = []
    for name, value in element.attrib.items():
        if name in _NEVER or name == "class" or value in _ASSUMED.get(name, ()):
            continue
        token = _TOKEN.match(value)
        if token and name in {"fill", "stroke"}:
            classes.append(f"{'fill' if name == 'fill' else 'line'}-{token[1]}")
        elif name == "d":
            found[name] = _path(value)
        elif name == "font-size":
            found[name] = _short(value.removesuffix("px"))
        elif name != "xmlns":
            found[name] = _NUMBER.sub(lambda n: _short(n[0]), value)
    if classes:
        found["class"] = " ".join(classes)
    return found


def _short(text: str) -> str:
    """Return a number with one digit after the point, if it has any."""
    short = f"{float(text):.1f}".removesuffix(".0")
    return "0" if short == "-0" else short


def _path(d: str) -> str:
    """Return path data with short numbers and without what repeats."""
    short = _NUMBER.sub(lambda n: _short(n[0]), d)
    # After M and L, further pairs are lines by themselves.
    return re.sub(r"(?<=[\d])L", " ", short)
