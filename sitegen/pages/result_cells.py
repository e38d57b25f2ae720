"""The cells of a table of results: the text, its interval, and what sorts it.

What was not measured is said and has no value to be sorted by, so that it stands last.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sitegen.findings.views import Labels, ResultRow
from sitegen.model import QUANTITIES, TABLE_FACTS
from sitegen.model.rounding import significant_text
from sitegen.pages.code_words import VALIDITY, word
from sitegen.pages.flag_words import flags_line
from sitegen.pages.formats import money, not_reached_text, quantity_text, rank_text
from sitegen.pages.frame import Site
from sitegen.pages.incomparable import Apart
from sitegen.pages.interval_bars import BarScale, bar_classes
from sitegen.pages.table_facts import TableFacts
from sitegen.pages.words import Words

RANK = "rank"
"""Name of the column that holds the place by CADR."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell.

    Attributes:
        text: the value, or why there is none.
        interval: its 95 % interval, or ``""``.
        note: a word on where the value comes from, or ``""``.
        value: what the cell is sorted by; empty where it stands last.
        missing: whether there is no value.
        words: whether it is text, not a number.
        apart: whether it is not comparable with the others of its column.
        bar: its interval drawn on the column's scale, as classes, or ``""``.
    """

    text: str
    interval: str = ""
    note: str = ""
    value: str = ""
    missing: bool = False
    words: bool = False
    apart: bool = False
    bar: str = ""


@dataclass(frozen=True, slots=True)
class RowNaming:
    """What all rows of a table are named and marked by.

    Attributes:
        words: the interface's words.
        names: labels of devices by id.
        within: id of the device whose page this is, or ``""``.
        methods: names of methods by id.
        several_methods: whether each row names its method.
        usual_sound: id of the method by which most levels were measured.
        several_fractions: whether each row names its fraction.
        remarks: what else is said of a row, by configuration and method.
        facts: prices and filter classes.
        scales: scale of each column's bars.
        behind: columns whose values the page's data hold, so that cells need not.
    """

    words: Words
    names: Mapping[str, Labels]
    within: str
    methods: Mapping[str, str]
    several_methods: bool
    usual_sound: str
    several_fractions: bool
    remarks: Mapping[str, str]
    facts: TableFacts
    scales: Mapping[str, BarScale | None]
    behind: frozenset[str]


def result_cell(
    naming: RowNaming, site: Site, name: str, row: ResultRow, other: Apart | None
) -> Cell:
    """Return the cell of a row in a column.

    Args:
        naming: what the table's rows are named and marked by.
        site: units and currency.
        name: name of the column.
        row: the row.
        other: what is not comparable with the others of its column.
    """
    made = _cell(naming, site, name, row, other)
    return replace(made, value="") if name in naming.behind else made


def _cell(
    naming: RowNaming, site: Site, name: str, row: ResultRow, other: Apart | None
) -> Cell:
    words = naming.words
    if name in TABLE_FACTS:
        return _fact_cell(naming, site, name, row)
    quantity = QUANTITIES[name]
    shown = quantity_text(name, row, site.units, words)
    if not shown.value:
        return Cell(_why_missing(words, name, row), missing=True)
    stored = getattr(row, name)
    text = quantity.holds == "text"
    value = shown.value.casefold() if text else significant_text(float(stored))
    note = ""
    if name == "cadr_m3h":
        note = _rests(words, row)
    elif name == "clearance_min" and row.clearance_basis == "modelled":
        note = words("modelled")
    elif name == "sound_dba" and row.sound_method not in ("", naming.usual_sound):
        # A level holds for its own distance: one by another method is marked.
        note = naming.methods.get(row.sound_method, row.sound_method)
    apart = other is not None and other.at(row, name)
    # What stands apart is not drawn on the scale of the others.
    drawn = shown.interval and not (text or apart)
    bar = "" if not drawn else bar_classes(naming.scales.get(name), name, row)
    return Cell(
        shown.value, shown.interval, note, value, words=text, apart=apart, bar=bar
    )


def _fact_cell(naming: RowNaming, site: Site, name: str, row: ResultRow) -> Cell:
    """Return a cell of what is no result of a measurement."""
    words = naming.words
    if name == RANK:
        return rank_cell(words, row)
    if name == "price":
        price = naming.facts.price(row)
        if price is None:
            return Cell(words("not known"), missing=True)
        shown = money(price, site.currency, words)
        return Cell(shown, value=significant_text(price))
    stated = naming.facts.filter_class(row)
    if not stated:
        return Cell(words("not stated"), missing=True, words=True)
    return Cell(stated, value=stated.casefold(), words=True)


def _rests(words: Words, row: ResultRow) -> str:
    """Return on how many runs a CADR rests, and what is to be known of its interval."""
    said = words.plural("{n} run", "{n} runs", row.runs)
    if row.runs == 1 and row.cadr_basis == "repeatability":
        said = words("{runs}, repeatability of other tests", runs=said)
    elif row.runs == 1:
        said = words("{runs}, repeatability not measured", runs=said)
    if "CADR_ZERO" in row.flags:
        said = words("{runs}; not told from zero", runs=said)
    return said


def _why_missing(words: Words, name: str, row: ResultRow) -> str:
    quantity = QUANTITIES[name]
    if name == "clearance_min" and row.clearance_basis == "not-reached":
        return not_reached_text(row, words)
    if name in {"cadr_m3h", "clearance_min", "cadr_per_w", "decay_per_h"}:
        if row.validity == "not_rated":
            return word(words, VALIDITY, "not_rated")
        if name == "cadr_per_w" and None not in (row.cadr_m3h, row.power_w):
            return words("not reckoned")
        return words("not measured")
    return words("not known") if quantity.holds == "money" else words("not measured")


def rank_cell(words: Words, row: ResultRow) -> Cell:
    """Return the cell of a row's place by CADR."""
    text = rank_text(row.rank_low, row.rank_high, row.ranked_of, words)
    if not text or row.rank_low is None or row.rank_high is None:
        return Cell(words("not ranked"), missing=True)
    return Cell(text, value=f"{row.rank_low + row.rank_high}")


def notes_cell(words: Words, row: ResultRow) -> Cell:
    """Return the cell of what is to be noted of a row."""
    said = flags_line(words, row.flags)
    if row.validity == "not_rated":
        rated = word(words, VALIDITY, "not_rated")
        said = words("{what}: {why}", what=rated, why=said) if said else rated
    return Cell(said, missing=False, words=True)
