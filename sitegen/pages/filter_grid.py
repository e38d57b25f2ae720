"""Filters side by side: clean air by fan speed and filter, one glance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.findings.views import Labels, ResultRow
from sitegen.pages.configuration_names import capital, filter_label, speed_label
from sitegen.pages.formats import Shown, quantity_text, unit_text
from sitegen.pages.frame import Site
from sitegen.pages.interval_bars import BarScale, bar_classes, bar_scale
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class GridCell:
    """One speed with one filter.

    Attributes:
        cadr: its CADR and interval; empty where there is none.
        clearance: time to clear the test room with its unit, or ``""``.
        missing: why there is no CADR, or ``""``.
        bar: its interval drawn on the grid's one scale, as classes, or ``""``.
    """

    cadr: Shown
    clearance: str
    missing: str
    bar: str = ""


@dataclass(frozen=True, slots=True)
class FilterGrid:
    """Clean air by speed and filter.

    Attributes:
        unit: unit of the CADR.
        filters: names of the filters, as listed.
        rows: speed, and a cell for each filter; the fastest first.
    """

    unit: str
    filters: tuple[str, ...]
    rows: tuple[tuple[str, tuple[GridCell, ...]], ...]


def filter_grid(
    words: Words, site: Site, labels: Labels, rows: Sequence[ResultRow]
) -> FilterGrid | None:
    """Return filters side by side, or nothing where fewer than two were tested.

    Args:
        words: the interface's words.
        site: units.
        labels: names of the device's parts.
        rows: its current results; of several methods the first row counts.
    """
    by_place: dict[tuple[str, str], ResultRow] = {}
    for row in rows:
        by_place.setdefault((row.speed, row.filter), row)
    listed = [name for name, _ in labels.filters]
    tested = {row.filter for row in rows}
    filters = [name for name in listed if name in tested]
    filters += sorted(tested - set(listed))
    if len(filters) < 2:
        return None
    speeds = [
        name
        for name, _ in reversed(labels.speeds)
        if any((name, fitted) in by_place for fitted in filters)
    ]
    scale = bar_scale(tuple(by_place.values()), "cadr_m3h")
    return FilterGrid(
        unit=unit_text("cadr_m3h", site.units, site.currency, words),
        filters=tuple(
            capital(filter_label(words, labels, fitted)) for fitted in filters
        ),
        rows=tuple(
            (
                capital(speed_label(words, labels, speed)),
                tuple(
                    _cell(words, site, by_place.get((speed, fitted)), scale)
                    for fitted in filters
                ),
            )
            for speed in speeds
        ),
    )


def _cell(
    words: Words, site: Site, row: ResultRow | None, scale: BarScale | None
) -> GridCell:
    if row is None:
        return GridCell(Shown("", ""), "", words("not tested"))
    cadr = quantity_text("cadr_m3h", row, site.units, words)
    clearance = quantity_text("clearance_min", row, site.units, words).value
    return GridCell(
        cadr=cadr,
        clearance=words("cleared in {minutes} min", minutes=clearance)
        if clearance
        else "",
        missing="" if cadr.value else words("not rated"),
        bar=bar_classes(scale, "cadr_m3h", row),
    )
