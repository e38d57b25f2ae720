"""What a reader sets for a table of results, and the numbers that scripts need for it.

The scripts filter rows, turn units, and reckon costs and air changes anew under the
reader's own numbers; the data for that stand in the page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, get_args

from sitegen.findings.families import family_of
from sitegen.findings.select import ordered
from sitegen.findings.views import CostView, Labels, ResultRow
from sitegen.model import QUANTITIES, TABLE_FACTS, Quantity
from sitegen.model.archive import Assumptions
from sitegen.model.collation import Key, collation_key
from sitegen.model.quantities import table_columns
from sitegen.model.showing import FigureKind
from sitegen.pages.code_words import FORMS, word
from sitegen.pages.compare_words import compare_words
from sitegen.pages.cost_parts import COST_PARTS, assumed_texts, cost_parts, exact
from sitegen.pages.flag_words import flags_line
from sitegen.pages.formats import us_units
from sitegen.pages.frame import Site
from sitegen.pages.query import Moves
from sitegen.pages.query_fields import filter_fields, sort_columns
from sitegen.pages.table_facts import TableFacts
from sitegen.pages.words import Words

SCRIPTS = ("table_rows.js", "copy.js", "reckoning.js", "table_tools.js")
"""Scripts of a page with these tools, in the order in which they rest on each other."""


@dataclass(frozen=True, slots=True)
class Reckoning:
    """What costs were reckoned from.

    Attributes:
        costs: costs by configuration; without them a reader's own tariff and hours
            change nothing.
        assumptions: the archive's assumptions, or nothing.
        families: method to its comparable set.
        moves: former ids and those of now, by kind: addresses that readers kept may
            still name a former one.
        classes: filter class as stated, by id of the filter.
    """

    costs: tuple[CostView, ...] = ()
    assumptions: Assumptions | None = None
    families: Mapping[str, str] = field(default_factory=dict)
    moves: Moves = field(default_factory=dict)
    classes: Mapping[str, str] = field(default_factory=dict)

    def facts(self) -> TableFacts:
        """Return the prices and classes that a table may show."""
        prices = {
            each.configuration: each.price
            for each in self.costs
            if each.price is not None
        }
        return TableFacts(prices, self.classes)


@dataclass(frozen=True, slots=True)
class ReadingTools:
    """The tools, ready for ``parts/reading_tools.html``.

    Attributes:
        forms: form and its name, of the devices there are.
        classes: filter classes that there are, in order.
        assumed: the archive's own assumptions as numbers to start from, by name;
            empty texts where there are none.
        rows: the data for the scripts.
        currency: the archive's currency.
        file: name of the file in which what is shown is downloaded.
    """

    forms: tuple[tuple[str, str], ...]
    classes: tuple[str, ...]
    assumed: Mapping[str, str]
    rows: Mapping[str, Any] = field(default_factory=dict)
    currency: str = ""
    file: str = "results.csv"


def reading_tools(
    site: Site,
    words: Words,
    rows: Sequence[ResultRow],
    names: Mapping[str, Labels],
    order: str,
    reckoning: Reckoning,
    file: str,
    columns: Sequence[str] = (),
) -> ReadingTools:
    """Return the tools of a table.

    Args:
        site: units and currency.
        words: the interface's words.
        rows: the rows of the table.
        names: labels of their devices by id.
        order: how the table is sorted.
        reckoning: what costs were reckoned from.
        file: name of the file in which what is shown is downloaded.
        columns: columns of the table.
    """
    forms = {names[row.device].form for row in rows}
    called = ((form, word(words, FORMS, form)) for form in forms)
    return ReadingTools(
        forms=tuple(sorted(called, key=lambda form: collation_key(form[1]))),
        classes=tuple(sorted(_classes(rows, reckoning), key=_in_order)),
        assumed=assumed_texts(reckoning.assumptions),
        rows=table_data(site, words, rows, names, order, reckoning, columns),
        currency=site.currency,
        file=file,
    )


def held_columns() -> frozenset[str]:
    """Return the columns of a table whose values the data for the scripts hold."""
    return frozenset((*table_columns(), "price", "filter_class"))


def table_data(
    site: Site,
    words: Words,
    rows: Sequence[ResultRow],
    names: Mapping[str, Labels],
    order: str,
    reckoning: Reckoning,
    columns: Sequence[str] = (),
) -> dict[str, Any]:
    """Return the numbers behind the table, for the scripts.

    ``columns`` names the values of a row; ``rows`` stand in the order of the table.
    An empty value is ``null``.

    Args:
        site: units and currency.
        words: the interface's words.
        rows: the rows of the table.
        names: labels of their devices by id.
        order: how the table is sorted.
        reckoning: what costs were reckoned from.
        columns: columns of the table; a price among them can be reckoned anew.
    """
    numbers = _number_columns()
    costs = {each.configuration: each for each in reckoning.costs}
    facts = reckoning.facts()
    assumed = reckoning.assumptions
    return {
        "v": 1,
        "order": order,
        "locale": words.locale.replace("_", "-"),
        "units": site.units,
        "currency": site.currency,
        "columns": [*_TEXTS, *numbers, *COST_PARTS],
        "quantities": [
            *(_quantity(words, QUANTITIES[name]) for name in table_columns()),
            *(_quantity(words, TABLE_FACTS[n]) for n in columns if n == "price"),
        ],
        "query": {
            "fields": filter_fields(),
            "columns": list(sort_columns()),
            "axes": list(table_columns()),
            "figures": list(get_args(FigureKind)),
            "moved": _moved(rows, reckoning.moves),
        },
        "us": us_units(words),
        "assumed": None
        if assumed is None
        else {
            "tariff": assumed.tariff.per_kwh,
            "hours": assumed.hours_per_day,
            "ceiling": assumed.ceiling_m,
            "cap": assumed.quiet_cap_dba,
            "years": assumed.years,
            "discount": assumed.discount_pct,
        },
        "rows": [
            [
                *_texts(words, row, names[row.device], reckoning.families, facts),
                *(exact(getattr(row, name)) for name in numbers),
                *cost_parts(costs.get(row.configuration)),
            ]
            for row in ordered(rows, order, facts.by_name())
        ],
        "words": compare_words(words),
    }


def _moved(rows: Sequence[ResultRow], moves: Moves) -> dict[str, dict[str, str]]:
    """Return the moves that lead to what stands in the table."""
    there = {
        "device": {row.device for row in rows},
        "filter": {row.filter for row in rows},
        "method": {
            name
            for row in rows
            for name in (row.method, row.sound_method, row.power_method)
        },
    }
    return {
        kind: found
        for kind, ids in there.items()
        if (
            found := {
                old: now for old, now in moves.get(kind, {}).items() if now in ids
            }
        )
    }


_TEXTS = (
    "device",
    "filter",
    "speed",
    "method",
    "fraction",
    "validity",
    "sound_limit",
    "clearance_basis",
    "form",
    "maker",
    "name",
    "filter_class",
    "family",
    "notes",
)


def _number_columns() -> tuple[str, ...]:
    found: list[str] = []
    for name in table_columns():
        quantity = QUANTITIES[name]
        found += [each for each in (name, quantity.low, quantity.high) if each]
    return tuple(found)


def _classes(rows: Sequence[ResultRow], reckoning: Reckoning) -> set[str]:
    """Return the classes of the filters in a table."""
    facts = reckoning.facts()
    found = (facts.filter_class(row) for row in rows)
    return {each for each in found if each}


def _in_order(stated: str) -> tuple[Key, int, str]:
    """Return what sorts classes by kind and number: M9 before M13."""
    digits = "".join(sign for sign in stated if sign.isdecimal())
    letters = "".join(sign for sign in stated if sign.isalpha())
    return (collation_key(letters), int(digits or 0), stated)


def _quantity(words: Words, quantity: Quantity) -> dict[str, str]:
    return {
        "name": quantity.name,
        "label": words(quantity.label),
        "unit": words(quantity.unit),
        "rounding": quantity.rounding,
        "low": quantity.low,
        "high": quantity.high,
        "better": quantity.better,
    }


def _texts(
    words: Words,
    row: ResultRow,
    labels: Labels,
    families: Mapping[str, str],
    facts: TableFacts,
) -> Sequence[str]:
    of_device = {
        "form": labels.form,
        "maker": labels.maker,
        "name": labels.name,
        "filter_class": facts.filter_class(row),
        "family": family_of(row.method, families),
        "notes": flags_line(words, row.flags),
    }
    return [
        of_device[name] if name in of_device else str(getattr(row, name))
        for name in _TEXTS
    ]
