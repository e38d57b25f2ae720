"""A reader's own numbers: in the address, remembered if wished, marked, and undone."""

from __future__ import annotations

import random

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from sitegen.measure.cost import FilterCost, cost_with_price, filters_per_year
from sitegen.measure.sizing import air_changes

pytestmark = pytest.mark.browser


@pytest.fixture
def context(chromium: Browser) -> BrowserContext:
    """A device of a reader."""
    return chromium.new_context(viewport={"width": 1280, "height": 900})


def _set_tariff(page: Page, served: str, *, remember: bool) -> None:
    page.goto(f"{served}tables/everything/")
    page.get_by_text("Reckon with your own room").click()
    page.get_by_label("Price of one kWh, EUR").fill("0,62")
    if remember:
        page.get_by_label("Remember on this device").check()


def test_nothing_is_remembered_unasked(context: BrowserContext, served: str) -> None:
    """Without the tick a reader's tariff is in the address and nowhere else."""
    page = context.new_page()
    _set_tariff(page, served, remember=False)
    page.wait_for_url("**tariff=0.62**")
    assert page.evaluate("window.localStorage.length") == 0
    page.goto(f"{served}tables/everything/")
    expect(page.locator("#own")).to_be_hidden()
    context.close()


def test_what_is_remembered_holds_on_other_pages(
    context: BrowserContext, served: str
) -> None:
    """A tariff remembered is the finder's, another table's and the compare page's."""
    page = context.new_page()
    _set_tariff(page, served, remember=True)
    for path in ("tables/upkeep/", "compare/"):
        page.goto(f"{served}{path}")
        expect(page.locator("#own")).to_contain_text("0.62 EUR per kWh")
        assert "tariff=0.62" in page.url
    page.goto(served)
    expect(page.get_by_label("Price of one kWh, EUR")).to_have_value("0.62")
    page.get_by_role("button", name="Back to the archive's own numbers").click()
    expect(page.get_by_label("Price of one kWh, EUR")).to_have_value("")
    assert page.evaluate("window.localStorage.length") == 0
    page.goto(f"{served}compare/")
    expect(page.locator("#own")).to_be_hidden()
    context.close()


def test_an_address_goes_before_memory(context: BrowserContext, served: str) -> None:
    """A link's tariff is shown, not the remembered one, which it does not replace."""
    page = context.new_page()
    _set_tariff(page, served, remember=True)
    page.goto(f"{served}tables/everything/?v=1&tariff=0.1")
    expect(page.locator("#own")).to_contain_text("0.1 EUR per kWh")
    page.get_by_role("button", name="Use the numbers that this device").click()
    expect(page.locator("#own")).to_contain_text("0.62 EUR per kWh")
    context.close()


def test_a_named_comparison_waits_for_a_tap(
    context: BrowserContext, served: str
) -> None:
    """Under /c/ the archive's numbers stand until the reader taps for their own."""
    page = context.new_page()
    page.goto(f"{served}c/")
    path = page.locator("main a[href*='index.html']").first.get_attribute("href")
    page.goto(f"{served}c/{path}")
    cells = page.locator(".results tbody td")
    before = cells.all_inner_texts()
    _set_tariff(page, served, remember=True)
    page.get_by_label("Units").select_option("us")
    page.goto(f"{served}c/{path}")
    assert cells.all_inner_texts() == before
    assert "tariff" not in page.url
    page.get_by_role("button", name="Use the numbers that this device").click()
    expect(page.locator("#own")).to_contain_text("US units")
    assert cells.all_inner_texts() != before
    back = page.get_by_role("button", name="Back to the archive's own numbers")
    expect(back).to_be_focused()
    page.keyboard.press("Enter")
    assert cells.all_inner_texts() == before
    context.close()


def test_a_room_is_remembered_for_devices(context: BrowserContext, served: str) -> None:
    """A floor typed into the finder stands on a device's page as one's own."""
    page = context.new_page()
    page.goto(served)
    page.get_by_label("Floor of your room, m²").fill("25")
    page.locator(".own-line:visible").get_by_label("Remember").check()
    page.goto(f"{served}devices/ruddlesk-merl-200/")
    expect(page.locator("#own-floor")).to_have_value("25")
    expect(page.locator("#own-rooms")).to_contain_text("Rooms are reckoned with your")
    assert "room=25" in page.url
    page.get_by_role("link", name="These settings, all by your own numbers").click()
    page.wait_for_url("**/compare/**room=25**")
    shown = page.locator("#everything tbody tr:visible")
    names = shown.evaluate_all("(rows) => rows.map((row) => row.dataset.c)")
    assert names
    assert all(name.startswith("ruddlesk-merl-200.") for name in names)
    context.close()


@pytest.mark.parametrize(
    "kept",
    [
        "tariff=<img src=x onerror=boom()>&hours=1e99&room=-4",
        "__proto__=1&constructor=2&u=toString",
        "tariff=" + "9" * 500,
        "%%%",
    ],
)
def test_a_spoilt_memory_is_harmless(
    context: BrowserContext, served: str, kept: str
) -> None:
    """Whatever is stored, the page shows the archive's numbers and no fault."""
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(f"{served}tables/everything/")
    before = page.locator(".results tbody td").all_inner_texts()
    page.evaluate(
        """(kept) => {
          const home = location.pathname.replace(/tables.*/, '');
          localStorage.setItem(`own-numbers ${home}`, kept);
        }""",
        kept,
    )
    page.goto(f"{served}tables/everything/")
    assert page.locator(".results tbody td").all_inner_texts() == before
    page.goto(served)
    assert errors == []
    context.close()


def test_chosen_rows_take_own_numbers_along(
    context: BrowserContext, served: str
) -> None:
    """The link to the compare page carries the tariff."""
    page = context.new_page()
    _set_tariff(page, served, remember=False)
    page.locator(".results .choose input").first.check()
    page.get_by_role("link", name="Compare the chosen rows").click()
    page.wait_for_url("**/compare/**tariff=0.62**")
    context.close()


def test_typed_numbers_are_read_in_one_way(page: Page, served: str) -> None:
    """Comma and point part decimals; what else is no number is none anywhere."""
    page.goto(f"{served}compare/")
    found = page.evaluate(
        """(texts) => texts.map((text) => {
          const value = window.benchNumbers.typed(text);
          return Number.isNaN(value) ? 'none' : value;
        })""",
        ["", " 2,5 ", "2.5", "12", "1.234,5", "1e3", "0x10", "Infinity", "-3", "2,"],
    )
    assert found == [None, 2.5, 2.5, 12, "none", "none", "none", "none", -3, "none"]


def test_every_formula_of_the_scripts_is_held(page: Page, served: str) -> None:
    """Air changes, lives of filters in hours and the need of a room agree to 1e-9."""
    page.goto(f"{served}compare/")
    rng = random.Random(9)  # noqa: S311 - numbers to try, no secret
    cases = [
        [rng.uniform(5, 900), rng.uniform(3, 90), rng.uniform(2, 6), rng.uniform(1, 12)]
        for _ in range(300)
    ]
    found = page.evaluate(
        """(cases) => cases.map(([cadr, room, ceiling, ach]) => [
          window.benchReckon.airChanges(cadr, room, ceiling),
          window.benchFilters.need({ assumed: null }, { room, ceiling, ach }),
          window.benchReckon.costs(
            { power_w: 1, standby_w: null, price: 1, filter_change: cadr,
              filter_months: null, filter_hours: 100 * room },
            { tariff: 0.3, hours: ach, years: 5, discount: 0 }).filter_cost_year,
          window.benchReckon.costWithPrice(cadr, 10 * room, ach),
        ])""",
        cases,
    )
    for (cadr, room, ceiling, ach), (changes, need, filters, owning) in zip(
        cases, found, strict=True
    ):
        assert changes == pytest.approx(air_changes(cadr, room * ceiling), rel=1e-9)
        assert need == pytest.approx(room * ceiling * ach, rel=1e-9)
        months = 100 * room / (ach * 30.4167)
        expected = filters_per_year([FilterCost(cadr, months)])
        assert filters == pytest.approx(expected, rel=1e-9)
        spread = cost_with_price(cadr, 10 * room, ach)
        assert owning == pytest.approx(spread, rel=1e-9)
    exported = page.evaluate("Object.keys(window.benchReckon).sort()")
    # A formula that is added here wants its comparison with Python above, in
    # test_scripts.py or in test_cost_ends.py.
    assert exported == [
        "airChanges",
        "byOwn",
        "capOfOne",
        "costEnds",
        "costWithPrice",
        "costs",
        "floorArea",
        "severalUnits",
        "unitsNeeded",
    ]


def _amounts(page: Page, column: str) -> list[float]:
    """Return a column's amounts in the order of the rows, those that are known."""
    texts = page.evaluate(
        """(column) => {
          const table = document.querySelector('#everything table');
          const heads = Array.from(table.tHead.rows[0].cells);
          const at = heads.findIndex((head) => head.dataset.name === column);
          const cells = Array.from(table.querySelectorAll('tbody tr')).map(
            (row) => row.cells[at]);
          return cells.map(
            (cell) => (cell.firstChild ? cell.firstChild.textContent : ''));
        }""",
        column,
    )
    found = [text.strip("€").replace(",", "") for text in texts]
    return [float(text) for text in found if text.replace(".", "").isdigit()]


@pytest.mark.parametrize("path", ["tables/upkeep/", "c/five-years/"])
def test_rows_stand_by_the_readers_amounts(page: Page, served: str, path: str) -> None:
    """What aria-sort says of a column of costs is true of what stands in it."""
    page.goto(f"{served}{path}?tariff=2&hours=24")
    head = page.locator("#everything th[aria-sort]")
    column = head.get_attribute("data-name") or ""
    assert head.get_attribute("aria-sort") == "ascending"
    amounts = _amounts(page, column)
    assert len(amounts) > 3
    assert amounts == sorted(amounts)
    page.locator("details", has=page.locator("#settings")).evaluate_all(
        "(all) => all.forEach((one) => { one.open = true; })"
    )
    page.locator("#own-numbers").evaluate("(one) => { one.open = true; }")
    page.get_by_label("Hours a day").fill("1")
    again = _amounts(page, column)
    assert again != amounts
    assert again == sorted(again)


def test_rooms_say_what_they_are_reckoned_with(page: Page, served: str) -> None:
    """Sentence, heads, rows and mark follow the reader; bounds are those of a table."""
    page.goto(f"{served}devices/ruddlesk-merl-200/?ach=3&ceiling=3&cap=45")
    expect(page.locator("#rooms-assumed")).to_contain_text(
        "For 3 air changes an hour under a ceiling of 3 m, with the lower limit"
    )
    expect(page.locator("#rooms-cap")).to_have_text("for 45 dB(A) of all")
    expect(page.locator("#own-rooms")).to_contain_text("Ceiling, m: 3; Air changes")
    row = page.locator("tr[data-room='25'] [data-name]")
    volume, machines = row.nth(0).inner_text(), row.nth(1).inner_text()
    assert volume == "25 m², 75 m³"
    least = float(page.get_attribute("#own-room", "data-least") or "")
    assert int(machines) == -(-3 * 75 // least)
    page.goto(f"{served}devices/ruddlesk-merl-200/?room=999999999&cap=999")
    expect(page.locator("#own-room-row")).to_be_hidden()
    expect(page.locator("#own-floor")).to_have_value("")
    page.goto(f"{served}devices/ruddlesk-merl-200/?room=30&tariff=0.5&u=us")
    more = page.get_by_role("link", name="These settings, all by your own numbers")
    to = more.get_attribute("href") or ""
    assert "tariff=0.5" in to
    assert "u=us" in to
    assert "room=30" in to


def test_a_choice_of_units_goes_before_memory(
    context: BrowserContext, served: str
) -> None:
    """With US units remembered, an address that asks for metric ones stays metric."""
    page = context.new_page()
    page.goto(f"{served}devices/?u=us")
    page.locator(".own-line:visible").get_by_label("Remember").check()
    page.goto(f"{served}devices/?u=metric")
    expect(page.locator("#units-shown")).to_have_value("metric")
    expect(page.locator(".own-line:visible")).to_contain_text("remembers other numbers")
    page.reload()
    expect(page.locator("#units-shown")).to_have_value("metric")
    context.close()
