"""What changed in a comparison since its newest edition, for readers of its page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.findings.differences import WITHOUT_INTERVAL, Difference
from sitegen.findings.views import ResultRow
from sitegen.model import QUANTITIES
from sitegen.pages.addresses import Address
from sitegen.pages.changes import Correction, correction_link
from sitegen.pages.comparison_sentence import listing
from sitegen.pages.configuration_names import capital
from sitegen.pages.edition_words import assumption_label
from sitegen.pages.formats import Shown, date_text, percent, quantity_text, unit_text
from sitegen.pages.frame import Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class SinceGiven:
    """What is known of the time since an edition.

    Attributes:
        pinned: day of the edition, ISO text.
        to: its page.
        differences: what differs and matters.
        names: configuration, by its ids of now, to its name.
        assumptions: name of an assumption, what it was, what it is; only those that
            differ.
        corrections: corrections since then that speak of what it rests on.
        methods: method to its name.
    """

    pinned: str
    to: Address
    differences: tuple[Difference, ...]
    names: Mapping[str, str]
    assumptions: tuple[tuple[str, str, str], ...] = ()
    corrections: tuple[Correction, ...] = ()
    methods: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True)
class SinceRow:
    """One difference.

    Attributes:
        name: the configuration.
        what: the quantity with its unit, or ``""`` for the configuration itself.
        then: what the edition says.
        now: what holds now.
        why: why it is listed, in words.
    """

    name: str
    what: str
    then: Shown
    now: Shown
    why: str


@dataclass(frozen=True, slots=True)
class Since:
    """The section of a comparison's page.

    Attributes:
        day: day of the edition, for readers.
        to: its page.
        changed: whether something that matters is listed.
        said: that in a sentence.
        rule: what is listed and what is not, a sentence.
        rows: the numbers that differ.
        joined: configurations that are in the comparison only now, a sentence or "".
        left: those that are in it no longer, a sentence or "".
        assumptions: label, then, now.
        corrections: day and place of each correction since.
    """

    day: str
    to: Address
    changed: bool
    said: str
    rule: str
    rows: tuple[SinceRow, ...]
    joined: str
    left: str
    assumptions: tuple[tuple[str, str, str], ...]
    corrections: tuple[tuple[str, Address], ...]


def since(site: Site, words: Words, given: SinceGiven) -> Since:
    """Return what changed since an edition, as the page shows it."""
    day = date_text(given.pinned, words)
    rows = tuple(
        row
        for each in given.differences
        if each.why not in {"joined", "left"}
        and (row := _row(site, words, given, each))
    )
    joined, left = (_members(words, given, why) for why in ("joined", "left"))
    assumed = tuple(
        (assumption_label(words, name), then or "–", now or "–")
        for name, then, now in given.assumptions
    )
    if rows:
        said = words.plural(
            "Changed since the edition of {date}: {n} difference that matters.",
            "Changed since the edition of {date}: {n} differences that matter.",
            len(rows),
            date=day,
        )
    elif joined or left:
        said = words(
            "Changed since the edition of {date}: which configurations it holds.",
            date=day,
        )
    elif assumed:
        said = words(
            "Changed since the edition of {date}: what costs rest on.", date=day
        )
    else:
        said = words(
            "Nothing that matters changed since the edition of {date}.", date=day
        )
    return Since(
        day=day,
        to=given.to,
        changed=bool(rows or joined or left or assumed),
        said=said,
        rule=words(
            "A number is listed where one of the two lies outside the 95 % interval of "
            "the other, or where a correction speaks of it; one without an interval "
            "where it differs by {share} or more.",
            share=percent(WITHOUT_INTERVAL, words=words),
        ),
        rows=rows,
        joined=joined,
        left=left,
        assumptions=assumed,
        corrections=tuple(correction_link(words, each) for each in given.corrections),
    )


def _members(words: Words, given: SinceGiven, why: str) -> str:
    """Return which configurations joined or left, a sentence, or ``""``."""
    found = [
        given.names.get(each.configuration, each.configuration)
        for each in given.differences
        if each.why == why
    ]
    if not found:
        return ""
    names = listing(words, found)
    if why == "joined":
        return words("In this comparison only now: {names}.", names=names)
    return words("No longer in this comparison: {names}.", names=names)


def _row(
    site: Site, words: Words, given: SinceGiven, each: Difference
) -> SinceRow | None:
    name = given.names.get(each.configuration, each.configuration)
    if each.quantity:
        then = _cell(site, words, each.quantity, each.then)
        now = _cell(site, words, each.quantity, each.now)
        if each.why == "correction" and then == now:
            return None  # too little to be seen
        unit = ""
        if QUANTITIES[each.quantity].holds != "money":
            unit = unit_text(each.quantity, site.units, site.currency, words)
        label = words(QUANTITIES[each.quantity].label)
        what = words("{label}, {unit}", label=label, unit=unit) if unit else label
    else:
        what = ""
        then, now = (_method(given, row) for row in (each.then, each.now))
    return SinceRow(capital(name), what, then, now, _why(words, each))


def _cell(site: Site, words: Words, quantity: str, row: ResultRow | None) -> Shown:
    if row is None:
        return Shown("", "")
    return quantity_text(quantity, row, site.units, words)


def _method(given: SinceGiven, row: ResultRow | None) -> Shown:
    if row is None:
        return Shown("", "")
    return Shown((given.methods or {}).get(row.method, row.method), "")


def _why(words: Words, each: Difference) -> str:
    return {
        "beyond": words("beyond its uncertainty"),
        "share": words(
            "by {share} or more", share=percent(WITHOUT_INTERVAL, words=words)
        ),
        "assumed": words("rests on other assumptions"),
        "correction": words("after a correction"),
        "method": words("by another method, so the numbers are not comparable"),
        "lost": words("no longer published"),
        "found": words("measured since"),
    }[each.why]
