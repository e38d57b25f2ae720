"""The compare page's state read from a query string.

``v=1&c=DEVICE.FILTER.SPEED,…&figure=&x=&y=&scale=&sort=-cadr_m3h&cols=&q=&
f.form=kit&f.sound_dba=..40&u=us&tariff=&hours=&years=&discount=&life=&rate=USD:1.1&
room=&ceiling=&ach=&cap=``

- ``c`` names up to 24 configurations; ``scale`` is ``log`` or ``linear``, of the axis
  of decay curves; ``sort`` a quantity, largest first with a leading hyphen; ``cols``
  the columns shown, where not all are; ``q`` a text to look for.
- ``f.NAME`` keeps rows: for a number ``30..40``, ``..40``, ``30..`` or ``30``; for a
  text the value, and the key again for each further value that is taken.
- ``u`` is ``metric`` or ``us``; the rest are the reader's own assumptions: price of a
  kWh, hours a day, whole years of ownership, discount in per cent a year, months
  between filter changes, a currency with what one unit of the archive's buys of it,
  floor area of the room in m², ceiling in m, air changes an hour wanted in it, quiet
  cap in dB(A). With a room, ``ach`` keeps rows that one machine can serve.
- A number is written in decimals, up to nine digits on either side of the point.
- An id that has moved since is read as the one of now.
- An empty value says nothing. What is unknown, malformed, repeated or gone is left
  out with a note; reading never fails.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple, get_args
from urllib.parse import unquote_plus

from sitegen.model import RESULT_COLUMNS, TABLE_FACTS
from sitegen.model.configuration import parse_configuration
from sitegen.model.quantities import CONDITION_FIELDS, table_columns
from sitegen.model.showing import FigureKind
from sitegen.pages.compare_state import CompareState, Filter, Note, Rate
from sitegen.pages.query_fields import VERSION, is_number, shown_columns

MOST_CONFIGURATIONS = 24
MOST_CHARACTERS = 16_000
MOST_VALUES = 24
LONGEST_TEXT = 100

_NUMBER = re.compile(r"-?[0-9]{1,9}(?:\.[0-9]{1,9})?")
_CURRENCY = re.compile(r"[A-Z]{3}")
_UNPRINTABLE = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ufffd\ud800-\udfff]")


class _Range(NamedTuple):
    name: str
    low: float
    high: float
    above: bool
    whole: bool = False


# Key to field and what is taken; ``above``: the lower end itself is not; ``whole``:
# nothing between whole numbers.
_ASSUMPTIONS: Mapping[str, _Range] = MappingProxyType(
    {
        "tariff": _Range("tariff", 0, 1e6, above=False),
        "hours": _Range("hours", 0, 24, above=False),
        "years": _Range("years", 1, 50, above=False, whole=True),
        "discount": _Range("discount", 0, 100, above=False),
        "life": _Range("life", 0, 600, above=True),
        "room": _Range("room_m2", 0, 1e5, above=True),
        "ceiling": _Range("ceiling_m", 0, 100, above=True),
        "ach": _Range("ach_per_h", 0, 100, above=True),
        "cap": _Range("cap_dba", 0, 200, above=True),
    }
)
_CHOICES: Mapping[str, tuple[str, Collection[str]]] = MappingProxyType(
    {
        "figure": ("figure", get_args(FigureKind)),
        "x": ("x", table_columns()),
        "y": ("y", table_columns()),
        "scale": ("scale", ("log", "linear")),
        "sort": (
            "sort",
            frozenset(
                f"{sign}{name}"
                for name in (*RESULT_COLUMNS, *TABLE_FACTS)
                for sign in ("", "-")
            ),
        ),
        "u": ("units", ("metric", "us")),
    }
)


# What a filter names by an id, which may have moved.
_KIND_OF_FILTER: Mapping[str, str] = MappingProxyType(
    {
        "device": "device",
        "filter": "filter",
        "method": "method",
        "sound_method": "method",
        "power_method": "method",
    }
)
Moves = Mapping[str, Mapping[str, str]]
"""Former ids and those of now, by kind."""


def parse_query(
    text: str, known: Collection[str] | None = None, moves: Moves = MappingProxyType({})
) -> tuple[CompareState, tuple[Note, ...]]:
    """Return the state that a query string holds, and what was left out of it.

    Args:
        text: the query string, with or without its question mark.
        known: the configurations that have a result; nothing to take them all.
        moves: former ids and those of now, by kind; what was linked under a former
            id is read as what it is now.
    """
    notes: list[Note] = []
    state = CompareState()
    chosen: list[str] = []
    columns: list[str] = []
    filters: dict[str, Filter] = {}
    seen: set[str] = set()
    for key, value in _pairs(text.removeprefix("?"), notes):
        if key == "c":
            chosen.extend(value.split(","))
        elif key == "cols":
            columns.extend(value.split(","))
        elif key.startswith("f."):
            _add_filter(filters, key, _filtered_now(key[2:], value, moves), notes)
        elif key in seen:
            notes.append(Note("repeated", key, value))
        else:
            seen.add(key)
            state = _with_value(state, key, value, notes)
    ordered = sorted(filters.values(), key=lambda each: _place(each.field))
    state = replace(
        state,
        configurations=_configurations(chosen, known, moves, notes),
        columns=_columns(columns, notes),
        filters=tuple(ordered),
    )
    return state, tuple(_shortened(note) for note in notes)


def _pairs(text: str, notes: list[Note]) -> Iterator[tuple[str, str]]:
    if len(text) > MOST_CHARACTERS:
        notes.append(Note("too-long", "", ""))
        # What was cut in the middle would say something else.
        text = text[:MOST_CHARACTERS].rpartition("&")[0]
    for part in text.split("&"):
        key, _, value = part.partition("=")
        key, value = unquote_plus(key), unquote_plus(value).strip()
        if not value:
            continue
        if _UNPRINTABLE.search(key + value):
            notes.append(Note("malformed", key, value))
        else:
            yield key, value


def _with_value(
    state: CompareState, key: str, value: str, notes: list[Note]
) -> CompareState:
    if key == "v":
        if value != VERSION:
            notes.append(Note("version", key, value))
        return state
    found: object = None
    name = key
    if key in _CHOICES:
        name, allowed = _CHOICES[key]
        found = value if value in allowed else None
    elif key in _ASSUMPTIONS:
        name = _ASSUMPTIONS[key].name
        found = _within(value, _ASSUMPTIONS[key])
    elif key == "q":
        name, found = "search", value if len(value) <= LONGEST_TEXT else None
    elif key == "rate":
        found = _rate(value)
    else:
        notes.append(Note("unknown", key, value))
        return state
    if found is None:
        notes.append(Note("malformed", key, value))
        return state
    changes: dict[str, object] = {name: found}
    return replace(state, **changes)  # type: ignore[arg-type]  # checked just above


def _filtered_now(name: str, value: str, moves: Moves) -> str:
    """Return the value of a filter under the id of now."""
    return moves.get(_KIND_OF_FILTER.get(name, ""), {}).get(value, value)


def _configuration_now(name: str, moves: Moves) -> str:
    """Return a configuration under the ids of now."""
    named = parse_configuration(name)
    if named is None:
        return name
    device = moves.get("device", {}).get(named.device, named.device)
    used = moves.get("filter", {}).get(named.filter, named.filter)
    return f"{device}.{used}.{named.speed}"


def _configurations(
    texts: list[str], known: Collection[str] | None, moves: Moves, notes: list[Note]
) -> tuple[str, ...]:
    kept: list[str] = []
    for text in texts:
        name = _configuration_now(text.strip(), moves)
        if not name or name in kept:
            continue
        if parse_configuration(name) is None:
            notes.append(Note("malformed", "c", name))
        elif known is not None and name not in known:
            notes.append(Note("gone", "c", name))
        elif len(kept) == MOST_CONFIGURATIONS:
            notes.append(Note("too-many", "c", name))
        else:
            kept.append(name)
    return tuple(kept)


def _columns(texts: list[str], notes: list[Note]) -> tuple[str, ...]:
    """Return the columns named, each once, in the order of the table."""
    named = dict.fromkeys(text.strip() for text in texts)
    known = shown_columns()
    # More than there are cannot be meant; they are told of only so far.
    unknown = [name for name in named if name and name not in known]
    notes += [Note("unknown", "cols", name) for name in unknown[:MOST_VALUES]]
    return tuple(name for name in known if name in named)


def _add_filter(
    filters: dict[str, Filter], key: str, value: str, notes: list[Note]
) -> None:
    name = key[2:]
    before = filters.get(name)
    if name not in CONDITION_FIELDS:
        notes.append(Note("unknown", key, value))
    elif is_number(name):
        limits = _limits(value)
        if before is not None:
            notes.append(Note("repeated", key, value))
        elif limits is None:
            notes.append(Note("malformed", key, value))
        else:
            filters[name] = Filter(name, (), *limits)
    elif len(value) > LONGEST_TEXT:
        notes.append(Note("malformed", key, value))
    else:
        values = before.values if before else ()
        if value not in values:
            if len(values) == MOST_VALUES:
                notes.append(Note("too-many", key, value))
            else:
                filters[name] = Filter(name, (*values, value))


def _place(name: str) -> int:
    return CONDITION_FIELDS.index(name)


def _limits(text: str) -> tuple[float | None, float | None] | None:
    """Return the limits of ``30..40``, ``..40``, ``30..`` or ``30``."""
    first, dots, last = text.partition("..")
    if not dots:
        exact = _number(text)
        return None if exact is None else (exact, exact)
    low, high = _number(first), _number(last)
    if (first and low is None) or (last and high is None) or not (first or last):
        return None
    if low is not None and high is not None and low > high:
        return None
    return low, high


def _number(text: str) -> float | None:
    if not _NUMBER.fullmatch(text):
        return None
    # Adding nought turns a minus nought into a plain one.
    value = float(text) + 0.0
    # The nearest float may be the next power of ten, which has a digit too many.
    return value if abs(value) < 1e9 else None


def _within(text: str, taken: _Range) -> float | None:
    value = _number(text)
    if value is None or not taken.low <= value <= taken.high:
        return None
    if taken.whole and value != int(value):
        return None
    return None if taken.above and value == taken.low else value


def _rate(text: str) -> Rate | None:
    currency, _, number = text.partition(":")
    value = _number(number)
    if not _CURRENCY.fullmatch(currency) or value is None or value <= 0:
        return None
    return Rate(currency, value)


def _shortened(note: Note) -> Note:
    key, value = (
        _UNPRINTABLE.sub("\ufffd", text)[:LONGEST_TEXT]
        for text in (note.key, note.value)
    )
    return Note(note.trouble, key, value)
