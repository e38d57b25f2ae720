"""What the kinds of chart share: a description made once, filled many times."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

from sitegen.figures.axes import Axis
from sitegen.figures.theme import INK, SOFT, Frame, config

if TYPE_CHECKING:
    import altair as alt

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Plot:
    """The rectangle of data inside a frame, px.

    Attributes:
        left: room at its left.
        top: room above.
        right: room at its right.
        bottom: room below.
        width: its width.
        height: its height.
    """

    left: float
    top: float
    right: float
    bottom: float
    width: float
    height: float

    def x(self, axis: Axis, value: float) -> float:
        """Return where ``value`` stands from the plot's left edge, px."""
        return axis.share(value) * self.width

    def y(self, axis: Axis, value: float) -> float:
        """Return where ``value`` stands from the plot's upper edge, px."""
        return (1 - axis.share(value)) * self.height


def plot(
    frame: Frame,
    *,
    left: float,
    top: float,
    right: float,
    bottom: float,
    height: float,
) -> Plot:
    """Return the plot of a frame with these margins.

    Args:
        frame: the sheet.
        left: room at the left, px.
        top: room above without the title, px.
        right: room at the right, px.
        bottom: room below without the credit, px.
        height: height of the data's rectangle, px; a frame with a height of its own
            decides instead.
    """
    if frame.titled:
        top += 2.6 * frame.text_px
        left += frame.text_px
        right += frame.text_px
        bottom += 2.2 * frame.text_px
    # Quarters of a pixel add up exactly, so that the sheet has the size asked for.
    left, top, right, bottom = (
        round(4 * each) / 4 for each in (left, top, right, bottom)
    )
    height = round(4 * height) / 4
    if frame.height:
        height = frame.height - top - bottom
    return Plot(left, top, right, bottom, frame.width - left - right, height)


def scaled_x(field: str, **more: Any) -> alt.X:
    """Return the x channel of a field on the shared axis, to be filled."""
    return cast("alt.X", _scaled("X", field, "x", **more))


def scaled_y(field: str, **more: Any) -> alt.Y:
    """Return the y channel of a field on the shared axis, to be filled."""
    return cast("alt.Y", _scaled("Y", field, "y", **more))


def _scaled(channel: str, field: str, name: str, **more: Any) -> Any:
    import altair as alt

    return getattr(alt, channel)(
        field,
        type="quantitative",
        title=f"@{name}_title",
        scale=alt.Scale(domain=[f"@{name}_domain"], zero=False, nice=False),
        axis=alt.Axis(values=[f"@{name}_ticks"]),
        **more,
    )


def as_is(channel: str, field: str) -> Any:
    """Return a channel whose field already holds what is drawn: px, colour, dash."""
    import altair as alt

    kind = "nominal" if channel in {"Stroke", "Fill", "StrokeDash", "Shape"} else None
    made = getattr(alt, channel)
    if channel in {"X2", "Y2"}:
        return made(field)
    return (
        made(field, type=kind or "quantitative", scale=None, legend=None)
        if (channel not in {"X", "Y"})
        else made(field, type="quantitative", scale=None)
    )


def named(name: str) -> alt.Data:
    """Return a reference to rows that are put in later."""
    import altair as alt

    return cast("alt.Data", alt.NamedData(name=name))


def thick(times: float) -> Any:
    """Return a thickness that follows the frame's."""
    import altair as alt

    return alt.expr(f"{times}*stroke")


def text_layer(name: str, align: str, baseline: str = "middle", **mark: Any) -> Any:
    """Return a layer of words at pixel places, rows of ``px``, ``py``, ``text``."""
    import altair as alt

    return (
        alt.Chart(named(name))
        .mark_text(
            align=cast("Any", align),
            baseline=cast("Any", baseline),
            lineHeight=alt.expr("1.25*text_px"),
            fontSize=alt.expr("text_px"),
            **mark,
        )
        .encode(
            x=as_is("X", "px"),
            y=as_is("Y", "py"),
            text=alt.Text("text", type="nominal"),
            fill=as_is("Fill", "ink"),
        )
    )


def template(*layers: Any) -> str:
    """Return the description of stacked layers as JSON, checked by its schema."""
    import altair as alt

    made = alt.layer(*layers).properties(
        width=1, height=1, autosize=alt.AutoSizeParams(type="none")
    )
    return json.dumps(made.to_dict(), sort_keys=True)


def filled(
    made: str,
    *,
    frame: Frame,
    area: Plot,
    x: Axis,
    y: Axis | None,
    titles: tuple[str, str],
    rows: Mapping[str, Sequence[Row]],
    decimal: str = ".",
    head: tuple[str, str] = ("", ""),
) -> dict[str, Any]:
    """Return a template with sizes, axes and data put in.

    Args:
        made: what `template` returned.
        frame: the sheet.
        area: the plot on it.
        x: horizontal axis.
        y: vertical axis, or nothing when rows are placed by pixel.
        titles: titles of the two axes.
        rows: data by the names that the layers refer to.
        decimal: decimal sign of the page's language.
        head: title and credit, drawn when the frame is titled.
    """
    values: dict[str, Any] = {"@x_title": titles[0], "@y_title": titles[1]}
    lists: dict[str, list[float]] = {}
    for name, axis in (("x", x), ("y", y)):
        if axis is not None:
            lists[f"@{name}_domain"] = [axis.low, axis.high]
            lists[f"@{name}_ticks"] = list(axis.ticks)
            values[f"@{name}_kind"] = "log" if axis.log else "linear"
    spec: dict[str, Any] = _put(json.loads(made), values, lists)
    if y is not None and y.log:
        _logarithmic(spec)
    settings = config(frame, decimal)
    settings["axisY"] = {
        "titleAngle": 0,
        "titleAlign": "left",
        "titleAnchor": "end",
        "titleBaseline": "bottom",
        "titleX": (frame.text_px if frame.titled else 0) - area.left,
        "titleY": -0.8 * frame.text_px,
    }
    settings["axisX"] = {"titlePadding": 0.6 * frame.text_px}
    spec.update(
        config=settings,
        width=round(area.width, 2),
        height=round(area.height, 2),
        padding={
            "left": round(area.left, 2),
            "top": round(area.top, 2),
            "right": round(area.right, 2),
            "bottom": round(area.bottom, 2),
        },
        datasets={name: list(found) for name, found in rows.items()},
        params=[
            {"name": "stroke", "value": frame.stroke},
            {"name": "text_px", "value": frame.text_px},
        ],
    )
    if frame.titled:
        spec["layer"] = [*spec["layer"], *_heads(frame, area, head)]
    return spec


def _put(part: Any, values: Mapping[str, Any], lists: Mapping[str, list[float]]) -> Any:
    if isinstance(part, dict):
        return {key: _put(value, values, lists) for key, value in part.items()}
    if isinstance(part, list):
        if len(part) == 1 and isinstance(part[0], str) and part[0] in lists:
            return list(lists[part[0]])
        return [_put(value, values, lists) for value in part]
    return values.get(part, part) if isinstance(part, str) else part


def _logarithmic(spec: dict[str, Any]) -> None:
    for layer in spec["layer"]:
        scale = layer["encoding"].get("y", {}).get("scale")
        if scale:
            scale["type"] = "log"
            # A logarithmic scale has no zero to speak of.
            scale.pop("zero", None)


def _heads(frame: Frame, area: Plot, head: tuple[str, str]) -> list[dict[str, Any]]:
    """Return the layers of a picture's own title and credit, schema-plain."""
    places = (
        (head[0], INK, -area.top + 1.0 * frame.text_px, 1.15, "bold"),
        (
            head[1],
            SOFT,
            area.height + area.bottom - 0.9 * frame.text_px,
            0.75,
            "normal",
        ),
    )
    return [
        {
            "data": {"values": [{"text": words}]},
            "mark": {
                "type": "text",
                "align": "left",
                "baseline": "top" if at == 0 else "bottom",
                "fontSize": size * frame.text_px,
                "fontWeight": weight,
                "fill": ink,
            },
            "encoding": {
                "x": {"value": frame.text_px - area.left},
                "y": {"value": y},
                "text": {"field": "text", "type": "nominal"},
            },
        }
        for at, (words, ink, y, size, weight) in enumerate(places)
        if words
    ]
