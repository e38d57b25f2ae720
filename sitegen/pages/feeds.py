"""``changes.atom``: the change log as a feed, as RFC 4287 has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from sitegen.pages.addresses import CHANGES, FEED, of_record
from sitegen.pages.changes import ChangeKind, kind_text
from sitegen.pages.formats import date_text
from sitegen.pages.frame import Linked, Site
from sitegen.pages.links import disclosed
from sitegen.pages.markdown import text_block
from sitegen.pages.words import Words

# A reader of feeds asks again and again; older changes stand on the page.
FEED_LENGTH = 100
# A feed must say when it was updated; one without a change says the oldest moment.
_NEVER = "1970-01-01"


@dataclass(frozen=True, slots=True)
class FeedEntry:
    """One change, as its record describes it.

    Attributes:
        id: id of the change's record; the entry's permanent address rests on it.
        date: day of the change, ISO.
        kind: what sort of change it is.
        text: what changed and why, Markdown.
        affects: what it affects and has a page.
        closed: for a correction: the day on which all was put right, ISO, or ``""``.
    """

    id: str
    date: str
    kind: ChangeKind
    text: str
    affects: tuple[Linked, ...] = ()
    closed: str = ""

    @property
    def updated(self) -> str:
        """Day of the last news of it: that a correction is closed is news."""
        return max(self.date, self.closed)


def changes_atom(site: Site, words: Words, entries: Sequence[FeedEntry]) -> bytes:
    """Return the feed of changes, the newest first.

    It is dated by its newest change, at midnight UTC, so that the same records give
    the same bytes on any day.

    Args:
        site: what is said of the archive.
        words: the interface's words.
        entries: the changes, in any order; the ``FEED_LENGTH`` newest are shown.
    """
    from feedgen.feed import FeedGenerator  # noqa: PLC0415 - for this file alone

    by_id = sorted(entries, key=lambda entry: entry.id)
    newest_first = sorted(by_id, key=lambda entry: entry.updated, reverse=True)
    feed = FeedGenerator()
    feed.id(FEED.canonical(site.base))
    feed.title(words("Changes in {site}", site=site.name))
    subtitle = words("Corrections, repeated tests, prices and methods of the archive.")
    if site.simulated:
        subtitle = words("Changes of a simulated archive; all its data are invented.")
    feed.subtitle(subtitle)
    feed.author(name=site.publisher)
    feed.link(href=FEED.canonical(site.base), rel="self", type="application/atom+xml")
    feed.link(href=CHANGES.canonical(site.base), rel="alternate", type="text/html")
    feed.rights(site.licence)
    feed.language(site.language)
    feed.generator("sitegen")
    feed.updated(_midnight(newest_first[0].updated if newest_first else _NEVER))
    for entry in newest_first[:FEED_LENGTH]:
        address = CHANGES.at(entry.id).canonical(site.base)
        added = feed.add_entry(order="append")
        added.id(address)
        added.title(_title(words, entry))
        added.updated(_midnight(entry.updated))
        added.published(_midnight(entry.date))
        added.category(term=entry.kind)
        added.link(href=address, rel="alternate", type="text/html")
        added.content(_html(site, words, entry), type="html")
    written: bytes = feed.atom_str(pretty=True)
    return written


def _title(words: Words, entry: FeedEntry) -> str:
    kind = kind_text(words, entry.kind)
    names = ", ".join(each.text for each in entry.affects)
    return words("{kind}: {names}", kind=kind, names=names) if names else kind


def _html(site: Site, words: Words, entry: FeedEntry) -> str:
    # A reader of feeds shows it elsewhere: its links are full addresses. Of all that a
    # text may link to, only what the change affects is known here to have a page.
    known = {each.to for each in entry.affects}

    def href(target: str) -> str | None:
        kind, _, name = target.partition(":")
        to = of_record("prose" if kind == "page" else kind, name)
        return to.canonical(site.base) if to in known else None

    html = disclosed(text_block(entry.text, href).html, site.disclosure)
    if entry.closed:
        day = date_text(entry.closed, words)
        html += f"<p>{escape(words('Put right on {date}', date=day))}</p>"
    if not entry.affects:
        return html
    links = ", ".join(
        f'<a href="{escape(each.to.canonical(site.base))}">{escape(each.text)}</a>'
        for each in entry.affects
    )
    return f"{html}<p>{escape(words('Affects:'))} {links}</p>"


def _midnight(day: str) -> str:
    return f"{day[:10]}T00:00:00Z"
