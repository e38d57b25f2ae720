"""The demonstration's data, read by programs that know nothing of this tool."""

from __future__ import annotations

import json
import warnings
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import feedparser
import html5lib
import jsonschema
import pytest
import yaml

from tests.conftest import Compiled
from tests.pages.test_citation_files import CFF

BASE = "https://example.org/quernholm-bench/"
XHTML = "{http://www.w3.org/1999/xhtml}"
SITEMAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"


def test_the_data_package_is_valid(demo: Compiled) -> None:
    """An independent reader finds every file, digest, column and cell as described."""
    with warnings.catch_warnings():
        # The library's own imports warn; that is not what is tested here.
        warnings.simplefilter("ignore")
        frictionless = pytest.importorskip("frictionless")
        package = frictionless.Package(str(demo.site / "data" / "datapackage.json"))
        report = package.validate()
    assert report.flatten(["title", "type", "note"]) == []
    listed = {resource.path for resource in package.resources}
    data = demo.site / "data"
    # A device's zip under its former id stands there for old links alone.
    devices = {path.name for path in (demo.site / "devices").iterdir()}
    former = devices - {
        path.stem for path in (demo.archive / "records").rglob("*.yaml")
    }
    bundles = {
        path.relative_to(data).as_posix()
        for path in data.rglob("*.zip")
        if path.stem not in former
    }
    assert bundles
    assert listed == bundles | {
        "results.csv",
        "results.json",
        "runs.csv",
        "readings.csv",
    }


def test_the_feed_is_sound(demo: Compiled) -> None:
    """A reader of feeds finds nothing to mend, and stable, unlike ids."""
    feed = feedparser.parse((demo.site / "changes.atom").read_bytes())
    assert not feed.bozo, feed.get("bozo_exception")
    assert feed.version == "atom10"
    assert feed.feed.id == f"{BASE}changes.atom"
    ids = [entry.id for entry in feed.entries]
    assert len(ids) == len(set(ids)) >= 6
    for entry in feed.entries:
        assert entry.id.startswith(f"{BASE}changes/#")
        assert entry.title
        assert entry.updated_parsed
        assert entry.content[0].value


def test_the_sitemap_is_what_its_protocol_says(demo: Compiled) -> None:
    """Root, items and addresses, and nothing else; each address once and in scope."""
    root = ElementTree.fromstring((demo.site / "sitemap.xml").read_bytes())  # noqa: S314
    assert (root.tag, root.attrib) == (f"{SITEMAP}urlset", {})
    places = []
    for item in root:
        assert item.tag == f"{SITEMAP}url"
        (loc,) = item
        assert (loc.tag, loc.attrib) == (f"{SITEMAP}loc", {})
        assert loc.text is not None
        places.append(loc.text)
    assert len(places) == len(set(places)) <= 50_000
    for place in places:
        assert place.startswith(BASE)
        assert len(place) < 2048
        assert place.isascii()


def _told(page: Path) -> list[dict[str, Any]]:
    tree = html5lib.parse(page.read_bytes(), transport_encoding="utf-8")
    return [
        json.loads(script.text or "")
        for script in tree.iter(f"{XHTML}script")
        if script.get("type") == "application/ld+json"
    ]


def test_each_device_is_told_to_search_engines(demo: Compiled) -> None:
    """A device's page has one Product; its verdict, and only that, is a review."""
    records = {
        path.stem: yaml.safe_load(path.read_text(encoding="utf-8"))
        for path in (demo.archive / "records" / "devices").rglob("*.yaml")
    }
    pages = sorted((demo.site / "devices").glob("*/index.html"))
    reviewed = 0
    for page in pages:
        name = page.parent.name
        if name not in records:
            continue  # moved or gone
        (found,) = _told(page)
        assert (found["@context"], found["@type"]) == ("https://schema.org/", "Product")
        assert found["name"] == records[name]["name"]
        assert found["brand"]["name"] == records[name]["maker"]
        assert found["url"] == f"{BASE}devices/{name}/"
        assert found["description"]
        assert "aggregateRating" not in found
        assert ("review" in found) is ("verdict" in records[name])
        if "review" in found:
            reviewed += 1
            review = found["review"]
            assert review["author"]["name"]
            assert review["reviewBody"]
            assert "reviewRating" not in review
        for picture in found.get("image", ()):
            assert (demo.site / picture.removeprefix(BASE)).is_file()
    assert reviewed > 5


def test_the_data_are_told_to_search_engines(demo: Compiled) -> None:
    """The page of data has one Dataset with what is required, and its files exist."""
    (found,) = _told(demo.site / "data" / "index.html")
    assert (found["@context"], found["@type"]) == ("https://schema.org/", "Dataset")
    assert found["name"]
    assert 50 <= len(found["description"]) <= 5000
    assert found["license"].startswith("https://")
    assert found["dateModified"] == "2026-09-15"
    for each in found["distribution"]:
        assert (demo.site / each["contentUrl"].removeprefix(BASE)).is_file()


def test_the_demonstration_says_how_to_cite_it(demo: Compiled) -> None:
    """CITATION.cff holds what its format requires, under an open licence."""
    found = yaml.safe_load((demo.site / "data" / "CITATION.cff").read_text("utf-8"))
    jsonschema.validate(found, CFF)
    assert found["license"] == "CC-BY-4.0"
    assert "@misc{" in (demo.site / "data" / "citation.bib").read_text("utf-8")
    page = (demo.site / "data" / "index.html").read_text("utf-8")
    assert "CITATION.cff" in page
    assert "Photographs belong to those credited." in page
