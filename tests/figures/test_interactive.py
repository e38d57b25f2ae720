"""What a page's script is given to draw with."""

from __future__ import annotations

import json
from typing import Any

from sitegen.figures import decay
from sitegen.figures.interactive import MOST_CHARACTERS, chart_json, pack
from sitegen.figures.numbers import plain
from sitegen.figures.theme import WIDE
from tests.figures import examples


def _unpacked(packed: dict[str, Any]) -> list[dict[str, Any]]:
    """Undo the packing as the script does."""
    rows = []
    for cells in packed["rows"]:
        row = dict(zip(packed["columns"], cells, strict=True))
        if "by" in packed:
            row |= packed["same"][str(row[packed["by"]])]
        rows.append(row)
    return rows


def test_packed_rows_come_back_whole() -> None:
    """Rows are the same after packing and unpacking, and the text is shorter."""
    spec = decay.spec(
        examples.decay_figure(
            examples.decay_line(), examples.decay_line("Birch", index=1)
        )
    )
    for rows in spec["datasets"].values():
        assert _unpacked(pack(rows)) == rows
    middles = spec["datasets"]["middles"]
    assert len(json.dumps(pack(middles))) < len(json.dumps(middles)) / 2


def test_no_rows_are_no_rows() -> None:
    """A layer without data is packed as one."""
    assert _unpacked(pack([])) == []


def test_a_chart_has_every_form_that_its_drawings_have() -> None:
    """Wide and narrow, and for decay curves both axes; data that agree stand once."""
    figure = examples.decay_figure()
    told = json.loads(chart_json(figure, plain))
    assert set(told["forms"]) == {"wide", "narrow", "wide_other", "narrow_other"}
    wide = told["forms"]["wide"]
    spec = decay.spec(figure, WIDE)
    for name, rows in spec["datasets"].items():
        assert _unpacked(told["pool"][wide["data"][name]]) == rows
    assert "datasets" not in wide["spec"]
    assert wide["data"]["middles"] == told["forms"]["narrow"]["data"]["middles"]
    scale = told["forms"]["wide_other"]["spec"]["layer"][1]["encoding"]["y"]["scale"]
    assert scale["type"] == "linear" if "type" in scale else True
    assert told["reads"]["data"] in wide["data"]


def test_residuals_stay_a_drawing() -> None:
    """A figure that has nothing to read out has no interactive form."""
    assert chart_json(examples.residual_figure(), plain) == ""


def test_too_much_stays_a_drawing() -> None:
    """A chart whose data would outweigh the page is left a drawing."""
    lines = [
        examples.decay_line(
            f"Line {at}", rate_per_h=1 + 0.37 * at, minutes=160, index=at
        )
        for at in range(60)
    ]
    assert chart_json(examples.decay_figure(*lines), plain) == ""
    few = chart_json(examples.decay_figure(*lines[:4]), plain)
    assert 0 < len(few) <= MOST_CHARACTERS
