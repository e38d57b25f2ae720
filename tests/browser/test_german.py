"""Pages of a German archive, as a reader sees them once their scripts have run."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from sitegen.archive_build import compile_archive, published_folders
from sitegen.desk.start import Beginning, start_archive
from tests.browser.conftest import serving

DEVICE = "devices/example-cleaner/"
KINDS = ("", DEVICE, "devices/", "compare/", "tables/everything/", "c/two-speeds/")


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of a new archive in German."""
    folder = tmp_path_factory.mktemp("german") / "archive"
    start_archive(folder, Beginning(language="de"))
    compile_archive(published_folders(folder))
    with serving(folder / "published") as address:
        yield address


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """Return a page of a browser whose own language is another one."""
    context = chromium.new_context(locale="en-US")
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_page_is_german(page: Page, german: str, kind: str) -> None:
    """No interval is said in English, whatever the language of the browser."""
    page.goto(german + kind)
    page.wait_for_load_state("networkidle")
    said = page.locator("body").inner_text()
    assert page.evaluate("document.documentElement.lang") == "de"
    assert not re.search(r"\d to \d", said)


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
