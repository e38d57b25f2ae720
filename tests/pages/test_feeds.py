"""The feed of changes."""

from __future__ import annotations

import dataclasses
from xml.etree import ElementTree as ET

from sitegen.pages.addresses import of_record
from sitegen.pages.feeds import FEED_LENGTH, FeedEntry, changes_atom
from sitegen.pages.frame import Linked, Site
from sitegen.pages.words import ENGLISH

ATOM = "{http://www.w3.org/2005/Atom}"
SITE = Site(
    name="Quiet & Clear",
    tagline="",
    base="https://example.org/bench",
    language="en",
    units="metric",
    currency="EUR",
    simulated=False,
    publisher="Invented Workshop",
    contact="",
    licence="CC BY 4.0",
    licence_url="",
    disclosure="",
    navigation=(),
)


def entry(name: str, date: str) -> FeedEntry:
    return FeedEntry(name, date, "retest", f"{name} & more")


def parsed(data: bytes) -> ET.Element:
    return ET.fromstring(data)  # noqa: S314 - our own bytes


def text(element: ET.Element, name: str) -> str | None:
    return element.findtext(f"{ATOM}{name}")


def test_same_changes_same_bytes() -> None:
    """The feed depends on the changes alone, not on their order or on the day."""
    entries = [entry("a", "2026-01-05"), entry("b", "2026-03-01")]
    assert changes_atom(SITE, ENGLISH, entries) == changes_atom(
        SITE, ENGLISH, entries[::-1]
    )


def test_dated_by_the_newest_change() -> None:
    """The newest change comes first and its day, at midnight UTC, is the feed's."""
    feed = parsed(
        changes_atom(
            SITE, ENGLISH, [entry("a", "2026-01-05"), entry("b", "2026-03-01")]
        )
    )
    assert text(feed, "updated") == "2026-03-01T00:00:00+00:00"
    ids = [text(each, "id") for each in feed.iter(f"{ATOM}entry")]
    assert ids == [
        "https://example.org/bench/changes/#b",
        "https://example.org/bench/changes/#a",
    ]


def test_without_changes() -> None:
    """A feed without a change is dated, so that it is a valid feed all the same."""
    feed = parsed(changes_atom(SITE, ENGLISH, []))
    assert text(feed, "updated") == "1970-01-01T00:00:00+00:00"
    assert feed.find(f"{ATOM}entry") is None


def test_what_the_standard_wants() -> None:
    """The feed names itself, its page, its author; each entry id, title, text, date."""
    feed = parsed(changes_atom(SITE, ENGLISH, [entry("a", "2026-01-05")]))
    links = {link.get("rel", "alternate"): link for link in feed.iter(f"{ATOM}link")}
    assert links["self"].get("href") == "https://example.org/bench/changes.atom"
    assert text(feed, "id") == "https://example.org/bench/changes.atom"
    assert feed.findtext(f"{ATOM}author/{ATOM}name") == "Invented Workshop"
    assert text(feed, "title") == "Changes in Quiet & Clear"
    assert text(feed, "generator") == "sitegen"
    (shown,) = feed.iter(f"{ATOM}entry")
    assert text(shown, "title") == "Tested again"
    assert text(shown, "content") == "<p>a &amp; more</p>\n"
    assert text(shown, "updated") == "2026-01-05T00:00:00+00:00"


def test_simulated_says_so() -> None:
    """The feed of a simulated archive says that its data are invented."""
    feed = parsed(changes_atom(dataclasses.replace(SITE, simulated=True), ENGLISH, []))
    assert "invented" in (text(feed, "subtitle") or "")


def test_only_the_newest() -> None:
    """A long log gives a feed of its newest changes."""
    entries = [
        entry(f"n{at:03d}", f"2026-{1 + at // 28:02d}-{1 + at % 28:02d}")
        for at in range(FEED_LENGTH + 3)
    ]
    feed = parsed(changes_atom(SITE, ENGLISH, entries))
    ids = [text(each, "id") or "" for each in feed.iter(f"{ATOM}entry")]
    assert len(ids) == FEED_LENGTH
    assert ids[0].endswith("#n102")
    assert ids[-1].endswith("#n003")


def test_links_are_full_addresses() -> None:
    """A link in a change leads to the full address of what it affects, no further."""
    change = FeedEntry(
        "a",
        "2026-01-05",
        "correction",
        "See [it](device:fen-2) and [that](device:gone).",
        (Linked("Fen <2>", of_record("device", "fen-2")),),
    )
    (shown,) = parsed(changes_atom(SITE, ENGLISH, [change])).iter(f"{ATOM}entry")
    to = "https://example.org/bench/devices/fen-2/"
    content = text(shown, "content") or ""
    assert f'<a href="{to}">it</a> and that.' in content
    assert f'<a href="{to}">Fen &lt;2&gt;</a>' in content
    assert text(shown, "title") == "Correction: Fen <2>"


def test_a_correction_that_is_closed_is_news() -> None:
    """Closing it updates the entry and the feed; id and day of publication stay."""
    given = dataclasses.replace(entry("a", "2026-01-05"), kind="correction")
    newer = entry("b", "2026-02-01")
    closed = dataclasses.replace(given, closed="2026-03-01")
    before = parsed(changes_atom(SITE, ENGLISH, [given, newer]))
    after = parsed(changes_atom(SITE, ENGLISH, [closed, newer]))
    assert text(after, "updated") == "2026-03-01T00:00:00+00:00"
    old, new = (
        next(
            each for each in feed.iter(f"{ATOM}entry") if "#a" in str(text(each, "id"))
        )
        for feed in (before, after)
    )
    assert text(new, "id") == text(old, "id")
    assert text(new, "published") == text(old, "published")
    assert text(new, "updated") == "2026-03-01T00:00:00+00:00"
    assert "Put right on 1 March 2026" in str(text(new, "content"))
