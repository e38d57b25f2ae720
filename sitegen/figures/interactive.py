"""What a page's script needs to draw a figure anew and to read its values out.

The chart descriptions of all forms of a figure (for wide screens and for phones, with
a logarithmic and with a linear axis) share most of their data: rows stand once, and
what is the same in all rows of a line is said once.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Protocol

from sitegen.figures import decay, ranked, run, scatter
from sitegen.figures.chart import Row
from sitegen.figures.decay import DecayFigure
from sitegen.figures.numbers import Words
from sitegen.figures.ranked import RankedFigure
from sitegen.figures.run import RunFigure
from sitegen.figures.scatter import ScatterFigure
from sitegen.figures.theme import NARROW, WIDE, Frame

MOST_CHARACTERS = 120_000
"""A chart's data beyond this stay out of the page; the drawing stands for itself."""


@dataclass(frozen=True, slots=True)
class Reads:
    """How a figure's values are read out.

    Attributes:
        data: name of the rows that can be read.
        x: their field on the horizontal axis.
        y: their field on the vertical axis, or ``""`` where rows are placed by ``py``.
        said: fields that hold values as text; without any, the numbers are said.
        series: whether lines can be brought to the fore by their names.
    """

    data: str
    x: str
    y: str
    said: tuple[str, ...] = ()
    series: bool = False


class _Spec(Protocol):
    def __call__(
        self, figure: Any, frame: Frame, words: Words, /
    ) -> dict[str, Any]: ...


_KINDS: Mapping[type, tuple[_Spec, Reads]] = MappingProxyType(
    {
        DecayFigure: (decay.spec, Reads("middles", "t", "y", series=True)),
        RunFigure: (run.spec, Reads("readings", "t", "y", series=True)),
        ScatterFigure: (
            scatter.spec,
            Reads("points", "x", "y", ("spoken_y", "spoken_x")),
        ),
        RankedFigure: (ranked.spec, Reads("dots", "value", "", ("spoken",))),
    }
)


def chart_json(figure: Any, words: Words) -> str:
    """Return the data of a figure's interactive form as JSON text.

    Returns:
        ``""`` for kinds that stay drawings, and where the data are too many.
    """
    known = _KINDS.get(type(figure))
    if known is None:
        return ""
    spec, reads = known
    pool: dict[str, int] = {}
    packed: list[Any] = []

    def place(rows: Sequence[Row]) -> int:
        key = json.dumps(rows, sort_keys=True)
        if key not in pool:
            pool[key] = len(packed)
            packed.append(pack(rows))
        return pool[key]

    forms = {}
    for name, drawn, frame in _forms(figure):
        made = spec(drawn, frame, words)
        data = made.pop("datasets")
        forms[name] = {
            "spec": made,
            "data": {key: place(rows) for key, rows in data.items()},
        }
    told = {
        "forms": forms,
        "pool": packed,
        "reads": {
            "data": reads.data,
            "x": reads.x,
            "y": reads.y,
            "said": list(reads.said),
            "series": reads.series,
        },
        "words": {
            "log": words("logarithmic"),
            "linear": words("linear"),
            "scale": words("Scale"),
            "series": words("Bring to the fore"),
            "hint": words(
                "Tap the chart, point at it, or use the arrow keys to read values."
            ),
        },
    }
    text = json.dumps(told, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return text if len(text) <= MOST_CHARACTERS else ""


def _forms(figure: Any) -> list[tuple[str, Any, Frame]]:
    forms = [("wide", figure, WIDE), ("narrow", figure, NARROW)]
    if isinstance(figure, DecayFigure):
        other = replace(figure, scale="linear" if figure.scale == "log" else "log")
        forms += [("wide_other", other, WIDE), ("narrow_other", other, NARROW)]
    return forms


def pack(rows: Sequence[Row]) -> dict[str, Any]:
    """Return rows with their columns named once, and what repeats said once.

    Args:
        rows: rows with the same fields.

    Returns:
        ``{"columns", "rows"}``, and where rows belong to lines ``{"by": "line",
        "same": {line: {field: value}}}`` with the fields that do not change in a line.
    """
    if not rows:
        return {"columns": [], "rows": []}
    fields = list(rows[0])
    same: list[str] = []
    if "line" in fields:
        first: dict[Any, Row] = {}
        for row in rows:
            first.setdefault(row["line"], row)
        same = [
            field
            for field in fields
            if field != "line"
            and all(row[field] == first[row["line"]][field] for row in rows)
        ]
    columns = [field for field in fields if field not in same]
    packed: dict[str, Any] = {
        "columns": columns,
        "rows": [[row[field] for field in columns] for row in rows],
    }
    if same:
        packed["by"] = "line"
        packed["same"] = {
            str(line): {field: row[field] for field in same}
            for line, row in first.items()
        }
    return packed
