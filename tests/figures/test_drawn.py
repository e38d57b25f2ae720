"""Any figure to the parts of a page, here or in another process."""

from __future__ import annotations

import pickle
from dataclasses import replace

import pytest

from sitegen.figures.drawn import DrawTask, Figure, draw
from sitegen.figures.numbers import plain
from sitegen.pages.words import Words
from tests.figures.examples import (
    decay_figure,
    ranked_figure,
    residual_figure,
    run_figure,
    scatter_figure,
)

FIGURES: tuple[Figure, ...] = (
    decay_figure(),
    run_figure(),
    residual_figure(),
    ranked_figure(),
    scatter_figure(),
)
GERMAN = Words(
    "de",
    {
        "CADR": "Frischluftrate",
        "95 % interval": "95-%-Bereich",
        "{low} to {high}": "{low} bis {high}",
    },
)


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: type(figure).__name__)
def test_task_survives_pickling(figure: Figure) -> None:
    """A task sent to another process is the same task, and draws the same parts."""
    task = DrawTask(figure, "figure-1", Words("en"))
    copy = pickle.loads(pickle.dumps(task))  # noqa: S301 - our own
    assert copy == task
    assert copy is not task
    assert draw(copy) == draw(task)


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: type(figure).__name__)
def test_parts(figure: Figure) -> None:
    """A figure's parts are its title, its words, a full table and two drawings."""
    made = draw(DrawTask(figure, "figure-1", plain))
    assert (made.ident, made.title) == ("figure-1", figure.title)
    assert made.wide.startswith("<svg")
    assert made.narrow.startswith("<svg")
    assert made.wide != made.narrow
    assert made.rows
    assert {len(row) for row in made.rows} == {len(made.header)}
    assert all(made.header)


def test_words_and_decimal_sign_of_the_language() -> None:
    """Everything is said in the page's language, with its decimal sign."""
    made = draw(DrawTask(ranked_figure(), "figure-1", GERMAN))
    assert made.header[1:] == ("Frischluftrate, m³/h", "95-%-Bereich")
    assert made.rows[0][1:] == ("245,7", "237,4 bis 254,4")
    assert "237,4 bis 254,4" in made.wide
    assert "237,4 bis 254,4" in made.description


def test_ids_differ_between_figures() -> None:
    """Two figures on a page share no id."""
    one = draw(DrawTask(decay_figure(), "figure-1", plain))
    two = draw(DrawTask(decay_figure(), "figure-2", plain))
    assert 'id="figure-1-wide"' in one.wide
    assert "figure-1" not in two.wide
    assert replace(two, ident="figure-1", wide="", narrow="") == replace(
        one, wide="", narrow=""
    )
