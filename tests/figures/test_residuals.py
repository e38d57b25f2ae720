"""Residuals: what is drawn, and what is said of them."""

from __future__ import annotations

import pytest

from sitegen.figures.residuals import (
    ResidualFigure,
    caption,
    description,
    deviation,
    spec,
    table,
)
from tests.figures.examples import residual_figure

NOTHING = ResidualFigure("Residuals", (), ())
EXACT = ResidualFigure("Residuals", (0.0, 1.0), (0.0, 0.0))


def test_deviation() -> None:
    """The deviation is about zero: 3 and 4 per cent give 3.536."""
    assert deviation(residual_figure()) == pytest.approx(0.0353553391)
    assert deviation(NOTHING) == 0
    assert deviation(EXACT) == 0


def test_points_and_lines() -> None:
    """Points stand at their minute, a gap has none, and lines at 0 and twice s."""
    rows = spec(residual_figure())["datasets"]
    assert rows["points"] == [{"t": 4.0, "y": 0.03}, {"t": 6.0, "y": -0.04}]
    assert rows["zero"] == [{"y": 0}]
    assert [row["y"] for row in rows["spread"]] == [0.07071, -0.07071]
    assert [row["text"] for row in rows["marks"]] == [["+2 s"], ["−2 s"]]


def test_zero_is_in_the_middle() -> None:
    """The axis reaches as far down as up, and holds twice the deviation."""
    made = spec(residual_figure())
    low, high = made["layer"][2]["encoding"]["y"]["scale"]["domain"]
    assert low == -high
    assert high >= 0.0707


@pytest.mark.parametrize("figure", [NOTHING, EXACT], ids=["none", "exact"])
def test_nothing_to_spread(figure: ResidualFigure) -> None:
    """Without scatter there are no dashed lines and nothing is said of them."""
    rows = spec(figure)["datasets"]
    assert (rows["spread"], rows["marks"]) == ([], [])
    assert caption(figure) == ""


def test_words() -> None:
    """The text alternative has deviation and extremes, the caption explains both."""
    assert description(residual_figure()) == (
        "Residuals of the fitted line against time. "
        "Standard deviation 0.035; lowest −0.040, highest 0.030."
    )
    assert caption(residual_figure()).endswith("s = 0.035.")
    assert description(NOTHING) == "Residuals of the fitted line against time."


def test_table() -> None:
    """The table leaves a gap empty and has no more than 21 rows."""
    header, rows = table(residual_figure())
    assert header == ("Elapsed time, min", "Residual of ln C")
    assert rows == (("4.00", "0.030"), ("5.00", ""), ("6.00", "−0.040"))
    times = tuple(float(t) for t in range(500))
    assert len(table(ResidualFigure("R", times, (0.01,) * 500))[1]) == 21
