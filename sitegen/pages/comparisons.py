"""The list of comparisons."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.model.collation import collation_key
from sitegen.pages.addresses import COMPARE, COMPARISONS, Address, of_record
from sitegen.pages.frame import Page, Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class ComparisonEntry:
    """A comparison, for the list.

    Attributes:
        id: id of the record.
        title: its title.
        question: the question that it answers.
        sentence: what it found, in a sentence.
        held: whether it is held (preview only).
    """

    id: str
    title: str
    question: str
    sentence: str
    held: bool = False


@dataclass(frozen=True, slots=True)
class ComparisonsGiven:
    """What the page shows.

    Attributes:
        comparisons: every comparison, in any order.
    """

    comparisons: tuple[ComparisonEntry, ...]


@dataclass(frozen=True, slots=True)
class ComparisonShown:
    """A line of the list.

    Attributes:
        entry: the comparison.
        to: its page.
    """

    entry: ComparisonEntry
    to: Address


@dataclass(frozen=True, slots=True)
class ComparisonsContext:
    """What the layout loops over.

    Attributes:
        comparisons: comparisons by title.
        compare: where readers make their own.
    """

    comparisons: tuple[ComparisonShown, ...]
    compare: Address


def comparisons_page(site: Site, words: Words, given: ComparisonsGiven) -> Page:
    """Return the list of comparisons by title, each with its answer."""
    by_title = sorted(
        given.comparisons, key=lambda each: (collation_key(each.title), each.id)
    )
    return Page(
        address=COMPARISONS,
        layout="comparisons.html",
        title=words("Comparisons"),
        summary=words(
            "Questions that {site} has answered by measurement, each at an address "
            "of its own.",
            site=site.name,
        ),
        context=ComparisonsContext(
            comparisons=tuple(
                ComparisonShown(each, of_record("comparison", each.id))
                for each in by_title
            ),
            compare=COMPARE,
        ),
        section=COMPARISONS,
    )
