"""Pages in the reader's own units."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser

DEVICE = "devices/ruddlesk-merl-200/"
CADR = ".strip .num"
SEEN = """(all) => all.filter((one) => one.checkVisibility())
  .map((one) => one.getAttribute('aria-label'))"""


def test_units_are_exchanged_and_back(page: Page, served: str) -> None:
    """Number, unit and interval; the address, the mark, and the way back."""
    page.goto(f"{served}{DEVICE}")
    numbers = page.locator(".strip, main table")
    before = numbers.all_inner_texts()
    flow = float(page.locator(CADR).first.inner_text().split()[0])
    page.get_by_label("Units", exact=True).select_option("us")
    shown, unit = page.locator(CADR).first.inner_text().split()
    assert unit == "cfm"
    assert float(shown) == pytest.approx(flow / 1.699011, rel=0.005)
    assert "u=us" in page.url
    expect(page.locator("#own-units")).to_contain_text("Shown in US units")
    page.reload()
    assert page.locator(CADR).first.inner_text() == f"{shown} cfm"
    line = page.locator(".own-line", has=page.locator("#own-units"))
    line.get_by_role("button", name="Back to the archive's own numbers").click()
    expect(page.get_by_label("Units", exact=True)).to_be_focused()
    assert numbers.all_inner_texts() == before
    assert "u=" not in page.url


@pytest.mark.parametrize(
    "path", ["devices/", "runs/", "bench/", "filters/bowline-drum/"]
)
def test_lists_can_be_turned(page: Page, served: str, path: str) -> None:
    """What has metric numbers in its text has others after it is turned."""
    page.goto(f"{served}{path}?u=us")
    expect(page.get_by_label("Units", exact=True)).to_have_value("us")
    turned = page.locator("main").inner_text()
    page.get_by_label("Units", exact=True).select_option("metric")
    assert page.locator("main").inner_text() != turned


def test_units_remembered_hold_on_runs(chromium: Browser, served: str) -> None:
    """Chosen once, remembered, they hold for the evidence and for a table."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{served}{DEVICE}")
    page.get_by_label("Units", exact=True).select_option("us")
    line = page.locator(".own-line", has=page.locator("#own-units"))
    line.get_by_label("Remember on this device").check()
    run = page.locator("#runs-decay ~ .frame a, .frame a[href*='runs/']").first
    run.click()
    expect(page.locator("#own-units")).to_contain_text("Shown in US units")
    expect(page.locator(".strip .num").first).to_contain_text("cfm")
    page.goto(f"{served}tables/everything/")
    expect(page.locator("#own")).to_contain_text("US units")
    context.close()


def test_a_room_stays_the_room_in_other_units(page: Page, served: str) -> None:
    """A floor typed in square metres stands there in square feet, and counts alike."""
    page.goto(f"{served}{DEVICE}?room=25&ceiling=2.4")
    row = page.locator("#own-room-row td")
    machines = row.all_inner_texts()
    page.get_by_label("Units", exact=True).select_option("us")
    expect(page.get_by_label("Floor of your room, ft²")).to_have_value("269.0978")
    assert row.all_inner_texts() == machines
    cells = page.locator("td[data-least]").all_inner_texts()
    assert cells
    assert all(text.endswith("ft²") for text in cells)
    assert "room=25&" in page.url
    page.get_by_label("Units", exact=True).select_option("metric")
    expect(page.get_by_label("Floor of your room, m²")).to_have_value("25")


def test_drawings_have_their_own_axes(page: Page, served: str) -> None:
    """Of results over time one drawing is seen, that of the units shown."""
    page.goto(f"{served}{DEVICE}")
    drawings = page.locator(".over-time svg")
    metric = drawings.evaluate_all(SEEN)
    page.get_by_label("Units", exact=True).select_option("us")
    us = drawings.evaluate_all(SEEN)
    assert metric
    assert len(metric) == len(us)
    assert all("m³/h" in label for label in metric)
    assert all("cfm" in label for label in us)


def test_the_finder_answers_in_other_units_and_currency(
    page: Page, served: str
) -> None:
    """A room in square feet and an amount in dollars are the same room and amount."""
    page.goto(f"{served}?room=20&hours=6")
    answer = page.locator("#finder-table tbody:not([data-area])")
    expect(answer).to_have_count(1)
    names = answer.locator("th[scope=row]").all_inner_texts()
    expect(answer.locator("td").nth(1)).to_contain_text("m³/h")
    page.get_by_label("Units", exact=True).select_option("us")
    expect(page.get_by_label("Floor of your room, ft²")).to_have_value("215.2782")
    expect(answer.locator("td").nth(1)).to_contain_text("cfm")
    assert answer.locator("th[scope=row]").all_inner_texts() == names
    euros = answer.locator("td:nth-of-type(4)").first.inner_text()
    page.get_by_label("Your currency").fill("usd")
    page.get_by_label("What 1 EUR buys of it").fill("2")
    dollars = answer.locator("td:nth-of-type(4)").first.inner_text()
    assert float(dollars.strip("US$").replace(",", "")) == pytest.approx(
        2 * float(euros.strip("€").replace(",", ""))
    )
    assert "room=20&" in page.url
    assert "rate=USD:2" in page.url
    shown = answer.all_inner_texts()
    page.goto(page.url)
    expect(answer).to_have_count(1)
    assert answer.all_inner_texts() == shown
