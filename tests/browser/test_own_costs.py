"""Costs on a device's page by a reader's own numbers."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from sitegen.measure.cost import FilterCost, discounted_ownership_cost
from tests.conftest import Compiled

pytestmark = pytest.mark.browser

DEVICE = "devices/ruddlesk-merl-200/"
CELLS = """() => Array.from(document.querySelectorAll('#costs-table td')).map(
  (cell) => Array.from(cell.childNodes).map((node) => node.textContent))"""
FORM = "Reckon with your own tariff, hours, years, filter life and currency"


@pytest.fixture
def context(chromium: Browser) -> BrowserContext:
    """A device of a reader."""
    return chromium.new_context(viewport={"width": 1280, "height": 900})


def test_the_archives_own_numbers_change_nothing(
    page: Page, served: str, demo: Compiled
) -> None:
    """With the archive's own tariff typed in, every cell of every device stays."""
    devices = sorted(
        path.parent.name for path in demo.site.glob("devices/*/index.html")
    )
    cells = 0
    for device in devices:
        page.goto(f"{served}devices/{device}/")
        if not page.locator("#costs-table").count():
            continue
        before = page.evaluate(CELLS)
        data = json.loads(page.locator("#cost-parts").inner_text() or "{}")
        assumed = data["assumed"]
        page.goto(f"{served}devices/{device}/?tariff={assumed['tariff']}")
        expect(page.locator("#own-costs")).to_contain_text("EUR per kWh")
        assert page.evaluate(CELLS) == before, device
        cells += len(before)
    assert cells > 300


def _first_known(page: Page) -> tuple[int, float]:
    """Return the first row whose energy is known, and that energy, kWh a year."""
    for at, row in enumerate(page.locator("#costs-table tbody tr").all()):
        text = row.locator("td").first.inner_text()
        if text != "not known":
            used = text.partition("\n")[2].removesuffix("kWh").strip()
            return at, float(used.replace(",", ""))
    raise AssertionError


def test_a_tariff_typed_in_is_reckoned_with(page: Page, served: str) -> None:
    """Cost of the energy, head of the years, address, mark; and the way back."""
    page.goto(f"{served}{DEVICE}")
    before = page.evaluate(CELLS)
    expect(page.locator("#own-costs")).to_be_hidden()
    page.get_by_text(FORM).click()
    page.get_by_label("Price of one kWh, EUR").fill("2")
    page.get_by_label("Years of owning").fill("1")
    at, kwh = _first_known(page)
    cell = page.locator("#costs-table tbody tr").nth(at).locator("td").first
    cost = cell.inner_text().partition("\n")[0]
    shown = Decimal(cost.strip("€").replace(",", ""))
    assert float(shown) == pytest.approx(2 * kwh, rel=0.01)
    expect(page.locator("#costs-table .years")).to_have_text("1 year")
    expect(page.locator("#own-costs")).to_contain_text("2 EUR per kWh; 1 year.")
    assert "tariff=2&years=1" in page.url
    line = page.locator(".own-line", has=page.locator("#own-costs"))
    line.get_by_role("button", name="Back to the archive's own numbers").click()
    assert page.evaluate(CELLS) == before
    expect(line).to_be_hidden()
    assert "?" not in page.url
    expect(page.get_by_label("Price of one kWh, EUR")).to_be_focused()


def test_the_address_alone_shows_the_same_costs(
    context: BrowserContext, served: str
) -> None:
    """A fresh browser with the copied address has the same cells."""
    first = context.new_page()
    first.goto(f"{served}{DEVICE}")
    first.get_by_text(FORM).click()
    for label, value in (
        ("Price of one kWh, EUR", "0,45"),
        ("Hours a day", "7.5"),
        ("Discount, % a year", "3"),
        ("Life of every filter, months", "5"),
        ("Your currency", "usd"),
        ("What 1 EUR buys of it", "1.25"),
    ):
        first.get_by_label(label).fill(value)
    cells = first.evaluate(CELLS)
    assert any("US$" in text for cell in cells for text in cell)
    second = context.new_page()
    second.goto(first.url)
    assert second.evaluate(CELLS) == cells
    expect(second.get_by_label("Your currency")).to_have_value("USD")
    context.close()


def test_what_is_remembered_elsewhere_holds_here(
    context: BrowserContext, served: str
) -> None:
    """A table's tariff is a device's too; forgetting it keeps the room."""
    page = context.new_page()
    page.goto(f"{served}tables/everything/?v=1&tariff=0.7&room=30")
    page.get_by_label("Remember on this device").check()
    page.goto(f"{served}{DEVICE}")
    expect(page.locator("#own-costs")).to_contain_text("0.7 EUR per kWh")
    expect(page.locator("#own-rooms")).to_contain_text("your own numbers")
    line = page.locator(".own-line", has=page.locator("#own-costs"))
    expect(line.get_by_label("Remember on this device")).to_be_checked()
    line.get_by_label("Remember on this device").uncheck()
    page.goto(f"{served}{DEVICE}")
    expect(page.locator("#own-costs")).to_be_hidden()
    expect(page.locator("#own-rooms")).to_contain_text("your own numbers")
    context.close()


@pytest.mark.parametrize(
    "query",
    [
        "tariff=-1&hours=25&years=0.5&discount=101&life=0&rate=EUR:0",
        "tariff=1e9&hours=NaN&years=99&rate=usd:1.2&life=<b>",
        "tariff=%E0%A4%A&hours=%00&u=toString&rate=__proto__:1",
        "tariff=" + "9" * 3000,
        "u=imperial&room=-3&ceiling=zero&cap=%3Cscript%3Ealert(1)%3C/script%3E",
    ],
)
def test_a_spoilt_address_shows_the_archives_numbers(
    watched: object, page: Page, served: str, query: str
) -> None:
    """Nothing runs, nothing breaks, no number is another one."""
    page.goto(f"{served}{DEVICE}")
    main = page.locator("#costs-table, .strip, #rooms")
    before = main.all_inner_texts()
    page.goto(f"{served}{DEVICE}?{query}")
    assert main.all_inner_texts() == before
    # Whose numbers they are is not said: they are the archive's.
    for line in page.locator(".own-line:visible").all():
        expect(line.locator("p").first).to_have_text("")
        expect(line).to_contain_text("Left out of the address")
    assert watched.errors == []  # type: ignore[attr-defined]


def test_costs_are_the_archives_without_scripts(chromium: Browser, served: str) -> None:
    """No form that would do nothing."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{served}{DEVICE}?tariff=9")
    expect(page.get_by_text(FORM)).to_be_hidden()
    expect(page.locator("#units")).to_be_hidden()
    expect(page.locator("#costs-table")).to_be_visible()
    context.close()


@pytest.mark.parametrize(
    "path",
    [f"{DEVICE}?life=0.000001", "compare/?v=1&years=50&life=0.00001&discount=2"],
)
def test_a_life_of_seconds_does_not_hold_the_page_up(
    page: Page, served: str, path: str
) -> None:
    """Millions of changes are one formula, not a loop."""
    page.goto(f"{served}{path}", timeout=15000)
    line = page.locator(".own-line:visible").first
    expect(line).to_contain_text("every filter changed after 0.0000")


def test_many_discounted_changes_are_worth_their_sum(page: Page, served: str) -> None:
    """The closed sum is that of Python to 1e-9, also of thousands of changes."""
    page.goto(f"{served}{DEVICE}")
    cases = [(0.05, 30.0, 7.0), (0.5, 12.5, 0.0), (0.011, 3.0, 99.0), (7.0, 10.0, 0.01)]
    for months, price, discount in cases:
        found = page.evaluate(
            """([months, price, discount]) => window.benchReckon.costs(
              { power_w: 10, standby_w: 0, price: 100, filter_change: price,
                filter_months: months, filter_hours: null },
              { tariff: 0.3, hours: 12, years: 20, discount }).ownership_cost""",
            [months, price, discount],
        )
        energy = 10 * 12 * 365 / 1000 * 0.3
        wanted = discounted_ownership_cost(
            100.0, [FilterCost(price, months)], energy, 20, discount / 100
        )
        assert found == pytest.approx(wanted, rel=1e-9)


def test_what_cannot_be_used_is_said(page: Page, served: str) -> None:
    """Of the address what was left out, of the form which field holds no number."""
    page.goto(f"{served}{DEVICE}?tariff=abc&hours=6")
    line = page.locator(".own-line", has=page.locator("#own-costs"))
    expect(line).to_contain_text("Left out of the address")
    expect(line).to_contain_text("tariff=abc")
    page.get_by_label("Years of owning").fill("0.5")
    expect(line).to_contain_text("Not a number that can be used: Years of owning.")
    page.goto(f"{served}{DEVICE}?u=imperial")
    expect(page.locator(".own-line:visible")).to_contain_text("u=imperial")
    expect(page.locator(".own-line:visible button:visible")).to_have_count(0)
