"""Decay curves as script files."""

from __future__ import annotations

import json
from typing import Any

from sitegen.figures.decay import DecayLine
from sitegen.pages.curve_data import CurveRun, CurveSet, curves_of, curves_script

LINE = DecayLine("c", "middle", (0.0, 1.00049, 2.0), (1.0, None, 0.123456))
FIT = DecayLine("c", "fit", (0.0, 2.0), (1.0, 0.1), (1.0, 0.09), (1.0, 0.11))


def _read(script: bytes) -> list[dict[str, Any]]:
    text = script.decode()
    start = text.index(" = [") + 3
    found: list[dict[str, Any]] = json.loads(text[start:].rstrip().rstrip(";"))
    return found


def test_shares_are_per_cent_and_a_gap_stays_one() -> None:
    """Times to a thousandth, shares to four digits, what is missing as nothing."""
    run = CurveRun("r1", "middle", LINE, FIT, (5.0, 4.5, 5.5), 2)
    given = CurveSet("alder.fine.high", "decay-1", "Decay 1", 0.1, (run,))
    (found,) = _read(curves_script("alder", [given]))
    assert (found["c"], found["method"], found["panel"]) == (
        "alder.fine.high",
        "decay-1",
        "Decay 1",
    )
    assert found["target"] == 10.0
    (drawn,) = found["runs"]
    assert drawn["t"] == [0.0, 1.0, 2.0]
    assert drawn["y"] == [100.0, None, 12.35]
    assert drawn["rate"] == [5.0, 4.5, 5.5]
    assert drawn["fit"] == {
        "t": [0.0, 2.0],
        "y": [100.0, 10.0],
        "low": [100.0, 9.0],
        "high": [100.0, 11.0],
    }


def test_a_name_cannot_leave_its_text() -> None:
    """What a record says is quoted, so that the script holds data and nothing else."""
    run = CurveRun("r1", "middle", LINE, None, (None, None, None), 2)
    given = CurveSet("a.b.c", "m", '"];alert(1)//\u2028', 0.1, (run,))
    script = curves_script("a", [given])
    assert _read(script)[0]["panel"] == '"];alert(1)//\u2028'
    assert script.isascii()


def test_a_device_without_curves_has_an_empty_list() -> None:
    """The file is there all the same, so that asking for it is no error."""
    assert _read(curves_script("alder", [])) == []
    assert curves_of("alder").file == "assets/curves/alder.js"
