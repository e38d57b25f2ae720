"""Every path and every link of the published site is made here.

An address is a path below the site's root, without a leading slash. Pages are
folders (``devices/alder-3/``), written as ``devices/alder-3/index.html``. Links
between pages are relative and spell ``index.html``, so that the site works under a
sub-path and opened from disk; canonical links, sheets and QR codes give the folder.
"""

from __future__ import annotations

import re
from typing import NamedTuple
from urllib.parse import quote

from sitegen.errors import SitegenError


class NoAddress(SitegenError):
    """A record of this kind has no page of its own."""


class Address(NamedTuple):
    """A place in the published site.

    Attributes:
        path: path below the root; ends with ``/`` for a page; ``""`` is the home page.
        fragment: id of an element on that page, or ``""``.
    """

    path: str
    fragment: str = ""

    @property
    def file(self) -> str:
        """Path of the file below the output folder."""
        if self.path == "" or self.path.endswith("/"):
            return f"{self.path}index.html"
        return self.path

    def canonical(self, base: str) -> str:
        """Return the full address under the archive's canonical base."""
        tail = f"#{quote(self.fragment)}" if self.fragment else ""
        return f"{base.rstrip('/')}/{quote(self.path)}{tail}"

    def at(self, fragment: str) -> Address:
        """Return the address of an element on the same page."""
        return Address(self.path, fragment)


HOME = Address("")
DEVICES = Address("devices/")
RUNS = Address("runs/")
TABLES = Address("tables/")
COMPARE = Address("compare/")
COMPARISONS = Address("c/")
VIDEOS = Address("videos/")
BENCH = Address("bench/")
METHODS = Address("methods/")
FILTERS = Address("filters/")
CHANGES = Address("changes/")
DATA = Address("data/")
NOT_FOUND = Address("404.html")
FUNDING = Address("funding/")
FEED = Address("changes.atom")
SITEMAP = Address("sitemap.xml")
ROBOTS = Address("robots.txt")

_EDITION = re.compile(r"(.+)-([0-9]{4}-[0-9]{2}-[0-9]{2})")
_FOLDERS = {
    "device": "devices",
    "run": "runs",
    "table": "tables",
    "comparison": "c",
    "filter": "filters",
    "method": "methods",
}


def of_record(kind: str, record_id: str) -> Address:
    """Return the address at which a record is shown.

    Args:
        kind: kind of the record; ``prose`` is taken as well.
        record_id: its id.

    Raises:
        NoAddress: if records of this kind are shown nowhere.
    """
    if kind == "edition":
        compared, pinned = edition_parts(record_id)
        return edition(compared, pinned)
    if kind in _FOLDERS:
        return Address(f"{_FOLDERS[kind]}/{record_id}/")
    if kind == "prose":
        return Address(f"{record_id}/")
    if kind == "video":
        return VIDEOS.at(record_id)
    if kind == "change":
        return CHANGES.at(record_id)
    if kind in {"room", "instrument"}:
        return BENCH.at(f"{kind}-{record_id}")
    raise NoAddress(kind)


def edition_parts(edition_id: str) -> tuple[str, str]:
    """Return comparison and date (ISO text) of an edition, of which its id is made.

    Raises:
        NoAddress: if the id does not end with a date.
    """
    found = _EDITION.fullmatch(edition_id)
    if found is None:
        raise NoAddress(f"edition {edition_id}")
    return found[1], found[2]


def edition(comparison_id: str, pinned: str) -> Address:
    """Return the address of a comparison's edition of a date (ISO text)."""
    return Address(f"c/{comparison_id}/{pinned}/")


def card_of(page: Address) -> Address:
    """Return the address of the picture that stands beside links to a page."""
    return Address(f"{page.path}card.png")


def data_file(name: str) -> Address:
    """Return the address of a download, for example ``results.csv``."""
    return Address(f"data/{name}")


def series_bundle(device_id: str) -> Address:
    """Return the address of a device's zipped series."""
    return Address(f"data/series/{device_id}.zip")


def photo(file: str) -> Address:
    """Return the address of a photograph in its largest size.

    Args:
        file: its path below the archive's ``photos``.
    """
    return Address(f"photos/{file}")


def smaller_photo(file: str, width: int) -> Address:
    """Return the address of a photograph in a smaller size.

    It lies among the tool's own files, where no photograph of the archive can.

    Args:
        file: its path below the archive's ``photos``.
        width: its width, pixels.
    """
    return asset(f"photos/{width}/{file}")


def recording(file: str) -> Address:
    """Return the address of a sound recording.

    Args:
        file: its path below the archive's ``audio``.
    """
    return Address(f"audio/{file}")


def asset(name: str) -> Address:
    """Return the address of a stylesheet, script or picture of the tool."""
    return Address(f"assets/{name}")


def link(page: Address, to: Address, query: str = "") -> str:
    """Return the link to write on ``page`` for ``to``.

    Args:
        page: the page on which the link stands.
        to: where it leads.
        query: query string without the question mark, already encoded.
    """
    fragment = f"#{quote(to.fragment)}" if to.fragment else ""
    if page.path == to.path and fragment and not query:
        return fragment
    relative = _relative(page.file, to.file)
    asked = f"?{query}" if query else ""
    return f"{quote(relative)}{asked}{fragment}"


def _relative(start: str, target: str) -> str:
    """Return the way from one file of the site to another.

    Written out because pages have thousands of links: the library's function asks
    the operating system for the current folder each time.
    """
    here, there = start.split("/")[:-1], target.split("/")
    same = 0
    while same < min(len(here), len(there) - 1) and here[same] == there[same]:
        same += 1
    return "../" * (len(here) - same) + "/".join(there[same:])
