"""``changes.atom``: the change log as a feed, as RFC 4287 has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.pages.addresses import CHANGES, FEED
from sitegen.pages.frame import Site
from sitegen.pages.words import ENGLISH, Words

# A reader of feeds asks again and again; older changes stand on the page.
FEED_LENGTH = 100
# A feed must say when it was updated; one without a change says the oldest moment.
_NEVER = "1970-01-01"


@dataclass(frozen=True, slots=True)
class FeedEntry:
    """One change, as the feed shows it.

    Attributes:
        id: id of the change's record; the entry's permanent address rests on it.
        date: day of the change, ISO.
        kind: code of what sort of change it is.
        title: its title, plain text.
        html: its text, safe HTML whose links are full addresses: a reader of feeds
            shows it elsewhere.
    """

    id: str
    date: str
    kind: str
    title: str
    html: str


def changes_atom(
    site: Site, entries: Sequence[FeedEntry], words: Words = ENGLISH
) -> bytes:
    """Return the feed of changes, the newest first.

    It is dated by its newest change, at midnight UTC, so that the same records give
    the same bytes on any day.

    Args:
        site: what is said of the archive.
        entries: the changes, in any order; the ``FEED_LENGTH`` newest are shown.
        words: the interface's words.
    """
    from feedgen.feed import FeedGenerator  # noqa: PLC0415 - for this file alone

    by_id = sorted(entries, key=lambda entry: entry.id)
    newest_first = sorted(by_id, key=lambda entry: entry.date, reverse=True)
    feed = FeedGenerator()
    feed.id(FEED.canonical(site.base))
    feed.title(words("Changes in {site}", site=site.name))
    feed.subtitle(
        words("Corrections, repeated tests, prices and methods of the archive.")
        if not site.simulated
        else words("Changes of a simulated archive; all its data are invented.")
    )
    feed.author(name=site.publisher)
    feed.link(href=FEED.canonical(site.base), rel="self", type="application/atom+xml")
    feed.link(href=CHANGES.canonical(site.base), rel="alternate", type="text/html")
    feed.rights(site.licence)
    feed.language(site.language)
    feed.generator("sitegen")
    feed.updated(_midnight(newest_first[0].date if newest_first else _NEVER))
    for entry in newest_first[:FEED_LENGTH]:
        address = CHANGES.at(entry.id).canonical(site.base)
        added = feed.add_entry(order="append")
        added.id(address)
        added.title(entry.title)
        added.updated(_midnight(entry.date))
        added.published(_midnight(entry.date))
        added.category(term=entry.kind)
        added.link(href=address, rel="alternate", type="text/html")
        added.content(entry.html, type="html")
    written: bytes = feed.atom_str(pretty=True)
    return written


def _midnight(day: str) -> str:
    return f"{day[:10]}T00:00:00Z"
