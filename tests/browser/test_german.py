"""Pages of a German archive, as a reader sees them once their scripts have run."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from sitegen.archive_build import compile_archive, published_folders
from sitegen.desk.start import Beginning, start_archive
from sitegen.model.collation import collation_key
from sitegen.pages.formats import fixed, money, number
from sitegen.pages.words import Words
from tests.browser.conftest import page_widths, serving
from tests.model.test_collation import IN_ORDER

DEVICE = "devices/example-cleaner/"
KINDS = ("", DEVICE, "devices/", "compare/", "tables/everything/", "c/two-speeds/")


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the published folder of a new archive in German."""
    folder = tmp_path_factory.mktemp("german") / "archive"
    start_archive(folder, Beginning(language="de"))
    compile_archive(published_folders(folder))
    return folder / "published"


@pytest.fixture(scope="module")
def german(published: Path) -> Iterator[str]:
    """Address of that archive."""
    with serving(published) as address:
        yield address


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_page_is_german(page: Page, german: str, kind: str) -> None:
    """No interval is said in English, whatever the language of the browser."""
    page.goto(german + kind)
    page.wait_for_load_state("networkidle")
    said = page.locator("body").inner_text()
    assert page.evaluate("document.documentElement.lang") == "de"
    assert not re.search(r"\d to \d", said)


def test_what_a_comparison_is_set_by_fits_a_small_phone(
    page: Page, german: str
) -> None:
    """At 320 px the longer names of figures widen no page."""
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto(f"{german}compare/?v=1&c=example-cleaner.example-filter.high")
    page.locator("#in-figure").wait_for()
    widths = page_widths(page)
    assert widths[0] <= widths[1], widths


def test_numbers_and_dates(page: Page, german: str) -> None:
    """A device's page has decimal commas, "bis" in intervals, and German dates."""
    page.goto(german + DEVICE)
    said = page.locator("main").inner_text()
    assert re.search(r"\d,\d", said)
    assert re.search(r"\d bis \d", said)
    assert re.search(r"\d\. Januar 2026", said)


def test_scripts_speak_german(page: Page, german: str) -> None:
    """What scripts write has German words and numbers, read with a decimal comma."""
    page.goto(f"{german}compare/?v=1&tariff=0.45&hours=10.5")
    page.wait_for_load_state("networkidle")
    said = page.locator("main").inner_text()
    assert "0,45 EUR je kWh" in said
    assert "10,5 Stunden am Tag" in said
    assert not re.search(r"\ball \d+ shown\b", said)
    assert re.search(r"\balle \d+ gezeigt\b", said)


def test_forms_show_numbers_as_they_are_typed(page: Page, german: str) -> None:
    """Numbers that an address brings stand in the forms with a decimal comma."""
    page.goto(f"{german}compare/?v=1&tariff=0.45&hours=10.5")
    page.wait_for_load_state("networkidle")
    assert page.locator("#in-tariff").input_value() == "0,45"
    assert page.locator("#in-hours").input_value() == "10,5"


@pytest.mark.parametrize("language", ["de", "en"])
def test_scripts_write_numbers_as_pages_do(
    page: Page, german: str, language: str
) -> None:
    """Grouping, decimals, minus and amounts are the same from both, digit for digit."""
    page.goto(german)
    words = Words(language)
    locale = words.locale.replace("_", "-")
    values = [0.0, 0.5, 999.5, 1000.0, 1234.5, -1234.5, 12345678.0]
    values += [round(10 ** (at / 5 - 2), 4) for at in range(41)]
    said = page.evaluate(
        """([values, locale]) => values.map((value) => [
          benchNumbers.significant(value, 3, locale),
          benchNumbers.halfDecibel(value, locale),
          ...["EUR", "USD", "JPY", "KWD"].map((code) =>
            benchNumbers.money(value, code, locale)),
        ])""",
        [values, locale],
    )
    for value, found in zip(values, said, strict=True):
        half = fixed(round(value * 2) / 2, 1, words)
        amounts = [money(value, code, words) for code in ("EUR", "USD", "JPY", "KWD")]
        assert found == [number(value, 3, words), half, *amounts], value


@pytest.mark.parametrize("language", ["de", "en"])
def test_scripts_sort_names_as_pages_do(page: Page, german: str, language: str) -> None:
    """A table sorted by a reader has names in the order that it was compiled in."""
    page.goto(german)
    names = [*IN_ORDER, "Net 2", "Net-b", "Netb", "Net", "Stufe II", "Stufe 1"]
    names.reverse()
    sorted_there = page.evaluate(
        """([names, language]) => names.slice().sort(
          new Intl.Collator(language, { numeric: true }).compare)""",
        [names, language],
    )
    assert sorted_there == sorted(names, key=collation_key)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_german_pages_break_no_rule(
    chromium: Browser, german: str, published: Path, scheme: str
) -> None:
    """Every German page, light and dark, has no violation and nothing too wide."""
    context = chromium.new_context(
        color_scheme="dark" if scheme == "dark" else "light",
        viewport={"width": 360, "height": 800},
    )
    page = context.new_page()
    found = {}
    for path in sorted(published.rglob("*.html")):
        name = path.relative_to(published).as_posix()
        if name == "404.html":  # bound to the archive's own address, so bare here
            continue
        page.goto(german + name)
        page.wait_for_load_state("networkidle")
        root = "document.documentElement"
        wide = page.evaluate(f"{root}.scrollWidth - {root}.clientWidth")
        results = Axe().run(page)
        if wide > 0 or results.violations_count:
            found[name] = (wide, results.generate_report())
    context.close()
    assert found == {}
