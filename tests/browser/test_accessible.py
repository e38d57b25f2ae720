"""No page breaks a rule that a program can check."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from tests.browser.test_everywhere import OWN_NUMBERS, PAGES

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_rule_of_accessibility_is_broken(
    chromium: Browser, served: str, scheme: str
) -> None:
    """Every kind of page, light and dark, figures live, has no violation at all."""
    context = chromium.new_context(
        viewport={"width": 1280, "height": 900},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    page = context.new_page()
    axe = Axe()
    found = []
    for path in (*PAGES, *OWN_NUMBERS):
        page.goto(f"{served}{path}")
        figures = page.locator("figure.figure:has(.chart-data)")
        if figures.count():
            figures.first.scroll_into_view_if_needed()
            page.locator("figure.live").first.wait_for()
        results = axe.run(page)
        if results.violations_count:
            found.append(f"{path}: {results.generate_report()}")
    context.close()
    assert found == []
