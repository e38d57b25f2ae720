"""Pages on small screens, with large letters, in closed sections, on paper, by axe."""

from __future__ import annotations

import re
from typing import Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import page_widths
from tests.browser.test_everywhere import OWN_NUMBERS, PAGES

pytestmark = pytest.mark.browser

CHOSEN = (
    "netloft-box.panel-50-m13.s3,ruddlesk-merl-200.merl-200-round.high,"
    "pladdock-standard.standard-pleat.high,ombrafane-tiffle.tiffle-fold.steady"
)
OWN = tuple(
    f"compare/?v=1&c={CHOSEN}&figure={f}" for f in ("ranked", "scatter", "decay")
)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_rule_is_broken_in_a_readers_own_comparison(
    chromium: Browser, served: str, scheme: str
) -> None:
    """Figure, table, open list of choices and code have no violation at all."""
    context = chromium.new_context(
        viewport={"width": 360, "height": 740},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    page = context.new_page()
    axe = Axe()
    found = []
    for path in OWN:
        page.goto(f"{served}{path}")
        expect(page.locator("#chosen-figure svg").first).to_be_visible()
        page.get_by_text("QR code of this comparison").click()
        field = page.get_by_role("combobox", name="Add to your comparison")
        field.press_sequentially("merl")
        field.press("ArrowDown")
        results = axe.run(page)
        if results.violations_count:
            found.append(f"{path}: {results.generate_report()}")
    context.close()
    assert found == []


@pytest.mark.parametrize("path", [*PAGES, *OWN, *OWN_NUMBERS])
def test_letters_of_twice_the_size_fit(
    chromium: Browser, served: str, path: str
) -> None:
    """With text at 200 % no page scrolls sideways."""
    context = chromium.new_context(viewport={"width": 640, "height": 800})
    page = context.new_page()
    page.goto(f"{served}{path}")
    # As the reader's own setting of a browser does it.
    page.locator("html").evaluate("(html) => { html.style.fontSize = '200%'; }")
    widths = page_widths(page)
    context.close()
    assert widths[0] <= widths[1], widths


@pytest.mark.parametrize("path", OWN_NUMBERS)
def test_a_readers_own_numbers_fit_a_small_phone(
    chromium: Browser, served: str, path: str
) -> None:
    """At 320 px lines, fields and numbers of the reader do not widen the page."""
    context = chromium.new_context(viewport={"width": 320, "height": 640})
    page = context.new_page()
    page.goto(f"{served}{path}")
    expect(page.locator(".own-line:visible").first).to_be_visible()
    widths = page_widths(page)
    context.close()
    assert widths[0] <= widths[1], widths


@pytest.mark.parametrize("path", OWN)
def test_a_readers_own_comparison_fits_a_small_phone(
    chromium: Browser, served: str, path: str
) -> None:
    """At 320 px the page does not scroll sideways; the table scrolls in its frame."""
    context = chromium.new_context(viewport={"width": 320, "height": 640})
    page = context.new_page()
    page.goto(f"{served}{path}")
    expect(page.locator("#chosen-figure svg").first).to_be_visible()
    page.get_by_text("QR code of this comparison").click()
    widths = page_widths(page)
    context.close()
    assert widths[0] <= widths[1], widths


@pytest.mark.parametrize(
    ("path", "width"),
    [
        ("runs/", 768),
        ("runs/qh-0120/", 768),
        ("runs/qh-0228/", 768),
        ("bench/", 768),
        ("filters/", 768),
        ("filters/merl-200-round/", 768),
        ("data/", 768),
        ("devices/", 1440),
        ("c/five-years/", 1440),
        ("c/quiet-bedroom/", 1440),
    ],
)
def test_tables_fit_their_frames(
    chromium: Browser, served: str, path: str, width: int
) -> None:
    """Where there is room for a table, its frame does not scroll sideways."""
    context = chromium.new_context(viewport={"width": width, "height": 900})
    page = context.new_page()
    page.goto(f"{served}{path}")
    beyond = page.locator(".frame:visible").evaluate_all(
        "(frames) => frames.map((f) => f.scrollWidth - f.clientWidth)"
    )
    context.close()
    assert beyond
    assert max(beyond) == 0


@pytest.mark.parametrize("media", ["screen", "print"])
def test_an_interval_is_drawn_within_its_cell(
    page: Page, served: str, media: Literal["screen", "print"]
) -> None:
    """In a narrow column the scale is shorter, and no line reaches into the next."""
    page.set_viewport_size({"width": 768, "height": 900})
    page.goto(f"{served}devices/pladdock-corner/")
    page.emulate_media(media=media)
    beyond = page.locator("small.ranged:visible").evaluate_all(
        """(cells) => cells.map((cell) => {
          const line = getComputedStyle(cell, "::before");
          return parseFloat(line.right) + parseFloat(line.width) - cell.clientWidth;
        })"""
    )
    assert beyond
    assert max(beyond) <= 0.5


def test_no_arrow_of_a_sorted_table_is_printed(page: Page, served: str) -> None:
    """Out of its place on paper, the arrow would stand at the end of the table."""
    page.goto(f"{served}c/merl-200-filters/")
    name = page.locator("th[aria-sort] .name").first
    arrow = "(name) => getComputedStyle(name, '::after').content"
    assert name.evaluate(arrow) != "none"
    page.emulate_media(media="print")
    assert name.evaluate(arrow) == "none"


def test_a_figure_in_a_closed_section_has_its_size_when_opened(
    chromium: Browser, served: str
) -> None:
    """The chart is not made while nobody sees it, and then as wide as there is room."""
    for width, wanted in ((1280, 720), (360, 340)):
        page = chromium.new_context(viewport={"width": width, "height": 400}).new_page()
        page.add_init_script(
            """document.addEventListener('DOMContentLoaded', () => {
              const figure = document.querySelector('figure.figure');
              const section = document.createElement('details');
              section.id = 'closed';
              section.append(Object.assign(
                document.createElement('summary'), { textContent: 'open' }));
              figure.replaceWith(section);
              section.append(figure);
            }, { capture: true })"""
        )
        page.goto(f"{served}devices/ruddlesk-merl-200/")
        page.locator("#closed > summary").scroll_into_view_if_needed()
        page.wait_for_timeout(300)
        figure = page.locator("#closed figure")
        expect(figure).not_to_have_class(re.compile("live"))
        page.locator("#closed > summary").click()
        figure.scroll_into_view_if_needed()
        expect(figure).to_have_class(re.compile("live"), timeout=20_000)
        expect(figure.locator(".chart svg")).to_have_attribute("width", str(wanted))
        page.context.close()


def test_a_readers_own_comparison_is_printed(page: Page, served: str) -> None:
    """On paper stand figure, table and address, without what is to be pressed."""
    page.goto(f"{served}{OWN[0]}")
    expect(page.locator("#chosen-figure svg")).to_be_visible()
    page.emulate_media(media="print")
    expect(page.locator("#chosen-figure svg")).to_be_visible()
    expect(page.locator("#chosen-table")).to_be_visible()
    expect(page.locator("#page-address")).to_be_visible()
    for part in ("#pick", "#chosen-settings", "#chosen-save", "#settings"):
        expect(page.locator(part)).to_be_hidden()


def test_results_over_time_are_said(page: Page, served: str) -> None:
    """The drawing of a device's history has a sentence that holds its numbers."""
    page.goto(f"{served}devices/ruddlesk-merl-200/")
    drawing = page.locator(".over-time svg").first
    expect(drawing).to_be_visible()
    said = drawing.get_attribute("aria-label") or ""
    assert re.search(r"in \d+ runs from .* to .*: between \d+(\.\d+)? and \d+", said)
    assert drawing.locator("circle").count() == int(
        re.findall(r"in (\d+) runs", said)[0]
    )
