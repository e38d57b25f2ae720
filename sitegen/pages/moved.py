"""Pages at addresses that were published once: moved, gone, and not found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sitegen.model.chronicle import AddressChange, Addresses
from sitegen.pages import addresses
from sitegen.pages.addresses import NOT_FOUND, Address
from sitegen.pages.formats import date_text
from sitegen.pages.frame import Former, Linked, Page, Site
from sitegen.pages.words import Words

# Where the records of a kind are listed.
_LISTS: Mapping[str, Address] = MappingProxyType(
    {
        "device": addresses.DEVICES,
        "run": addresses.RUNS,
        "comparison": addresses.COMPARISONS,
        "edition": addresses.COMPARISONS,
        "table": addresses.TABLES,
        "method": addresses.METHODS,
        "video": addresses.VIDEOS,
        "filter": addresses.FILTERS,
        "prose": addresses.HOME,
    }
)


@dataclass(frozen=True, slots=True)
class Departure:
    """What became of a published address.

    Attributes:
        kind: kind of the record.
        id: the id that was published.
        now: the id under which it is found now, or ``""`` where it is gone.
        reason: for one that is gone: why.
        date: since when, ISO text.
    """

    kind: str
    id: str
    now: str
    reason: str
    date: str


@dataclass(frozen=True, slots=True)
class MovedGiven:
    """What the page at a former address shows.

    Attributes:
        at: the former address.
        to: where it is now.
        name: what it is called.
        date: since when, ISO text.
    """

    at: Address
    to: Address
    name: str
    date: str


@dataclass(frozen=True, slots=True)
class GoneGiven:
    """What the page at the address of something that is gone shows.

    Attributes:
        at: the address.
        kind: kind of the record.
        id: its id.
        reason: why it is gone.
        date: since when, ISO text.
        changes: entries of the change log about it.
    """

    at: Address
    kind: str
    id: str
    reason: str
    date: str
    changes: tuple[Linked, ...] = ()


@dataclass(frozen=True, slots=True)
class MovedContext:
    """What the layout shows.

    Attributes:
        to: where it is now.
        name: what it is called.
        since: a sentence with the date.
    """

    to: Address
    name: str
    since: str


@dataclass(frozen=True, slots=True)
class GoneContext:
    """What the layout shows.

    Attributes:
        title: heading.
        since: a sentence with the date.
        reason: why it is gone.
        further: where to go on from here.
    """

    title: str
    since: str
    reason: str
    further: tuple[Linked, ...]


@dataclass(frozen=True, slots=True)
class NotFoundContext:
    """What the layout shows.

    Attributes:
        further: where to go on from here.
    """

    further: tuple[Linked, ...]


def departures(record: Addresses) -> tuple[Departure, ...]:
    """Return what became of each address, moves followed to their end.

    A move that ends at something gone is itself gone, for the same reason and since
    the same day.

    Args:
        record: ``records/addresses.yaml``, without circles.
    """
    by_key: dict[tuple[str, str], AddressChange] = {
        (entry.kind, entry.id): entry for entry in record.addresses
    }
    return tuple(_departure(entry, by_key) for entry in record.addresses)


def _departure(
    entry: AddressChange, by_key: Mapping[tuple[str, str], AddressChange]
) -> Departure:
    last = entry
    # A circle is a fault of the record; the count ends it here all the same.
    for _ in by_key:
        if last.moved_to is None or (last.kind, last.moved_to) not in by_key:
            break
        last = by_key[last.kind, last.moved_to]
    # Gone since the last of the moves; moved since its own.
    day = entry.date if last.gone is None else last.date
    return Departure(
        kind=entry.kind,
        id=entry.id,
        now=last.moved_to or "",
        reason=last.gone or "",
        date=day.isoformat(),
    )


def moved_page(site: Site, words: Words, given: MovedGiven) -> Page:
    """Return the page that leads from a former address to the present one.

    The link works by itself; a script follows it at once and keeps the query and the
    fragment, and without scripts the page's own refresh follows it.
    """
    return Page(
        address=given.at,
        layout="moved.html",
        title=words("Moved: {name}", name=given.name),
        summary=words(
            "{name} has another address now at {site}.",
            name=given.name,
            site=site.name,
        ),
        context=MovedContext(
            to=given.to,
            name=given.name,
            since=words(
                "Since {date} it has another address.",
                date=date_text(given.date, words),
            ),
        ),
        listed=False,
        scripts=("moved.js",),
    )


def gone_page(site: Site, words: Words, given: GoneGiven) -> Page:
    """Return the page that says why something is no longer there."""
    title = words("No longer here: {id}", id=given.id)
    return Page(
        address=given.at,
        layout="gone.html",
        title=title,
        summary=words(
            "Something that {site} published before and no longer does, and why.",
            site=site.name,
        ),
        context=GoneContext(
            title=title,
            since=words(
                "This page was taken away on {date}.",
                date=date_text(given.date, words),
            ),
            reason=given.reason,
            further=(*given.changes, *_further(words, given.kind)),
        ),
        listed=False,
    )


def not_found_page(site: Site, words: Words) -> Page:
    """Return the page that a server shows where there is none."""
    return Page(
        address=NOT_FOUND,
        layout="not_found.html",
        title=words("No such page"),
        summary=words("There is no page at this address of {site}.", site=site.name),
        context=NotFoundContext(further=_further(words, "device")),
        listed=False,
    )


def _further(words: Words, kind: str) -> tuple[Linked, ...]:
    labels = {
        addresses.DEVICES: words("All devices"),
        addresses.RUNS: words("All runs"),
        addresses.COMPARISONS: words("All comparisons"),
        addresses.TABLES: words("All tables"),
        addresses.METHODS: words("All methods"),
        addresses.VIDEOS: words("All videos"),
        addresses.FILTERS: words("All filters"),
        addresses.BENCH: words("The bench"),
    }
    found = [addresses.HOME, addresses.CHANGES]
    if kind in _LISTS:
        found.insert(0, _LISTS[kind])
    labels |= {
        addresses.HOME: words("The first page"),
        addresses.CHANGES: words("What changed"),
    }
    return tuple(Linked(labels[to], to) for to in dict.fromkeys(found))


def former_place(
    words: Words, left: Departure, at: Address, now: Linked | None
) -> Former:
    """Return what stands at a former place on a page that many records share.

    Args:
        words: the interface's words.
        left: what became of it.
        at: the former address, with its fragment.
        now: where it is now, or nothing where it is gone.
    """
    day = date_text(left.date, words)
    if now is None:
        said = words("taken away on {date}. {reason}", date=day, reason=left.reason)
        return Former(at.fragment, left.id, said)
    said = words("since {date} it has another address:", date=day)
    return Former(at.fragment, left.id, said, now.to, now.text)


def gone_note(words: Words, left: Departure) -> bytes:
    """Return the text that stands in the place of data that are gone."""
    said = words(
        "These data were taken away on {date}. {reason}",
        date=date_text(left.date, words),
        reason=left.reason,
    )
    return f"{said}\n".encode()
