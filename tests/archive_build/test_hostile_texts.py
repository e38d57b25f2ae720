"""Script and markup in every text of an archive: inert, and shown as written."""

from __future__ import annotations

import csv
import io
import json
import re
import typing
import zipfile
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit
from xml.etree import ElementTree

import feedparser
import html5lib
import pytest
import yaml
from pydantic import BaseModel

from sitegen.model import KINDS, Archive
from sitegen.model.chronicle import Addresses
from sitegen.model.scalars import parse_line, parse_text
from tests.conftest import Compiled
from tests.hostile import CASES

XHTML = "{http://www.w3.org/1999/xhtml}"
ATTACK = (
    """ <img src=x onerror=boom()>"'></title></script><script>boom()</script>{{7*7}}"""
)
# Elements that a page of ours has; anything else came from a record.
_ELEMENTS = """
a article aside audio b blockquote body br button caption circle clippath code col
colgroup dd defs desc details div dl dt em fieldset figcaption figure footer form g h1
h2 h3 h4 head header hr html i input label legend li line link main mark meta nav
noscript ol optgroup option output p path pattern polygon polyline pre rect script
section select small span strong sub summary sup svg symbol table tbody td text
textarea tfoot th thead time title tr tspan ul use var
"""
OURS = frozenset(_ELEMENTS.split())
# Text fields that no page shows: they steer how logs are read.
UNSEEN = ("log.",)


@pytest.fixture(scope="module")
def pages(hostile: Compiled) -> dict[str, ElementTree.Element]:
    """Every page, parsed strictly."""
    parser = html5lib.HTMLParser(strict=True)
    return {
        path: parser.parse(data, transport_encoding="utf-8")
        for path, data in hostile.files().items()
        if path.endswith(".html")
    }


def _text_fields(kind: Any, path: str, seen: frozenset[type]) -> Iterator[str]:
    """Yield the path of every field of free text of a model."""
    meta = getattr(kind, "__metadata__", ())
    if meta:
        if {getattr(each, "func", None) for each in meta} & {parse_text, parse_line}:
            yield path
        yield from _text_fields(typing.get_args(kind)[0], path, seen)
    elif isinstance(kind, type) and issubclass(kind, BaseModel):
        if kind in seen:
            return
        for name, field in kind.model_fields.items():
            inner = f"{path}.{name.rstrip('_')}"
            makers = {getattr(each, "func", None) for each in field.metadata}
            if makers & {parse_text, parse_line}:
                yield inner
            yield from _text_fields(field.annotation, inner, seen | {kind})
    else:
        for each in typing.get_args(kind):
            yield from _text_fields(each, path, seen)


def _attacked(value: Any, path: str) -> Iterator[str]:
    """Yield the path of every value that holds an attack."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if isinstance(key, str) and ATTACK in key:
                yield path
            yield from _attacked(inner, f"{path}.{key}")
    elif isinstance(value, list):
        for inner in value:
            yield from _attacked(inner, path)
    elif isinstance(value, str) and ATTACK in value:
        yield path


# Names that are held against a list: quantities, fields, time zones. An attack there
# is a fault.
LISTED = re.compile(
    r"(table|comparison|edition)\.(columns|shown|order|(figure\.)?[xy]|where\.field)"
    r"|instrument\.log\.time\.zone"
)


def test_every_text_field_of_every_record_is_attacked() -> None:
    """The case leaves no field of free text out, so that a new one cannot be missed."""
    fields = {
        field
        for name, kind in KINDS.items()
        for field in _text_fields(kind.model, name, frozenset())
    }
    fields |= set(_text_fields(Archive, "archive", frozenset()))
    fields |= set(_text_fields(Addresses, "addresses", frozenset()))
    fields = {field for field in fields if not LISTED.fullmatch(field)}
    assert len(fields) > 80
    found: set[str] = set()
    folders = {kind.folder: name for name, kind in KINDS.items()}
    for path in (CASES / "inert").rglob("*.yaml"):
        parts = path.relative_to(CASES / "inert").parts
        top = path.stem if len(parts) < 3 else folders[parts[1]]
        found |= set(_attacked(yaml.safe_load(path.read_text(encoding="utf-8")), top))
    missing = {
        field
        for field in fields
        if not any(each == field or each.startswith(f"{field}.") for each in found)
    }
    assert missing == set()


def test_no_element_or_handler_comes_from_a_record(
    pages: dict[str, ElementTree.Element],
) -> None:
    """Pages hold our elements only, no handler, no script but ours, no style."""
    for path, page in pages.items():
        for element in page.iter("*"):  # elements only, no comments
            name = element.tag.rpartition("}")[2].lower()
            if name == "img":
                assert element.get("src", "").startswith("../../photos/"), path
                continue
            assert name in OURS, (path, name)
            for attribute in element.attrib:
                assert not attribute.lower().startswith("on"), (path, attribute)
                assert attribute != "style", path
                assert attribute not in {"autoplay", "srcdoc", "formaction"}, path
            if name == "script":
                src = element.get("src")
                assert src is None or "assets/" in src, (path, src)
                if src is None:
                    assert "json" in element.get("type", ""), path
                    json.loads(element.text or "")


def test_links_lead_where_they_may(pages: dict[str, ElementTree.Element]) -> None:
    """Every address in a page is relative, of the web, a mail or a tiny picture."""
    for path, page in pages.items():
        for element in page.iter():
            for name in (
                "href",
                "src",
                "action",
                "poster",
                "{http://www.w3.org/1999/xlink}href",
            ):
                to = element.get(name)
                if to is None:
                    continue
                parts = urlsplit(to)
                assert parts.scheme in {"", "https", "http", "mailto"}, (path, to)
                if not parts.scheme:
                    assert not parts.netloc, (path, to)
                elif name != "href":
                    pytest.fail(f"{path}: {to} would be requested")
            for offered in element.get("srcset", "").split(", "):
                assert not urlsplit(offered).netloc, (path, offered)


def _words(page: ElementTree.Element) -> Iterator[str]:
    for element in page.iter():
        if element.tag in {f"{XHTML}script", f"{XHTML}style"}:
            continue
        yield "".join(element.itertext())
        yield from element.attrib.values()


def test_texts_are_shown_as_written(pages: dict[str, ElementTree.Element]) -> None:
    """Each attacked field that a page shows stands there letter by letter."""
    # Fields by the name with which each attack begins in the case's files.
    wanted = {
        match[1]
        for path in (CASES / "inert").rglob("*.yaml")
        for match in re.finditer(r"([\w.-]+) <img src=x", path.read_text("utf-8"))
    }
    assert len(wanted) > 80
    shown: set[str] = set()
    for page in pages.values():
        for text in _words(page):
            if ATTACK[:9] in text:
                shown |= {name for name in wanted if f"{name}{ATTACK}" in text}
    hidden = {name for name in wanted - shown if not name.startswith(UNSEEN)}
    assert hidden <= {"rates.source", "edition.cell", "edition.methods"}, hidden


def test_feed_and_data_stay_what_they_are(hostile: Compiled) -> None:
    """Feed, data files and citations are sound, and no cell would be run."""
    files = hostile.files()
    feed = feedparser.parse(files["changes.atom"], sanitize_html=False)
    assert not feed.bozo
    for entry in feed.entries:
        tree = html5lib.parse(entry.content[0].value)
        assert not list(tree.iter(f"{XHTML}img"))
        assert not list(tree.iter(f"{XHTML}script"))
    for path in ("data/results.json", "data/datapackage.json"):
        json.loads(files[path])
    cited = yaml.safe_load(files["data/CITATION.cff"])
    assert cited["title"] == f"archive.name{ATTACK}"
    texts = [files[path] for path in files if path.endswith(".csv")]
    for path, data in files.items():
        if path.endswith(".zip"):
            with zipfile.ZipFile(io.BytesIO(data)) as packed:
                texts += [packed.read(name) for name in packed.namelist()]
    assert len(texts) >= 6
    for data in texts:
        text = data.decode("utf-8")
        for mark in ",;\t":
            for row in csv.reader(io.StringIO(text), delimiter=mark):
                for cell in row[1:] if row and row[0].startswith("#") else row:
                    if cell[:1] in {"=", "+", "-", "@"}:
                        float(cell)


def test_what_was_put_in_names_cannot_leave_the_site(hostile: Compiled) -> None:
    """Files stand under the names given, inside the site, and nowhere else."""
    files = hostile.files()
    assert "photos/a'onerror='boom()' x.jpg" in files
    assert "audio/low'autoplay'.wav" in files
    outside = {
        path.name
        for path in hostile.archive.parent.iterdir()
        if path != hostile.archive
    }
    assert outside == set()
    assert b"boom()" not in files["photos/a'onerror='boom()' x.jpg"]
