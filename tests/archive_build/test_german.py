"""An archive whose language is German says nothing of the interface in English."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

from sitegen.archive_build import compile_archive, published_folders
from sitegen.desk.start import Beginning, start_archive

ROOT = Path(__file__).resolve().parents[2]
SAID = ("alt", "aria-label", "placeholder", "title")
# Fewer letters between placeholders also occur in what testers write.
LETTERS = 12
# Codes that the scripts read, and that are words of the interface as well.
CODES = {"rated", "observed"}


class _Texts(HTMLParser):
    """Gathers what a page says: text nodes, attributes, texts for its scripts."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.script = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.script = (given.get("type") or "js") if tag == "script" else ""
        self.found += [given[name] or "" for name in SAID if name in given]
        self.found += [
            text or "" for name, text in attrs if name.startswith("data-") and text
        ]

    def handle_endtag(self, _tag: str) -> None:
        self.script = ""

    def handle_data(self, data: str) -> None:
        if self.script == "application/json":
            self.found += set(_strings(json.loads(data))) - CODES
        elif not self.script:
            self.found.append(data)


def _strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for each in value.values():
            yield from _strings(each)
    elif isinstance(value, list):
        for each in value:
            yield from _strings(each)


def _compiled(folder: Path, language: str) -> Path:
    start_archive(folder, Beginning(language=language))
    compile_archive(published_folders(folder))
    return folder / "published"


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return the published folder of the same archive in each language."""
    folder = tmp_path_factory.mktemp("languages")
    return {name: _compiled(folder / name, name) for name in ("en", "de")}


def _texts(page: Path) -> set[str]:
    reader = _Texts()
    reader.feed(page.read_text(encoding="utf-8"))
    return {" ".join(text.split()) for text in reader.found} - {""}


def _english() -> tuple[set[str], re.Pattern[str]]:
    """Return texts of the catalogue that German says otherwise, and patterns."""
    plain, patterns = set(), []
    with (ROOT / "content" / "words" / "de.po").open("rb") as file:
        for entry in read_po(file):
            forms = (entry.id,) if isinstance(entry.id, str) else entry.id
            said = entry.string or ()
            german = (said,) if isinstance(said, str) else tuple(said)
            for form in set(forms) - set(german) - {""}:
                literal = re.split(r"\{\w+\}", form)
                if len(literal) == 1:
                    plain.add(form)
                elif len(re.findall(r"[a-z]", "".join(literal))) >= LETTERS:
                    patterns.append(".+?".join(map(re.escape, literal)))
    return plain, re.compile("|".join(patterns))


def test_no_page_says_anything_in_english(published: dict[str, Path]) -> None:
    """No text of a page is one that the catalogue has in German."""
    plain, pattern = _english()
    german = published["de"]
    records = "\n".join(
        path.read_text(encoding="utf-8")
        for folder in ("records", "texts")
        for path in (german.parent / folder).rglob("*.*")
    )
    left = {
        (page.relative_to(german).as_posix(), text)
        for page in german.rglob("*.html")
        for text in _texts(page)
        if (text in plain or pattern.fullmatch(text)) and text not in records
    }
    assert left == set()


def test_the_same_search_finds_english(published: dict[str, Path]) -> None:
    """The search finds English on every page of the English archive."""
    plain, _ = _english()
    for page in published["en"].rglob("*.html"):
        assert len(_texts(page) & plain) > 10, page


def test_pages_name_their_language(published: dict[str, Path]) -> None:
    """Every page and the feed name the language that they are in."""
    for page in published["de"].rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert '<html lang="de">' in text, page
        assert '<meta property="og:locale" content="de_DE">' in text, page
    feed = (published["de"] / "changes.atom").read_text(encoding="utf-8")
    assert 'xml:lang="de"' in feed


def test_numbers_and_dates_are_german(published: dict[str, Path]) -> None:
    """A page writes intervals with "bis", decimals with a comma, dates as German."""
    page = published["de"] / "devices/example-cleaner/index.html"
    said = " ".join(_texts(page))
    assert re.search(r"\d bis \d", said)
    assert not re.search(r"\d to \d", said)
    assert re.search(r"\d,\d", said)
    assert re.search(r"\d\. Januar 2026", said)


def test_data_are_the_same_in_every_language(published: dict[str, Path]) -> None:
    """Files of data are equal byte for byte whatever the language of the pages."""
    english, german = published["en"] / "data", published["de"] / "data"
    files = [*english.rglob("*.csv"), english / "results.json"]
    assert len(files) > 3
    for path in files:
        other = german / path.relative_to(english)
        assert other.read_bytes() == path.read_bytes(), path
