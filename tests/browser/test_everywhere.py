"""What holds on every kind of page."""

from __future__ import annotations

from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Watched, page_widths

pytestmark = pytest.mark.browser

PAGES = (
    "",
    "devices/",
    "devices/ruddlesk-merl-200/",
    "devices/ombrafane-tiffle-ion/",
    "runs/",
    "runs/qh-0001/",
    "tables/",
    "tables/everything/",
    "compare/",
    "c/",
    "c/merl-200-filters/",
    "c/merl-200-filters/2026-07-10/",
    "c/air-and-noise/",
    "videos/",
    "filters/",
    "filters/merl-200-round/",
    "bench/",
    "methods/",
    "methods/decay-v2/",
    "changes/",
    "data/",
    "about/",
)
OWN_NUMBERS = (
    "devices/ruddlesk-merl-200/?u=us&tariff=1&years=2&room=20",
    "?u=us&room=20&rate=USD:1.1",
    "runs/qh-0001/?u=us",
)
"""Pages that show a reader's own numbers."""


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_quiet_and_asks_nobody_else(
    watched: Watched, served: str, path: str
) -> None:
    """No error in the console, and no request beyond the site."""
    watched.page.goto(f"{served}{path}")
    watched.page.wait_for_load_state("networkidle")
    assert watched.errors == []
    assert watched.requests
    assert [url for url in watched.requests if not url.startswith(served)] == []


@pytest.mark.parametrize("path", PAGES)
def test_nothing_reaches_over_the_edge_of_a_small_phone(
    chromium: Browser, on_disk: str, path: str
) -> None:
    """At 320 px no page scrolls sideways; what is wide scrolls in its own frame."""
    context = chromium.new_context(viewport={"width": 320, "height": 640})
    page = context.new_page()
    page.goto(_file(on_disk, path))
    widths = page_widths(page)
    context.close()
    assert widths[0] <= widths[1], widths


@pytest.mark.parametrize("path", PAGES)
def test_a_page_opened_from_disk_works(
    watched: Watched, on_disk: str, path: str
) -> None:
    """Opened from disk, a page has its style, and no error is told."""
    watched.page.goto(_file(on_disk, path))
    assert watched.errors == []
    family = watched.page.locator("h1").evaluate(
        "(h) => getComputedStyle(h).fontFamily"
    )
    assert "serif" in family
    assert all(url.startswith(on_disk) for url in watched.requests)


def _file(on_disk: str, path: str) -> str:
    return (
        f"{on_disk}{path}" if path.endswith(".html") else f"{on_disk}{path}index.html"
    )


def test_links_lead_from_page_to_page_on_disk_and_served(
    page: Page, on_disk: str, served: str
) -> None:
    """From the list of devices to a device, a run, its method and home again."""
    for start in (f"{on_disk}devices/index.html", f"{served}devices/"):
        page.goto(start)
        page.get_by_role("link", name="Merl 200", exact=True).click()
        expect(page.locator("h1")).to_have_text("Merl 200")
        page.locator("table a[href*='runs/']").first.click()
        expect(page.locator("h1")).to_contain_text("Run ")
        page.locator(".kind a").click()
        expect(page.locator("h1")).to_contain_text("Decay")
        page.locator(".archive a").click()
        expect(page.locator("h1")).to_have_text("Quernholm Bench")


def test_the_address_bar_shows_the_folder(page: Page, served: str) -> None:
    """Served, an address that spells index.html is shown as its folder."""
    page.goto(f"{served}devices/ruddlesk-merl-200/index.html#costs")
    assert page.url == f"{served}devices/ruddlesk-merl-200/#costs"


def test_without_scripts_everything_is_there(chromium: Browser, on_disk: str) -> None:
    """Tables, drawings and numbers stand in the page; nothing dead is shown."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{on_disk}tables/everything/index.html")
    assert page.locator(".results tbody tr").count() > 100
    assert page.locator(".choose:visible, .chosen-rows:visible").count() == 0
    page.goto(f"{on_disk}devices/ruddlesk-merl-200/index.html")
    drawing = page.locator("svg.drawing:visible")
    assert drawing.count() == 1
    box = drawing.bounding_box()
    assert box is not None
    assert box["height"] > 200
    assert page.locator("button:enabled:visible").count() == 0
    page.goto(f"{on_disk}compare/index.html")
    assert page.locator("#everything tbody tr").count() > 100
    assert page.locator("form:visible").count() == 0
    context.close()


@pytest.mark.parametrize("path", ["", "compare/", "runs/qh-0001/"])
def test_the_ways_on_stand_beside_each_other(
    page: Page, served: str, path: str
) -> None:
    """The links of the head share one line where there is room, without bullets."""
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(f"{served}{path}")
    tops = page.locator(".head nav a").evaluate_all(
        "(links) => links.map((a) => a.getBoundingClientRect().top)"
    )
    assert len(tops) > 3
    assert max(tops) - min(tops) < 2
    marks = page.locator(".head nav ul").evaluate(
        "(list) => getComputedStyle(list).listStyleType"
    )
    assert marks == "none"


def test_no_cookie_and_nothing_stored(page: Page, served: str) -> None:
    """A visit leaves nothing behind."""
    page.goto(f"{served}compare/?u=us")
    page.goto(f"{served}devices/")
    assert page.context.cookies() == []
    assert page.evaluate("localStorage.length + sessionStorage.length") == 0
    assert urlsplit(page.url).query == ""
