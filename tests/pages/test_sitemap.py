"""The files for robots."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from sitegen.pages.addresses import DEVICES, HOME, SITEMAP, Address
from sitegen.pages.sitemap import (
    MOST_ADDRESSES,
    robots_txt,
    sitemap_files,
    sitemap_xml,
)

SPACE = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
BASE = "https://example.org/bench"


def places(data: bytes) -> list[str | None]:
    root = ET.fromstring(data)  # noqa: S314 - our own bytes
    return [each.text for each in root.iter(f"{SPACE}loc")]


def test_pages_sorted_and_once() -> None:
    """Each page is listed once by its canonical address, in a fixed order."""
    data = sitemap_xml(BASE, [DEVICES, HOME, DEVICES.at("x"), Address("a&b/")])
    assert places(data) == [
        "https://example.org/bench/",
        "https://example.org/bench/a%26b/",
        "https://example.org/bench/devices/",
    ]


def test_base_is_escaped() -> None:
    """An address with an ampersand in its base is valid XML."""
    assert places(sitemap_xml("https://example.org/a&b", [HOME])) == [
        "https://example.org/a&b/"
    ]


def test_one_file_where_it_suffices() -> None:
    """A site of ordinary size has one sitemap, the same as the single form."""
    assert sitemap_files(BASE, [HOME]) == ((SITEMAP, sitemap_xml(BASE, [HOME])),)


def test_long_site_has_an_index() -> None:
    """More pages than one file may list are split, and the index names the parts."""
    pages = [Address(f"runs/{number}/") for number in range(MOST_ADDRESSES + 1)]
    with pytest.raises(ValueError, match=str(len(pages))):
        sitemap_xml(BASE, pages)
    (first, index), *parts = sitemap_files(BASE, pages)
    assert first == SITEMAP
    assert b"<sitemapindex " in index
    assert places(index) == [address.canonical(BASE) for address, _ in parts]
    found = [len(places(data)) for _, data in parts]
    assert found == [MOST_ADDRESSES, 1]


def test_robots() -> None:
    """Robots may read everything and are told the sitemap's full address."""
    lines = robots_txt(BASE).decode().splitlines()
    assert "Disallow" not in "".join(lines)
    assert lines[:2] == ["User-agent: *", "Allow: /"]
    assert lines[-1] == "Sitemap: https://example.org/bench/sitemap.xml"
