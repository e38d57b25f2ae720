"""A page in both systems of units: what reads otherwise in the other stands beside it.

The page is made twice, and where the two differ the second reading is put into
attributes: ``data-other`` holds another text, ``data-other-NAME`` another value of the
attribute NAME of an element that is marked with ``data-others``. Of a drawing both
forms stand there, marked with ``data-drawn``, the second one hidden. A script exchanges
them; nothing is reckoned in the browser, so both readings are rounded here.
"""

from __future__ import annotations

import re
from typing import Literal

UnitSystem = Literal["metric", "us"]

# Texts by turns with tags and whole drawings; escaping leaves no bare ">" in an
# attribute.
_PART = re.compile(r"(<svg\b.*?</svg>|<[^>]*>)", re.DOTALL)
_NAME = re.compile(r"</?([a-zA-Z][a-zA-Z0-9-]*)")
_ATTRIBUTE = re.compile(r'([^\s=<>"]+)="([^"]*)"')
# What such an element holds is no text that could be wrapped.
_CLOSED = frozenset({"script", "style", "option", "textarea", "title"})
# These say what an element is and where it leads: two pages that differ in them are
# not the same page in other units.
_FIXED = frozenset({"id", "for", "href", "src", "srcset", "name", "class"})


def other_system(units: str) -> UnitSystem:
    """Return the system that a page is not written in."""
    return "metric" if units == "us" else "us"


def with_other_units(page: str, other: str) -> str:
    """Return a page that holds both readings.

    Args:
        page: HTML, in the archive's units.
        other: the same page in the other system.

    Returns:
        The page with the other readings; the page as it is where both read the same,
        or where they differ in more than texts and values.
    """
    head, start, body = page.partition("<main")
    _, other_start, other_body = other.partition("<main")
    mine, theirs = _PART.split(start + body), _PART.split(other_start + other_body)
    if mine == theirs or len(mine) != len(theirs):
        return page
    found = []
    within = ""
    for at, (own, there) in enumerate(zip(mine, theirs, strict=True)):
        is_tag = at % 2 == 1
        if own == there:
            found.append(own)
        elif own.startswith("<svg") and there.startswith("<svg"):
            found += [_drawing(own, "data-drawn"), _drawing(there, "data-drawn hidden")]
        elif is_tag:
            both = _tag(own, there)
            if both is None:
                return page
            found.append(both)
        else:
            found.append(own if within in _CLOSED else _text(own, there))
        if is_tag:
            name = _NAME.match(own)
            within = name[1].lower() if name and not own.startswith("</") else ""
    return head + "".join(found)


def _text(own: str, other: str) -> str:
    """Return a text that is wrapped, the blanks around it left outside."""
    core = own.strip()
    start, _, end = own.partition(core)
    there = other.strip().replace('"', "&#34;")
    return f'{start}<span data-other="{there}">{core}</span>{end}'


def _drawing(drawn: str, marks: str) -> str:
    """Return a drawing that is marked."""
    return f"<svg {marks}{drawn.removeprefix('<svg')}"


def _tag(own: str, other: str) -> str | None:
    """Return a tag with both values of its attributes; nothing if it has others."""
    mine, theirs = _ATTRIBUTE.findall(own), _ATTRIBUTE.findall(other)
    if [name for name, _ in mine] != [name for name, _ in theirs]:
        return None
    if _ATTRIBUTE.sub("", own) != _ATTRIBUTE.sub("", other):
        return None
    apart = [
        (name, value)
        for (name, value), (_, before) in zip(theirs, mine, strict=True)
        if value != before
    ]
    if any(name in _FIXED for name, _ in apart):
        return None
    added = "".join(f' data-other-{name}="{value}"' for name, value in apart)
    closing = "/>" if own.endswith("/>") else ">"
    return f"{own.removesuffix(closing)} data-others{added}{closing}"
