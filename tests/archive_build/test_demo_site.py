"""The compiled demonstration: sound pages, whole links, nothing private."""

from __future__ import annotations

import csv
import io
import posixpath
import re
from pathlib import Path
from urllib.parse import unquote, urlsplit
from xml.etree import ElementTree

import html5lib
import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.model import READING_COLUMNS, RESULT_COLUMNS, RUN_COLUMNS
from tests.conftest import Compiled

_XHTML = "{http://www.w3.org/1999/xhtml}"
LOOSE = "quelmarrow-q4"
"""A device with a setting of which only sound and power were measured."""
PAGE_KINDS = (
    "index.html",
    "404.html",
    "devices/index.html",
    "runs/index.html",
    "tables/index.html",
    "compare/index.html",
    "c/index.html",
    "videos/index.html",
    "bench/index.html",
    "methods/index.html",
    "filters/index.html",
    "changes/index.html",
    "data/index.html",
    "about/index.html",
)


def _pages(demo: Compiled) -> dict[str, ElementTree.Element]:
    parser = html5lib.HTMLParser(strict=True)
    pages = {}
    for path, data in demo.files().items():
        if path.endswith(".html"):
            try:
                pages[path] = parser.parse(data, transport_encoding="utf-8")
            except html5lib.html5parser.ParseError as error:
                pytest.fail(f"{path}: {error}")
    return pages


@pytest.fixture(scope="module")
def pages(demo: Compiled) -> dict[str, ElementTree.Element]:
    """Every page, parsed strictly."""
    return _pages(demo)


def test_every_kind_of_page_is_there(pages: dict[str, ElementTree.Element]) -> None:
    """Each address of the contract has a page."""
    assert not [path for path in PAGE_KINDS if path not in pages]
    for folder in ("devices", "runs", "tables", "c", "filters", "methods"):
        assert [
            path for path in pages if re.fullmatch(f"{folder}/[^/]+/index.html", path)
        ]


def test_each_page_has_one_heading_a_language_and_a_title(
    pages: dict[str, ElementTree.Element],
) -> None:
    """A page has one h1, a lang and a title that no other page of its kind has."""
    for path, page in pages.items():
        assert page.get("lang") == "en", path
        assert len(list(page.iter(f"{_XHTML}h1"))) == 1, path
        title = page.find(f"{_XHTML}head/{_XHTML}title")
        assert title is not None, path
        assert (title.text or "").strip(), path


def test_no_page_needs_more_than_its_policy_allows(
    pages: dict[str, ElementTree.Element],
) -> None:
    """No style attribute, no inline script, no handler; a policy on every page."""
    for path, page in pages.items():
        policies = [
            meta.get("content", "")
            for meta in page.iter(f"{_XHTML}meta")
            if meta.get("http-equiv", "").lower() == "content-security-policy"
        ]
        assert len(policies) == 1, path
        assert "default-src 'none'" in policies[0], path
        assert "unsafe" not in policies[0], path
        for element in page.iter():
            assert "style" not in element.attrib, (path, element.tag)
            assert not [name for name in element.attrib if name.startswith("on")], path
            if element.tag == f"{_XHTML}script" and "src" not in element.attrib:
                assert "json" in element.get("type", ""), path


def test_every_link_and_fragment_resolves(
    demo: Compiled, pages: dict[str, ElementTree.Element]
) -> None:
    """Each link inside the site leads to a file, each fragment to an element."""
    files = set(demo.files())
    ids = {
        path: {element.get("id") for element in page.iter() if element.get("id")}
        for path, page in pages.items()
    }
    base = urlsplit("https://example.org/quernholm-bench/")
    broken = []
    for path, page in pages.items():
        for element in page.iter():
            for name in ("href", "src"):
                to = element.get(name)
                if to is None:
                    continue
                parts = urlsplit(to)
                if parts.scheme in {"https", "http", "mailto", "data"}:
                    continue
                if path == "404.html" and parts.path.startswith(base.path):
                    target = parts.path.removeprefix(base.path)
                    target = f"{target}index.html" if target.endswith("/") else target
                    target = target or "index.html"
                else:
                    folder = posixpath.dirname(path)
                    target = posixpath.normpath(
                        posixpath.join(folder, unquote(parts.path))
                    )
                    target = path if not parts.path else target
                if target not in files:
                    broken.append((path, to))
                elif parts.fragment and target in ids:
                    here = unquote(parts.fragment)
                    broken += [(path, to)] if here not in ids[target] else []
    assert not broken[:20]


def test_ids_on_a_page_are_unique(pages: dict[str, ElementTree.Element]) -> None:
    """No id stands twice on a page."""
    for path, page in pages.items():
        found = [element.get("id") for element in page.iter() if element.get("id")]
        assert len(found) == len(set(found)), path


@pytest.mark.parametrize(
    ("name", "columns"),
    [
        ("results.csv", RESULT_COLUMNS),
        ("runs.csv", RUN_COLUMNS),
        ("readings.csv", READING_COLUMNS),
    ],
)
def test_data_files_have_the_columns_of_the_contract(
    demo: Compiled, name: str, columns: tuple[str, ...]
) -> None:
    """A data file begins with exactly its columns, and every row is as long."""
    text = demo.files()[f"data/{name}"].decode("utf-8")
    rows = list(csv.reader(io.StringIO(text)))
    assert tuple(rows[0]) == columns
    assert len(rows) > 100
    assert {len(row) for row in rows} == {len(columns)}


def test_results_and_pages_agree_with_the_runs(demo: Compiled) -> None:
    """Each result's CADR is its pooled decay less the natural one, times the volume."""
    text = demo.files()["data/results.csv"].decode("utf-8")
    volumes: dict[str, float] = {}
    for row in csv.DictReader(io.StringIO(text)):
        if not row["cadr_m3h"]:
            continue
        difference = float(row["decay_per_h"]) - float(row["natural_per_h"])
        volume = float(row["cadr_m3h"]) / difference
        known = volumes.setdefault(row["method"], volume)
        assert volume == pytest.approx(known, rel=1e-6)


def test_a_setting_without_decay_run_has_its_sound_and_no_result(
    demo: Compiled, pages: dict[str, ElementTree.Element]
) -> None:
    """Sound and power of a setting are shown where its clean air was never measured."""
    text = (demo.site / "data" / "results.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    tested = {(row["filter"], row["speed"]) for row in rows if row["device"] == LOOSE}
    assert ("q4-cassette-pollen", "s1") in tested
    assert ("q4-cassette-pollen", "s2") not in tested
    page = pages[f"devices/{LOOSE}/index.html"]
    (section,) = [
        each
        for each in page.iter(f"{_XHTML}section")
        if each.get("aria-labelledby") == "sound"
    ]
    lines = [
        " ".join("".join(line.itertext()).split())
        for line in section.iter(f"{_XHTML}tr")
    ]
    found = [line for line in lines if line.startswith("Speed 2 cassette, pollen")]
    assert len(found) == 1
    assert "not measured" in found[0]
    assert any("dB(A)" not in line and "39.0" in line for line in found)


def test_what_is_held_is_nowhere(demo: Compiled) -> None:
    """Nothing of a held device is in the published site, not even its id."""
    held = [
        path.stem
        for path in (demo.archive / "records" / "devices").rglob("*.yaml")
        if "held: true" in path.read_text() or "held: yes" in path.read_text()
    ]
    assert held
    for path, data in demo.files().items():
        for name in held:
            assert name not in path
            assert f"devices/{name}/".encode() not in data, path


def test_nothing_private_is_published(demo: Compiled) -> None:
    """No path of the machine that compiled it stands in the site."""
    here = str(demo.archive).encode()
    code = str(Path(__file__).resolve().parent.parent.parent).encode()
    for path, data in demo.files().items():
        assert here not in data, path
        assert code not in data, path


def test_sitemap_and_feed_are_well_formed(demo: Compiled) -> None:
    """The sitemap lists pages by their canonical address; the feed has entries."""
    files = demo.files()
    sitemap = ElementTree.fromstring(files["sitemap.xml"])  # noqa: S314 - our own
    space = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
    listed = [loc.text or "" for loc in sitemap.iter(f"{space}loc")]
    assert len(listed) > 100
    for address in listed:
        rest = address.removeprefix("https://example.org/quernholm-bench/")
        assert rest != address
        file = f"{rest}index.html" if rest == "" or rest.endswith("/") else rest
        assert unquote(file) in files
    feed = ElementTree.fromstring(files["changes.atom"])  # noqa: S314 - our own
    entries = list(feed.iter("{http://www.w3.org/2005/Atom}entry"))
    assert len(entries) >= 6


def test_a_second_compile_does_nothing(demo: Compiled) -> None:
    """Compiled again, nothing runs and nothing is written."""
    before = demo.files()
    outcome = compile_archive(published_folders(demo.archive))
    assert outcome.report is not None
    assert outcome.report.ran == ()
    assert outcome.report.written == ()
    assert demo.files() == before
