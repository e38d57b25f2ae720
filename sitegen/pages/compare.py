"""The page on which readers make a comparison of their own.

Without its scripts it is one table of everything, sorted. With them it shows what
the address chooses, sorted and filtered as it says, under the reader's own
assumptions; the numbers for that stand in the page as data.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sitegen.findings.views import Labels, ResultRow
from sitegen.model import QUANTITIES
from sitegen.model.quantities import table_columns
from sitegen.pages.addresses import COMPARE, Address, data_file
from sitegen.pages.curve_data import CURVES
from sitegen.pages.frame import Caution, Page, Site
from sitegen.pages.reading_tools import (
    SCRIPTS,
    ReadingTools,
    Reckoning,
    held_columns,
    reading_tools,
)
from sitegen.pages.result_table import ResultTable, result_table
from sitegen.pages.words import Words

OWN_SCRIPTS = ("own_comparison.js",)
"""Scripts that this page alone has, before those that it shares with tables."""

ORDER = "-cadr_m3h"
"""How the table is sorted before a reader sorts it."""


@dataclass(frozen=True, slots=True)
class CompareGiven:
    """What the page shows.

    Attributes:
        rows: every result that may be compared.
        names: names of their devices, by id.
        cautions: cautions that follow from the devices.
        reckoning: what costs were reckoned from.
        methods: names of methods by id.
    """

    rows: tuple[ResultRow, ...]
    names: Mapping[str, Labels]
    cautions: tuple[Caution, ...] = ()
    reckoning: Reckoning = field(default_factory=Reckoning)
    methods: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class CompareContext:
    """What the layout shows.

    Attributes:
        table: every result, sorted, or nothing when there is none.
        count: how many there are, as a text.
        columns: name and label of what can be sorted and drawn by.
        tools: what a reader sets, and the data for it.
        data: where the numbers can be downloaded.
        curves: the folder of the devices' decay curves.
        cautions: cautions.
    """

    table: ResultTable | None
    count: str
    columns: tuple[tuple[str, str], ...]
    tools: ReadingTools
    data: Address
    curves: Address
    cautions: tuple[Caution, ...]


def compare_page(site: Site, words: Words, given: CompareGiven) -> Page:
    """Return the page on which readers compare."""
    columns = table_columns()
    table = None
    if given.rows:
        table = result_table(
            words,
            site,
            given.rows,
            given.names,
            columns,
            ORDER,
            label=words("Everything that can be compared"),
            ranked=True,
            choose=True,
            methods=dict(given.methods),
            behind=held_columns(),
            families=given.reckoning.families,
        )
    return Page(
        address=COMPARE,
        layout="compare.html",
        title=words("Compare"),
        summary=words(
            "Every configuration that {site} has measured: choose, sort, filter, and "
            "share the address of what you see.",
            site=site.name,
        ),
        context=CompareContext(
            table=table,
            count=words.plural("{n} result", "{n} results", len(given.rows)),
            columns=tuple((name, words(QUANTITIES[name].label)) for name in columns),
            tools=reading_tools(
                site,
                words,
                given.rows,
                given.names,
                ORDER,
                given.reckoning,
                "compared.csv",
            ),
            data=data_file("results.csv"),
            curves=CURVES,
            cautions=given.cautions,
        ),
        section=COMPARE,
        held=any(labels.held for labels in given.names.values()),
        scripts=(*OWN_SCRIPTS, *SCRIPTS),
    )
