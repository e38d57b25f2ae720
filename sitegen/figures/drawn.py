"""Any figure to the parts that a page shows; pure, so that it may run elsewhere."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any, Protocol, cast

from sitegen.figures import decay, decay_said, ranked, residuals, run, scatter
from sitegen.figures.decay import DecayFigure
from sitegen.figures.interactive import chart_json
from sitegen.figures.numbers import Words, decimal_sign
from sitegen.figures.ranked import RankedFigure
from sitegen.figures.render import lean_png, png, svg
from sitegen.figures.residuals import ResidualFigure
from sitegen.figures.run import RunFigure
from sitegen.figures.scatter import ScatterFigure
from sitegen.figures.theme import CARD, NARROW, WIDE, Frame, coloured

Figure = DecayFigure | RankedFigure | ResidualFigure | RunFigure | ScatterFigure
Table = tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]


class _Kind(Protocol):
    """What the module of a kind of figure offers."""

    def spec(self, figure: Any, frame: Frame, words: Words) -> dict[str, Any]: ...

    def description(self, figure: Any, words: Words) -> str: ...

    def caption(self, figure: Any, words: Words) -> str: ...

    def table(self, figure: Any, words: Words) -> Table: ...


@dataclass(frozen=True, slots=True)
class DrawTask:
    """A figure to be drawn.

    Attributes:
        figure: what it shows.
        ident: id that its element will have in the page.
        words: the interface's words.
        credit: line under it where it stands alone.
    """

    figure: Figure
    ident: str
    words: Words
    credit: str = ""


@dataclass(frozen=True, slots=True)
class DrawnParts:
    """A figure drawn, and said in words and numbers.

    Attributes:
        ident: id of its element.
        title: its title.
        description: the text alternative.
        caption: what must be known of how it is drawn, or ``""``.
        wide: SVG for wide screens.
        narrow: SVG for phones.
        header: column heads of its data table.
        rows: cells of its data table.
        chart: data of the interactive form as JSON text, or ``""``.
    """

    ident: str
    title: str
    description: str
    caption: str
    wide: str
    narrow: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    chart: str = ""


def kind_of(figure: Figure) -> _Kind:
    """Return what draws and says a figure."""
    curves = SimpleNamespace(
        spec=decay.spec,
        description=decay_said.description,
        caption=decay_said.caption,
        table=decay_said.table,
    )
    modules: dict[type, Any] = {
        DecayFigure: curves,
        RankedFigure: ranked,
        ResidualFigure: residuals,
        RunFigure: run,
        ScatterFigure: scatter,
    }
    return cast("_Kind", modules[type(figure)])


def draw(task: DrawTask) -> DrawnParts:
    """Draw a figure for wide screens and for phones, with its words and numbers."""
    words = task.words
    figure = replace(task.figure, decimal=decimal_sign(words))
    kind = kind_of(figure)
    said = kind.description(figure, words)
    header, rows = kind.table(figure, words)

    def drawn(frame: Frame) -> str:
        ident = f"{task.ident}-{frame.name}"
        return svg(
            kind.spec(figure, frame, words), ident, figure.title, said, frame.name
        )

    return DrawnParts(
        ident=task.ident,
        title=figure.title,
        description=said,
        caption=kind.caption(figure, words),
        wide=drawn(WIDE),
        narrow=drawn(NARROW),
        header=header,
        rows=rows,
        chart=chart_json(figure, words),
    )


def draw_card(task: DrawTask) -> bytes:
    """Draw a figure as the picture beside a link: PNG, on light paper."""
    words = task.words
    figure = replace(task.figure, decimal=decimal_sign(words), credit=task.credit)
    spec = kind_of(figure).spec(figure, CARD, words)
    # Without a paper of its own a picture would be see-through.
    spec["config"]["background"] = "var(--paper)"
    return lean_png(png(coloured(spec, "light")))
