"""Checks of the quantities that tables, comparisons and editions name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import get_args

from pydantic_core import PydanticCustomError

from sitegen.load.facts import Facts, QuantityUse, Role
from sitegen.load.guesses import guess, listed
from sitegen.load.index import Lookup, folder_of
from sitegen.load.problems import Problem
from sitegen.load.tree import Path
from sitegen.model import (
    CONDITION_FIELDS,
    NO_FILTER,
    QUANTITIES,
    RESULT_COLUMNS,
    TABLE_FACTS,
    table_columns,
)
from sitegen.model.device import Form
from sitegen.model.scalars import parse_yes_no

# Fields of a condition whose words are ids of records.
_KIND_OF_FIELD = {
    "device": "device",
    "filter": "filter",
    "method": "method",
    "sound_method": "method",
    "power_method": "method",
}
_FORMS: tuple[str, ...] = get_args(Form)


def quantity_problems(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    """Return what is wrong with the quantities that a record names."""
    for use in facts.quantities:
        choices = _choices(use.role)
        if use.name not in choices:
            path = (*use.path, "field") if use.role == "condition" else use.path
            values = {"value": use.name, "choices": listed(choices)}
            values |= guess(use.name, choices)
            yield Problem(facts.kind, facts.id, path, "unknown-quantity", values)
        elif use.role == "condition":
            yield from _condition(facts, use, lookup)


def _choices(role: Role) -> Sequence[str]:
    if role == "condition":
        return CONDITION_FIELDS
    if role in {"table", "order"}:
        return (*table_columns(), *TABLE_FACTS)
    return RESULT_COLUMNS if role == "frozen" else table_columns()


def _condition(facts: Facts, use: QuantityUse, lookup: Lookup) -> Iterator[Problem]:
    if use.test in {"at_most", "at_least"}:
        quantity = QUANTITIES.get(use.name)
        holds_words = quantity.holds == "text" if quantity else use.name != "price"
        if holds_words:
            path = (*use.path, use.test)
            values = {"value": use.name}
            yield Problem(facts.kind, facts.id, path, "test-needs-number", values)
        return
    for at, word in enumerate(use.words):
        path = (*use.path, use.test) if use.test == "is" else (*use.path, "one_of", at)
        yield from _word(facts, use.name, word, path, lookup)


def _word(
    facts: Facts, field: str, word: str, path: Path, lookup: Lookup
) -> Iterator[Problem]:
    kind = _KIND_OF_FIELD.get(field)
    if kind is not None:
        reserved = field == "filter" and word == NO_FILTER
        if not reserved and not lookup.exists(kind, word):
            values = {"kind": kind, "id": word, "folder": folder_of(kind)}
            values |= guess(word, lookup.ids(kind))
            yield Problem(facts.kind, facts.id, path, "unknown-reference", values)
    elif field == "form" and word not in _FORMS:
        values = {"value": word, "choices": listed(_FORMS), **guess(word, _FORMS)}
        yield Problem(facts.kind, facts.id, path, "not-one-of", values)
    elif field == "withdrawn":
        try:
            parse_yes_no(word)
        except PydanticCustomError as refusal:
            context = {key: str(item) for key, item in (refusal.context or {}).items()}
            yield Problem(facts.kind, facts.id, path, refusal.type, context)
