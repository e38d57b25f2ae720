"""Which rows a table or a comparison shows, in which order, with which columns."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from sitegen.errors import SitegenError
from sitegen.findings.views import Labels, ResultRow
from sitegen.model import QUANTITIES, RESULT_COLUMNS, Condition, Quantity
from sitegen.model.collation import Key, collation_key
from sitegen.model.quantities import DEVICE_FIELDS

Fact = str | float | None
FactOfRow = Callable[[ResultRow], Fact]

_NO_FACTS: Mapping[str, FactOfRow] = MappingProxyType({})

YES_WORDS = ("yes", "true", "on")
NO_WORDS = ("no", "false", "off")


class NoSuchQuantity(SitegenError):
    """A condition, an order or a column names what no row has."""


def facts_of(labels: Labels, price: float | None) -> dict[str, Fact]:
    """Return what a condition may ask of a device, beside its results.

    Args:
        labels: the device's names.
        price: what it costs in the archive's currency, or nothing.
    """
    return {
        "form": labels.form,
        "maker": labels.maker,
        "price": price,
        "withdrawn": "yes" if labels.withdrawn else "no",
    }


def matches(
    row: ResultRow, facts: Mapping[str, Fact], conditions: Sequence[Condition]
) -> bool:
    """Return whether a row meets every condition.

    A missing value meets none: what was not measured is neither below nor above a
    limit. A field with several values (flags, run ids) is met by any of them. Texts
    are compared without regard to case.

    Args:
        row: the row.
        facts: facts of the row's device by name (``DEVICE_FIELDS``).
        conditions: conditions of the record; each has one test.

    Raises:
        NoSuchQuantity: if a condition asks for a field that does not exist.
    """
    return all(
        any(_meets(value, condition) for value in _values(row, facts, condition.field))
        for condition in conditions
    )


def ordered(
    rows: Sequence[ResultRow],
    order: str,
    facts: Mapping[str, FactOfRow] = _NO_FACTS,
) -> tuple[ResultRow, ...]:
    """Return rows sorted by a quantity or a fact, those without it last.

    Ties are in ascending order of configuration, method and fraction, whichever way
    the quantity is sorted, so that the order never depends on how rows came in.

    Args:
        rows: the rows.
        order: name of a quantity or fact; a leading hyphen puts the largest first.
        facts: what tells a fact that is no result (``TABLE_FACTS``) of a row, by its
            name.

    Raises:
        NoSuchQuantity: if there is no such quantity or fact.
    """
    name = order.removeprefix("-")
    if name not in facts:
        _known(name)

    def value_of(row: ResultRow) -> object:
        return facts[name](row) if name in facts else getattr(row, name)

    by_name = sorted(
        rows, key=lambda row: (row.configuration, row.method, row.fraction)
    )
    present = [row for row in by_name if not _missing(value_of(row))]
    absent = [row for row in by_name if _missing(value_of(row))]
    # ``reverse`` keeps the order of ties in Python's sort.
    present.sort(key=lambda row: _sort_key(value_of(row)), reverse=order != name)
    return (*present, *absent)


def resolve_columns(names: Sequence[str]) -> tuple[Quantity, ...]:
    """Return the quantities of a table's columns, in order, each once.

    Raises:
        NoSuchQuantity: if a name is no quantity of ``results.csv``.
    """
    return tuple(_known(name) for name in dict.fromkeys(names))


def _known(name: str) -> Quantity:
    if name not in QUANTITIES:
        raise NoSuchQuantity(name)
    return QUANTITIES[name]


def _missing(value: object) -> bool:
    return value is None or value in ("", ())


def _sort_key(value: object) -> tuple[float, Key]:
    if isinstance(value, int | float):
        return (float(value), collation_key(""))
    text = " ".join(value) if isinstance(value, tuple) else str(value)
    return (0.0, collation_key(text))


def _values(row: ResultRow, facts: Mapping[str, Fact], field: str) -> tuple[Fact, ...]:
    found: Fact | tuple[str, ...]
    if field in RESULT_COLUMNS:
        found = getattr(row, field)
    elif field in DEVICE_FIELDS:
        found = facts.get(field)
    else:
        raise NoSuchQuantity(field)
    if isinstance(found, tuple):
        return found
    return () if _missing(found) else (found,)


def _meets(value: Fact, condition: Condition) -> bool:
    if condition.is_ is not None:
        return _same(value, condition.is_)
    if condition.one_of is not None:
        return any(_same(value, wanted) for wanted in condition.one_of)
    if not isinstance(value, int | float):
        return False
    if condition.at_most is not None:
        return value <= condition.at_most
    return condition.at_least is not None and value >= condition.at_least


def _same(value: Fact, wanted: str) -> bool:
    if isinstance(value, int | float):
        try:
            return float(wanted) == value
        except ValueError:
            return False
    wanted = wanted.strip().casefold()
    for words in (YES_WORDS, NO_WORDS):
        if value == words[0] and wanted in words:
            return True
    return value is not None and value.casefold() == wanted
