"""Which scripts a page asks for, by what stands on it."""

from __future__ import annotations

from sitegen.pages.frame import DrawnFigure
from sitegen.pages.result_table import SCRIPTS


def address_scripts(*figures: DrawnFigure | None) -> tuple[str, ...]:
    """Return the scripts of a page with an address to copy and perhaps figures."""
    charted = any(figure is not None and figure.chart for figure in figures)
    return ("copy.js", "figure.js") if charted else ("copy.js",)


def page_scripts(*figures: DrawnFigure | None) -> tuple[str, ...]:
    """Return the scripts of a page with a table, an address and perhaps figures."""
    return (*SCRIPTS, *address_scripts(*figures))
