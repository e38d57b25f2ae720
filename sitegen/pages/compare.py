"""The page on which readers make a comparison of their own.

Without its scripts it is one table of everything, sorted. With them it shows what
the address chooses, sorted and filtered as it says, under the reader's own
assumptions; the numbers for that stand in the page as data.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, get_args

from sitegen.findings.views import CostView, Labels, ResultRow
from sitegen.model import QUANTITIES, RESULT_COLUMNS
from sitegen.model.archive import Assumptions
from sitegen.model.quantities import table_columns
from sitegen.model.rounding import significant_text
from sitegen.model.showing import FigureKind
from sitegen.pages.addresses import COMPARE, Address, data_file
from sitegen.pages.code_words import FORMS, word
from sitegen.pages.compare_words import compare_words
from sitegen.pages.formats import US_UNITS
from sitegen.pages.frame import Caution, Page, Site
from sitegen.pages.query import filter_fields
from sitegen.pages.result_table import ResultTable, result_table
from sitegen.pages.words import Words

SCRIPTS = (
    "sort.js",
    "copy.js",
    "numbers.js",
    "reckon.js",
    "query.js",
    "compare_cells.js",
    "compare_figure.js",
    "compare.js",
)
"""Scripts of the page, in the order in which they rest on each other."""

ORDER = "-cadr_m3h"
"""How the table is sorted before a reader sorts it."""

# Columns of the data beside the quantities: what a year's cost is reckoned from.
_COST_PARTS = ("standby_w", "price", "filter_change", "filter_months", "filter_hours")


@dataclass(frozen=True, slots=True)
class CompareGiven:
    """What the page shows.

    Attributes:
        rows: every result that may be compared.
        names: names of their devices, by id.
        cautions: cautions that follow from the devices.
        costs: what costs were reckoned from; without them a reader's own tariff and
            hours change nothing.
        assumptions: the archive's assumptions, or nothing.
        lifetimes_h: running hours of filters whose lifetime is given so, by id.
        methods: names of methods by id.
    """

    rows: tuple[ResultRow, ...]
    names: Mapping[str, Labels]
    cautions: tuple[Caution, ...] = ()
    costs: tuple[CostView, ...] = ()
    assumptions: Assumptions | None = None
    lifetimes_h: tuple[tuple[str, float], ...] = ()
    methods: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class CompareContext:
    """What the layout shows.

    Attributes:
        table: every result, sorted, or nothing when there is none.
        count: how many there are, as a text.
        columns: name and label of what can be sorted and drawn by.
        forms: form and its name, of the devices there are.
        assumed: the archive's own assumptions as numbers to start from, by name;
            empty texts where there are none.
        rows: the data for the scripts.
        data: where the numbers can be downloaded.
        currency: the archive's currency.
        cautions: cautions.
    """

    table: ResultTable | None
    count: str
    columns: tuple[tuple[str, str], ...]
    forms: tuple[tuple[str, str], ...]
    assumed: Mapping[str, str]
    rows: Mapping[str, Any]
    data: Address
    currency: str
    cautions: tuple[Caution, ...]


def compare_page(site: Site, words: Words, given: CompareGiven) -> Page:
    """Return the page on which readers compare."""
    columns = table_columns()
    prices = {each.configuration.split(".")[0]: each.price for each in given.costs}
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
            prices={name: price for name, price in prices.items() if price is not None},
        )
    forms = sorted({labels.form for labels in given.names.values()})
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
            forms=tuple((form, word(words, FORMS, form)) for form in forms),
            assumed=_assumed(given.assumptions),
            rows=compare_data(site, words, given),
            data=data_file("results.csv"),
            currency=site.currency,
            cautions=given.cautions,
        ),
        section=COMPARE,
        held=any(labels.held for labels in given.names.values()),
        scripts=SCRIPTS,
    )


def compare_data(site: Site, words: Words, given: CompareGiven) -> dict[str, Any]:
    """Return the numbers behind the table, for the scripts.

    ``columns`` names the values of a row; ``rows`` stand in the order of the table.
    An empty value is ``null``.

    Args:
        site: units and currency.
        words: the interface's words.
        given: what the page shows.
    """
    from sitegen.findings.select import ordered  # noqa: PLC0415 - beside its use

    numbers = _number_columns()
    costs = {each.configuration: each for each in given.costs}
    hours = dict(given.lifetimes_h)
    assumed = given.assumptions
    return {
        "v": 1,
        "locale": words.locale.replace("_", "-"),
        "units": site.units,
        "currency": site.currency,
        "columns": [*_TEXTS, *numbers, *_COST_PARTS],
        "quantities": [_quantity(words, name) for name in table_columns()],
        "query": {
            "fields": filter_fields(),
            "columns": list(RESULT_COLUMNS),
            "axes": list(table_columns()),
            "figures": list(get_args(FigureKind)),
        },
        "us": {unit: [name, factor] for unit, (name, factor) in US_UNITS.items()},
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
                *_texts(row, given.names[row.device]),
                *(_exact(getattr(row, name)) for name in numbers),
                *_cost_parts(costs.get(row.configuration), hours),
            ]
            for row in ordered(given.rows, ORDER)
        ],
        "words": compare_words(words),
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
)


def _number_columns() -> tuple[str, ...]:
    found: list[str] = []
    for name in table_columns():
        quantity = QUANTITIES[name]
        found += [each for each in (name, quantity.low, quantity.high) if each]
    return tuple(found)


def _quantity(words: Words, name: str) -> dict[str, str]:
    quantity = QUANTITIES[name]
    return {
        "name": name,
        "label": words(quantity.label),
        "unit": quantity.unit,
        "rounding": quantity.rounding,
        "low": quantity.low,
        "high": quantity.high,
        "better": quantity.better,
    }


def _texts(row: ResultRow, labels: Labels) -> Sequence[str]:
    of_device = {"form": labels.form, "maker": labels.maker, "name": labels.name}
    return [
        of_device[name] if name in of_device else str(getattr(row, name))
        for name in _TEXTS
    ]


def _exact(value: float | None) -> float | None:
    """Return a number as it is published: 10 significant digits."""
    return None if value is None else float(significant_text(value))


def _cost_parts(
    costs: CostView | None, hours: Mapping[str, float]
) -> Sequence[float | None]:
    """Return what a year's cost is reckoned from, as ``_COST_PARTS`` names it."""
    if costs is None:
        return [None] * len(_COST_PARTS)
    change: float | None = 0.0
    months: float | None = None
    running: float | None = None
    for part in costs.filters:
        change = part.piece.amount * part.pieces if part.piece else None
        running = hours.get(part.filter)
        months = None if running is not None else part.interval_months
    return [
        _exact(each) for each in (costs.standby_w, costs.price, change, months, running)
    ]


def _assumed(assumed: Assumptions | None) -> Mapping[str, str]:
    """Return the archive's assumptions as a form takes them."""
    if assumed is None:
        return {"tariff": "", "hours": "", "ceiling": "", "cap": ""}
    return {
        "tariff": significant_text(assumed.tariff.per_kwh),
        "hours": significant_text(assumed.hours_per_day),
        "ceiling": significant_text(assumed.ceiling_m),
        "cap": significant_text(assumed.quiet_cap_dba),
    }
