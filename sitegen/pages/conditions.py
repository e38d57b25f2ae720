"""What rows a table or a comparison takes, said for readers."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.model import QUANTITIES, TABLE_FACTS, Condition
from sitegen.pages.code_words import FORMS, word
from sitegen.pages.formats import in_units, money, number
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


def field_name(words: Words, field: str) -> str:
    """Return the name of what a condition asks for."""
    if field in QUANTITIES:
        return words(QUANTITIES[field].label)
    if field in TABLE_FACTS:
        return words(TABLE_FACTS[field].label)
    return {
        "form": words("Form"),
        "maker": words("Maker"),
        "withdrawn": words("Withdrawn"),
    }.get(field, field)


def condition_texts(
    words: Words, site: Site, conditions: Sequence[Condition]
) -> tuple[str, ...]:
    """Return each condition as ``Sound level: at most 38 dB(A)``."""
    return tuple(_text(words, site, condition) for condition in conditions)


def _text(words: Words, site: Site, condition: Condition) -> str:
    name = field_name(words, condition.field)
    return words("{name}: {test}", name=name, test=_test(words, site, condition))


def _test(words: Words, site: Site, condition: Condition) -> str:
    if condition.at_most is not None:
        limit = _limit(words, site, condition.field, condition.at_most)
        return words("at most {limit}", limit=limit)
    if condition.at_least is not None:
        limit = _limit(words, site, condition.field, condition.at_least)
        return words("at least {limit}", limit=limit)
    wanted = condition.one_of or ((condition.is_,) if condition.is_ else ())
    shown = [word(words, FORMS, each) for each in wanted]
    if len(shown) < 2:
        return "".join(shown)
    return words("{some} or {last}", some=", ".join(shown[:-1]), last=shown[-1])


def _limit(words: Words, site: Site, field: str, value: float) -> str:
    quantity = QUANTITIES.get(field)
    if field == "price" or (quantity and quantity.unit == "currency"):
        return money(value, site.currency, words)
    if quantity is None or not quantity.unit:
        return number(value, 6, words, plain=True)
    shown, unit = in_units(value, quantity.unit, site.units)
    digits = 6 if unit == quantity.unit else 3
    return f"{number(shown, digits, words, plain=True)} {unit}"
