"""The one table of results that every page shows: sorted, with its intervals.

Rows come whole and sorted from here; the script only puts them into another order.
What was not measured is said and stands last, whichever way a column is sorted.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from sitegen.findings.select import ordered
from sitegen.findings.views import Labels, ResultRow
from sitegen.model import QUANTITIES, TABLE_FACTS
from sitegen.pages.addresses import Address, of_record
from sitegen.pages.configuration_names import (
    capital,
    filter_label,
    setting_name,
    speed_label,
)
from sitegen.pages.formats import (
    unit_text,
)
from sitegen.pages.fractions import fraction_text
from sitegen.pages.frame import Site
from sitegen.pages.incomparable import apart_in
from sitegen.pages.interval_bars import bar_scale
from sitegen.pages.result_cells import (
    RANK,
    Cell,
    RowNaming,
    notes_cell,
    rank_cell,
    result_cell,
)
from sitegen.pages.sound_setups import usual_sound_method
from sitegen.pages.table_facts import TableFacts
from sitegen.pages.words import Words

Sorted = Literal["", "ascending", "descending"]

SCRIPTS = ("table_rows.js", "choose.js")
"""Scripts of a page that shows a table of results."""
NOTES = "notes"
"""Name of the column that holds what is to be noted; never sortable."""
LONG = 300
"""Rows beyond which those out of sight are not laid out."""
BODY = 50
"""Rows of each part of a long table that is laid out as one."""
TALL = 12
"""Rows beyond which a table scrolls in its frame, its heads in view."""


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a column.

    Attributes:
        name: name of the quantity; what a query sorts by.
        label: its label.
        unit: its unit, or ``""``.
        sortable: whether its cells carry a sort value.
        sorted: direction in which the table is sorted by it now, or ``""``.
        first: direction that a first press gives: the better end first.
        words: whether its cells are text, not numbers.
    """

    name: str
    label: str
    unit: str = ""
    sortable: bool = True
    sorted: Sorted = ""
    first: Sorted = "ascending"
    words: bool = False


@dataclass(frozen=True, slots=True)
class TableRow:
    """A row: one configuration under one method.

    Attributes:
        configuration: ``DEVICE.FILTER.SPEED``.
        title: what the row is called.
        below: a second line of its name, or ``""``.
        to: where its title leads, or nothing.
        called: the whole name in one line, for a control that concerns the row.
        marks: words that mark the whole row: held, withdrawn, not rated.
        cells: its cells, in the order of the heads after the first.
        chosen: whether it is set off as what the page is about.
        device: id of the device.
    """

    configuration: str
    title: str
    below: str
    to: Address | None
    called: str
    marks: tuple[str, ...]
    cells: tuple[Cell, ...]
    chosen: bool
    device: str


@dataclass(frozen=True, slots=True)
class ResultTable:
    """A table of results, ready for ``parts/result_table.html``.

    Attributes:
        label: what the table holds; names it for those who cannot see it.
        heads: heads, the first one of the rows' names.
        rows: rows, sorted.
        choose: whether rows can be chosen to be compared.
        long: whether it is long enough for rows out of sight to be left out of layout.
        tall: whether it scrolls in its frame, its heads in view.
        apart: said when numbers of methods that are not comparable stand in a column,
            else ``""``.
    """

    label: str
    heads: tuple[Head, ...]
    rows: tuple[TableRow, ...]
    choose: bool = False
    long: bool = False
    tall: bool = False
    apart: str = ""

    @property
    def bodies(self) -> Sequence[Sequence[TableRow]]:
        """The rows by the table's bodies: of a long table several."""
        size = BODY if self.long else max(len(self.rows), 1)
        return [
            self.rows[at : at + size] for at in range(0, max(len(self.rows), 1), size)
        ]


def result_table(
    words: Words,
    site: Site,
    rows: Sequence[ResultRow],
    names: Mapping[str, Labels],
    columns: Sequence[str],
    order: str = "-cadr_m3h",
    *,
    label: str = "",
    within: str = "",
    ranked: bool = False,
    notes: bool = True,
    naming: bool = False,
    choose: bool = False,
    methods: Mapping[str, str] | None = None,
    chosen: str = "",
    remarks: Mapping[str, str] | None = None,
    families: Mapping[str, str] | None = None,
    facts: TableFacts | None = None,
    behind: Collection[str] = (),
) -> ResultTable:
    """Return results as a table.

    Args:
        words: the interface's words.
        site: units and currency.
        rows: the results.
        names: labels of their devices by id.
        columns: names of quantities, as in ``results.csv``, or of ``TABLE_FACTS``.
        order: quantity to sort by; a leading hyphen puts the largest first. ``""``
            keeps the order given.
        label: what the table holds.
        within: id of the device whose page this is; rows are then named by filter and
            speed alone.
        ranked: whether the place by CADR stands in a column of its own.
        notes: whether what is to be noted stands in a column of its own.
        naming: whether every row names its method and fraction, also where all have
            the same.
        choose: whether rows can be chosen to be compared.
        methods: names of methods by id, for rows under several methods.
        chosen: configuration that is set off.
        remarks: what else is said of a row, by configuration and method with a blank
            between.
        families: method to its comparable set, to mark what stands apart; nothing is
            marked when not given.
        facts: prices and filter classes, for columns that show them.
        behind: columns whose values stand in the page's data too, by which a script
            sorts them; cells of a long table then do without.

    Raises:
        NoSuchQuantity: if ``order`` names none.
    """
    known = (facts or TableFacts()).by_name()
    sorted_rows = tuple(ordered(rows, order, known)) if order else tuple(rows)
    noted = notes and any(row.flags or row.validity == "not_rated" for row in rows)
    rows_named = RowNaming(
        words=words,
        names=names,
        within=within,
        methods=methods or {},
        several_methods=naming or len({row.method for row in rows if row.method}) > 1,
        usual_sound=usual_sound_method(rows),
        several_fractions=naming or len({row.fraction for row in rows}) > 1,
        remarks=remarks or {},
        facts=facts or TableFacts(),
        scales={name: bar_scale(rows, name) for name in columns if name in QUANTITIES},
        behind=frozenset(behind if len(rows) > LONG else ()),
    )
    other = apart_in(rows, columns, families or {}) if families is not None else None
    made = tuple(
        _row(
            rows_named,
            row,
            (
                *(result_cell(rows_named, site, name, row, other) for name in columns),
                *((rank_cell(words, row),) if ranked else ()),
                *((notes_cell(words, row),) if noted else ()),
            ),
            chosen=row.configuration == chosen,
        )
        for row in sorted_rows
    )
    return ResultTable(
        label=label or words("Results"),
        heads=_heads(words, site, columns, order, within, ranked=ranked, noted=noted),
        rows=made,
        choose=choose,
        long=len(made) > LONG,
        tall=len(made) > TALL,
        apart=words(
            "Numbers marked so come from a method that is not declared comparable with "
            "that of the others in their column; do not rank them together."
        )
        if other is not None and other.methods
        else "",
    )


def _heads(
    words: Words,
    site: Site,
    columns: Sequence[str],
    order: str,
    within: str,
    *,
    ranked: bool,
    noted: bool,
) -> tuple[Head, ...]:
    by = order.removeprefix("-")
    way: Sorted = "descending" if order.startswith("-") else "ascending"
    first = words("Speed and filter") if within else words("Device, speed and filter")
    heads = [Head("device", first, words=True)]
    for name in columns:
        quantity = TABLE_FACTS.get(name) or QUANTITIES[name]
        heads.append(
            Head(
                name=name,
                label=words(quantity.label),
                unit=_unit(name, site, words),
                sorted=way if name == by else "",
                first="descending" if quantity.better == "up" else "ascending",
                words=quantity.holds == "text" and name != RANK,
            )
        )
    if ranked:
        heads.append(Head(RANK, words("Place by CADR")))
    if noted:
        heads.append(Head(NOTES, words("To be noted"), sortable=False, words=True))
    return tuple(heads)


def _unit(name: str, site: Site, words: Words) -> str:
    """Return the unit of a column as the site shows it."""
    if name in QUANTITIES:
        return unit_text(name, site.units, site.currency, words)
    return site.currency if TABLE_FACTS[name].unit == "currency" else ""


def _row(
    naming: RowNaming,
    row: ResultRow,
    cells: tuple[Cell, ...],
    *,
    chosen: bool,
) -> TableRow:
    words, labels = naming.words, naming.names[row.device]
    speed = capital(speed_label(words, labels, row.speed))
    fitted = filter_label(words, labels, row.filter)
    setting = setting_name(words, labels, row.filter, row.speed)
    more: list[str] = []
    if naming.several_methods and row.method:
        more.append(naming.methods.get(row.method, row.method))
    if naming.several_fractions:
        more.append(fraction_text(words, row.fraction))
    remark = naming.remarks.get(f"{row.configuration} {row.method}")
    if remark:
        more.append(remark)
    if naming.within:
        title, second = speed, [fitted, *more]
        to = None
    else:
        title, second = labels.name, [setting, *more]
        to = of_record("device", row.device)
    marks = []
    if not naming.within and labels.held:
        marks.append(words("held"))
    if not naming.within and labels.withdrawn:
        marks.append(words("withdrawn"))
    return TableRow(
        configuration=row.configuration,
        title=title,
        below=" · ".join(second),
        to=to,
        called=words("{device}, {setting}", device=labels.name, setting=setting),
        marks=tuple(marks),
        cells=cells,
        chosen=chosen,
        device=row.device,
    )
