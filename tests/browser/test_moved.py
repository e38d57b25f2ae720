"""Old addresses in a browser: where one arrives, and what is kept on the way."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser


def test_a_former_address_leads_on_with_query_and_fragment(
    page: Page, served: str
) -> None:
    """With scripts the reader arrives at the present page, their choice kept."""
    page.goto(f"{served}devices/netloft-cube/?u=us#runs")
    page.wait_for_url(f"{served}devices/netloft-box/?u=us#runs")
    # The way back does not lead into the former page again.
    assert page.evaluate("history.length") <= 2


def test_without_scripts_a_former_address_leads_on(
    chromium: Browser, served: str
) -> None:
    """The page's own refresh follows the link where scripts are off."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{served}devices/netloft-cube/")
    page.wait_for_url("**/netloft-box/**")
    assert page.locator("h1").inner_text() == "Net Loft Box"
    context.close()


def test_a_compare_address_of_a_former_id_chooses_the_device_of_now(
    page: Page, served: str
) -> None:
    """A copied compare address that names the former id chooses the same rows."""
    page.goto(f"{served}compare/")
    data = json.loads(page.locator("#rows").text_content() or "{}")
    assert data["query"]["moved"]["device"] == {"netloft-cube": "netloft-box"}
    columns = data["columns"]
    row = next(r for r in data["rows"] if r[columns.index("device")] == "netloft-box")
    used, speed = (row[columns.index(name)] for name in ("filter", "speed"))
    page.goto(f"{served}compare/?v=1&c=netloft-cube.{used}.{speed}")
    page.wait_for_url(f"{served}compare/?v=1&c=netloft-box.{used}.{speed}")
    assert page.locator("#chosen-table tbody tr").count() == 1
    assert page.locator("#notes").is_hidden()


def test_a_part_of_a_comparison_can_be_linked(page: Page, served: str) -> None:
    """A fragment stays in the address, and the page opens at that part."""
    page.goto(f"{served}c/quiet-bedroom/#since")
    page.wait_for_timeout(500)
    assert page.evaluate("window.scrollY") > 500
    assert page.url.endswith("c/quiet-bedroom/#since")
