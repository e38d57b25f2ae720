"""The manual in a browser: it fits, reads and breaks no rule, light and dark."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from sitegen.archive_build import shipped_folder
from sitegen.pages.assets import STYLES
from sitegen.preview.manual import manual_pages
from tests.browser.conftest import SUB_PATH, serving, watch

pytestmark = pytest.mark.browser
PAGES = tuple(sorted(manual_pages()))


@pytest.fixture(scope="module")
def manual(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the manual's pages, with the site's own style beside them."""
    site = tmp_path_factory.mktemp("manual")
    assets = shipped_folder("assets")
    (site / "assets").mkdir()
    css = "\n".join((assets / "css" / name).read_text("utf-8") for name in STYLES)
    (site / "assets" / "site.css").write_text(css, encoding="utf-8")
    shutil.copy(assets / "icons" / "icon.svg", site / "assets" / "icon.svg")
    for name, make in manual_pages().items():
        path = site / "_desk" / name / "index.html"
        path.parent.mkdir(parents=True)
        # The preview serves from the root; these tests from a folder below it.
        page = make().replace('="/', f'="{SUB_PATH}')
        path.write_text(page, encoding="utf-8")
    with serving(Path(site)) as address:
        yield address


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (1440, "dark")])
def test_the_manual_fits_and_breaks_no_rule(
    chromium: Browser, manual: str, width: int, scheme: str
) -> None:
    """No page is wider than its window, says an error, or breaks a rule."""
    context = chromium.new_context(
        viewport={"width": width, "height": 900},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    watched = watch(context.new_page())
    page, axe, found = watched.page, Axe(), []
    for name in PAGES:
        page.goto(f"{manual}_desk/{name}/")
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width, name
        results = axe.run(page)
        if results.violations_count:
            found.append(f"{name}: {results.generate_report()}")
    assert watched.errors == []
    context.close()
    assert found == []


def test_the_manual_is_walked_by_its_links(chromium: Browser, manual: str) -> None:
    """From the contents to a field of a record and to the next chapter."""
    page = chromium.new_page()
    page.goto(f"{manual}_desk/manual/")
    page.get_by_role("link", name="Records, field by field").first.click()
    page.get_by_role("link", name="Device", exact=True).click()
    page.get_by_role("link", name="list: price, see below").click()
    assert page.url.endswith("/_desk/manual/records/device/#price")
    assert page.locator("#price").is_visible()
    page.get_by_role("link", name="Manual", exact=True).click()
    assert page.locator("h1").inner_text() == "Manual for testers"
    page.close()
