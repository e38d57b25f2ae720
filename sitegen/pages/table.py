"""One sortable table of results."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from sitegen.findings.views import Labels, ResultRow
from sitegen.model import Table
from sitegen.pages.addresses import COMPARE, TABLES, Address, data_file, of_record
from sitegen.pages.compare_state import CompareState
from sitegen.pages.conditions import condition_texts
from sitegen.pages.frame import Block, Caution, Page, Site
from sitegen.pages.query import MOST_CONFIGURATIONS
from sitegen.pages.query_text import write_query
from sitegen.pages.reading_tools import (
    SCRIPTS,
    ReadingTools,
    Reckoning,
    held_columns,
    reading_tools,
)
from sitegen.pages.result_table import SCRIPTS as ROW_SCRIPTS
from sitegen.pages.result_table import ResultTable, result_table
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class TableGiven:
    """What the page shows.

    Attributes:
        table: the table's record.
        rows: its rows, as chosen by its conditions.
        names: names of their devices, by id.
        intro: what the table is for, or nothing.
        cautions: cautions that follow from the devices.
        methods: names of methods by id.
        reckoning: what costs were reckoned from.
    """

    table: Table
    rows: tuple[ResultRow, ...]
    names: Mapping[str, Labels]
    intro: Block | None = None
    cautions: tuple[Caution, ...] = ()
    methods: Mapping[str, str] = field(default_factory=dict)
    reckoning: Reckoning = field(default_factory=Reckoning)


@dataclass(frozen=True, slots=True)
class TableContext:
    """What the layout shows.

    Attributes:
        title: title of the table.
        intro: what it is for, or nothing.
        conditions: what a row must meet, one text a condition.
        count: how many rows there are, as a text.
        table: the table, or nothing when no row meets its conditions.
        tools: what a reader sets for it.
        caption: the line under it, or ``""``.
        compare: where its rows can be held against each other.
        query: the choice of rows there, or ``""``.
        chosen: how many rows that takes along, as a text.
        data: where the numbers can be downloaded.
        cautions: cautions.
    """

    title: str
    intro: Block | None
    conditions: tuple[str, ...]
    count: str
    table: ResultTable | None
    tools: ReadingTools
    caption: str
    compare: Address
    query: str
    chosen: str
    data: Address
    cautions: tuple[Caution, ...]


def table_page(site: Site, words: Words, given: TableGiven) -> Page:
    """Return the page of a table, sorted as its record says."""
    record = given.table
    shown = None
    if given.rows:
        shown = result_table(
            words,
            site,
            given.rows,
            given.names,
            record.columns,
            record.order,
            label=record.title,
            choose=True,
            methods=given.methods,
            behind=held_columns(),
            families=given.reckoning.families,
            facts=given.reckoning.facts(),
        )
    first = list(dict.fromkeys(row.configuration for row in given.rows))[
        :MOST_CONFIGURATIONS
    ]
    count = words.plural("{n} row", "{n} rows", len(given.rows))
    return Page(
        address=of_record("table", record.id),
        layout="table.html",
        title=record.title,
        summary=words(
            "{title}: {rows} of measured results of {site}, to sort and compare.",
            title=record.title,
            rows=count,
            site=site.name,
        ),
        context=TableContext(
            title=record.title,
            intro=given.intro,
            conditions=condition_texts(words, site, record.where),
            count=count,
            table=shown,
            tools=reading_tools(
                site,
                words,
                given.rows,
                given.names,
                record.order,
                given.reckoning,
                f"{record.id}.csv",
                record.columns,
            ),
            caption=record.caption or "",
            compare=COMPARE,
            query=compare_query(first),
            chosen=words.plural(
                "Compare the first row further",
                "Compare the first {n} configurations further",
                len(first),
            ),
            data=data_file("results.csv"),
            cautions=given.cautions,
        ),
        section=TABLES,
        trail=((words("Tables"), TABLES),),
        held=record.held or any(each.held for each in given.names.values()),
        scripts=(*ROW_SCRIPTS, *SCRIPTS) if given.rows else (),
    )


def compare_query(configurations: Sequence[str]) -> str:
    """Return the query that chooses configurations on the compare page."""
    return write_query(CompareState(tuple(configurations[:MOST_CONFIGURATIONS])))
