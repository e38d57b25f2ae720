"""Nothing that a page or its scripts say bypasses the catalogue."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import serving
from tests.marked import marked_archive, outside

pytestmark = pytest.mark.browser

# Every text node and every spoken attribute, of figures as well; no code, no data.
SAID = """() => {
  const skip = "script, style, pre, code, .chart-data, template";
  const found = [];
  const all = document.documentElement;
  const walk = document.createTreeWalker(all, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const node = walk.currentNode;
    if (!node.parentElement.closest(skip)) found.push(node.data);
  }
  const spoken = ["alt", "aria-label", "aria-description", "placeholder", "title"];
  for (const name of spoken) {
    for (const each of document.querySelectorAll("[" + name + "]")) {
      if (!each.closest("[aria-hidden=true]")) found.push(each.getAttribute(name));
    }
  }
  return found;
}"""
# What no language says otherwise: units, names of files, addresses, codes of checks,
# currencies, and dates (those are German here, as the archive's locale is).
SAME = re.compile(
    r"BibTeX|QR|EUR|CC BY 4\.0|[A-Z]+(_[A-Z]+)*|"
    r"[\d,.−]* ?(min|dB\(A\)|m³/h|kWh|ACH|µg/m³|mm)|"
    r"\S*[\w-]+\.(csv|zip|json|cff|bib|yaml)|https?://\S+|"
    r"(\d+\. )?(Januar|Februar|März|April|Mai|Juni|Juli|August|September|Oktober|"
    r"November|Dezember)( \d{4})?|[a-z]+(_[a-z0-9]+)+"
)


@pytest.fixture(scope="module")
def marked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the published folder of an archive in a language of marks."""
    return marked_archive(tmp_path_factory.mktemp("marked"))


@pytest.fixture(scope="module")
def address(marked: Path) -> Iterator[str]:
    """Return where that archive is served."""
    with serving(marked) as found:
        yield found


def _written(archive: Path) -> str:
    """Return what the tester wrote, names of files as well, on one line."""
    texts = [
        f"{path.stem} {path.read_text(encoding='utf-8')}"
        for path in archive.rglob("*")
        if path.suffix in {".yaml", ".md"} and "published" not in path.parts
    ]
    plain = re.sub(r"[*_`]|\[|\]\([^)]*\)", "", " ".join(texts))
    return " ".join(f"{' '.join(texts)} {plain}".split()).casefold()


def _unsaid(page: Page, written: str) -> set[str]:
    """Return the pieces on a page that neither catalogue nor tester said.

    What ``noscript`` holds is text with tags here; a method's name has its version.
    """
    pieces = {
        part.strip(" ,.;:()%")
        for text in page.evaluate(SAID)
        for piece in outside(re.sub(r"<[^<>]+>", " ", text))
        for part in re.split(r" · |, |\. ", piece)
    }
    return {
        piece
        for piece in pieces
        if re.search(r"[A-Za-z]{3}", piece)
        and re.sub(r" \d+$", "", piece).casefold() not in written
        and not SAME.fullmatch(piece)
    }


def test_every_page_speaks_through_the_catalogue(
    page: Page, address: str, marked: Path
) -> None:
    """With its scripts run, no page has a text that no catalogue and no record has."""
    written = _written(marked.parent)
    found = {}
    for path in sorted(marked.rglob("*.html")):
        name = path.relative_to(marked).as_posix()
        page.goto(address + name)
        page.wait_for_load_state("networkidle")
        if unsaid := _unsaid(page, written):
            found[name] = unsaid
    assert found == {}


def test_answers_of_scripts_speak_through_it(
    page: Page, address: str, marked: Path
) -> None:
    """Finder, own numbers and comparison answer in the words of the catalogue."""
    written = _written(marked.parent)
    page.goto(f"{address}?room=20&ceiling=2.5&cap=45&tariff=0.4")
    page.wait_for_load_state("networkidle")
    for field in page.locator("main input[type=text], main input:not([type])").all():
        if field.is_visible() and field.is_editable():
            field.fill("x")
            field.blur()
    assert _unsaid(page, written) == set()
    for asked in ("tariff=0.45&hours=10.5&rate=USD:1.1&u=us", "room=x&q=none&v=7"):
        page.goto(f"{address}compare/?v=1&{asked}")
        page.wait_for_load_state("networkidle")
        assert _unsaid(page, written) == set(), asked


def test_a_text_of_its_own_is_found(page: Page, address: str, marked: Path) -> None:
    """A text that stands on a page without brackets is told."""
    page.goto(address)
    page.evaluate("document.querySelector('h1').append('Unheard of here')")
    assert _unsaid(page, _written(marked.parent)) == {"Unheard of here"}
