"""The list of filters."""

from __future__ import annotations

import datetime as dt

from sitegen.model import Filter
from sitegen.pages.addresses import FILTERS, of_record
from sitegen.pages.filters import (
    FilterEntry,
    FiltersContext,
    FiltersGiven,
    filters_page,
)
from sitegen.pages.frame import Linked
from sitegen.pages.words import ENGLISH
from tests.pages.builders import SITE


def _filter(ident: str, name: str, **more: object) -> Filter:
    return Filter.model_validate({"id": ident, "name": name, "maker": "M", **more})


def _context(*entries: FilterEntry) -> FiltersContext:
    page = filters_page(SITE, ENGLISH, FiltersGiven(entries))
    assert page.address == FILTERS
    assert isinstance(page.context, FiltersContext)
    return page.context


def test_filters_stand_by_name_with_what_is_known() -> None:
    """Each line has class, price with its day, lifetime with its basis, and devices."""
    price = {"amount": "12.50", "currency": "EUR", "date": dt.date(2026, 5, 4)}
    full = _filter(
        "b",
        "beta",
        stated_class="H13",
        standard="EN 1822-1",
        price=price,
        lifetime={"months": 6, "basis": "stated"},
    )
    devices = tuple(Linked(n, of_record("device", n.lower())) for n in ("Zed", "Alb"))
    lines = _context(
        FilterEntry(full, devices), FilterEntry(_filter("a", "Alfa"))
    ).lines
    assert [line.filter.text for line in lines] == ["Alfa", "beta"]
    bare, known = lines
    assert (bare.stated_class, bare.price, bare.seen, bare.lifetime) == ("",) * 4
    assert (known.stated_class, known.standard) == ("H13", "EN 1822-1")
    assert (known.price, known.seen) == ("€12.50", "4 May 2026")
    assert known.lifetime == "6 months (stated by the maker)"
    assert [one.text for one in known.devices] == ["Alb", "Zed"]
    assert known.filter.to == of_record("filter", "b")


def test_a_standard_without_a_class_says_nothing() -> None:
    """The standard is shown as that of a class, and not alone."""
    (line,) = _context(FilterEntry(_filter("a", "A", standard="EN 1822-1"))).lines
    assert line.standard == ""
