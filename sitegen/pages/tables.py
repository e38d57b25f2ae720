"""The list of tables."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.model.collation import collation_key
from sitegen.pages.addresses import COMPARE, TABLES, Address, of_record
from sitegen.pages.frame import Page, Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class TableEntry:
    """A table, for the list.

    Attributes:
        id: id of the record.
        title: its title.
        rows: how many rows it has.
        held: whether it is held (preview only).
    """

    id: str
    title: str
    rows: int
    held: bool = False


@dataclass(frozen=True, slots=True)
class TablesGiven:
    """What the page shows.

    Attributes:
        tables: every table, in any order.
    """

    tables: tuple[TableEntry, ...]


@dataclass(frozen=True, slots=True)
class TableShown:
    """A line of the list.

    Attributes:
        entry: the table.
        to: its page.
        rows: how many rows it has, as a text.
    """

    entry: TableEntry
    to: Address
    rows: str


@dataclass(frozen=True, slots=True)
class TablesContext:
    """What the layout loops over.

    Attributes:
        tables: tables by title.
        compare: where readers make their own.
    """

    tables: tuple[TableShown, ...]
    compare: Address


def tables_page(site: Site, words: Words, given: TablesGiven) -> Page:
    """Return the list of tables by title."""
    by_title = sorted(
        given.tables, key=lambda each: (collation_key(each.title), each.id)
    )
    return Page(
        address=TABLES,
        layout="tables.html",
        title=words("Tables"),
        summary=words(
            "Tables of measured results of {site}, to sort by any column.",
            site=site.name,
        ),
        context=TablesContext(
            tables=tuple(
                TableShown(
                    entry=each,
                    to=of_record("table", each.id),
                    rows=words.plural("{n} row", "{n} rows", each.rows),
                )
                for each in by_title
            ),
            compare=COMPARE,
        ),
        section=TABLES,
    )
