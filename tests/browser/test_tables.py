"""Tables are sorted by mouse and keyboard, and choose what is compared."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser

TABLE = ".results table"


def _values(page: Page, name: str) -> list[str | None]:
    """Return the sort values of a column, from top to bottom."""
    found: list[str | None] = page.evaluate(
        """(name) => {
          const table = document.querySelector('.results table');
          const heads = Array.from(table.tHead.rows[0].cells);
          const at = heads.findIndex((head) => head.dataset.name === name);
          return Array.from(table.tBodies[0].rows).map(
            (row) => row.cells[at].dataset.value || null);
        }""",
        name,
    )
    return found


def _costs(page: Page) -> list[float | None]:
    """Return the yearly running costs as a reader sees them, from top to bottom."""
    texts: list[str] = page.evaluate(
        """() => {
          const table = document.querySelector('.results table');
          const at = table.querySelector('th[data-name=running_cost_year]').cellIndex;
          return Array.from(table.tBodies[0].rows).map(
            (row) => row.cells[at].textContent);
        }"""
    )
    return [
        float(text[1:].replace(",", "")) if text.startswith("€") else None
        for text in texts
    ]


def _check(values: list[str | None], *, falling: bool) -> None:
    """Hold that numbers are in order and that what is missing stands last."""
    known = [float(value) for value in values if value is not None]
    assert known == sorted(known, reverse=falling)
    assert values[: len(known)] == [value for value in values if value is not None]


@pytest.fixture
def table(page: Page, served: str) -> Page:
    """The table of everything."""
    page.goto(f"{served}tables/everything/")
    return page


def test_the_table_comes_sorted(table: Page) -> None:
    """The server has sorted by CADR, and the head says so."""
    head = table.locator(f"{TABLE} th[data-name=cadr_m3h]")
    expect(head).to_have_attribute("aria-sort", "descending")
    _check(_values(table, "cadr_m3h"), falling=True)


def test_a_press_sorts_and_another_turns_it_round(table: Page) -> None:
    """Sound is sorted quietest first, then loudest; what is missing stays last."""
    head = table.locator(f"{TABLE} th[data-name=sound_dba]")
    head.get_by_role("button").click()
    expect(head).to_have_attribute("aria-sort", "ascending")
    values = _values(table, "sound_dba")
    _check(values, falling=False)
    assert values[-1] is None
    head.get_by_role("button").click()
    expect(head).to_have_attribute("aria-sort", "descending")
    values = _values(table, "sound_dba")
    _check(values, falling=True)
    assert values[-1] is None
    assert table.locator(f"{TABLE} th[aria-sort]").count() == 1


def test_the_keyboard_sorts_too(table: Page) -> None:
    """A head's button is reached with the Tab key and pressed with Enter and Space."""
    button = table.locator(f"{TABLE} th[data-name=cadr_m3h] button")
    button.focus()
    table.keyboard.press("Tab")
    table.keyboard.press("Tab")
    head = table.locator(f"{TABLE} th[data-name=clearance_min]")
    expect(head.get_by_role("button")).to_be_focused()
    table.keyboard.press("Enter")
    expect(head).to_have_attribute("aria-sort", "ascending")
    _check(_values(table, "clearance_min"), falling=False)
    table.keyboard.press("Space")
    expect(head).to_have_attribute("aria-sort", "descending")
    _check(_values(table, "clearance_min"), falling=True)


def test_equal_rows_keep_their_order(table: Page) -> None:
    """Sorting is stable: rows of one value stay as the sort before left them."""
    buttons = {
        name: table.locator(f"{TABLE} th[data-name={name}] button")
        for name in ("cadr_m3h", "sound_dba")
    }
    buttons["sound_dba"].click()
    both = list(
        zip(_values(table, "sound_dba"), _values(table, "cadr_m3h"), strict=True)
    )
    levels = [level for level, _ in both if level is not None]
    assert len(levels) > len(set(levels)), "the demo has settings of one level"
    for level in set(levels):
        group = [float(cadr) for found, cadr in both if found == level and cadr]
        assert group == sorted(group, reverse=True)


def test_chosen_rows_lead_to_the_compare_page(table: Page) -> None:
    """Two rows ticked are the two that the compare page shows."""
    boxes = table.locator(f"{TABLE} .choose input")
    names = [
        boxes.nth(at).evaluate("(box) => box.closest('tr').dataset.c") for at in (0, 2)
    ]
    boxes.nth(0).check()
    boxes.nth(2).check()
    table.get_by_role("link", name="Compare the chosen rows").click()
    table.wait_for_url("**/compare/**")
    shown = table.locator("#chosen-table tbody tr")
    expect(shown).to_have_count(2)
    assert f"c={','.join(str(name) for name in names)}" in table.url


def test_a_table_keeps_its_state_in_its_address(chromium: Browser, served: str) -> None:
    """Filters, units and sorting of a table open again from its address."""
    first = chromium.new_context().new_page()
    first.goto(f"{served}tables/everything/")
    whole = first.locator(f"{TABLE} tbody tr:visible").count()
    first.get_by_label("Sound at most, dB(A)").fill("38")
    first.get_by_label("Units").select_option("us")
    first.locator(f"{TABLE} th[data-name=power_w] button").click()
    rows = first.locator(f"{TABLE} tbody tr:visible th")
    assert 0 < rows.count() < whole
    expect(first.locator(f"{TABLE} thead")).to_contain_text("cfm")
    second = chromium.new_context().new_page()
    second.goto(first.url)
    again = second.locator(f"{TABLE} tbody tr:visible th")
    assert again.all_inner_texts() == rows.all_inner_texts()
    assert "sort=power_w" in first.url
    assert "f.sound_dba=..38" in first.url


def test_what_is_shown_can_be_downloaded(table: Page) -> None:
    """The file has the visible rows, in their order, and numbers as published."""
    table.get_by_label("Sound at most, dB(A)").fill("36")
    table.locator(f"{TABLE} th[data-name=cadr_m3h] button").click()
    with table.expect_download() as started:
        table.get_by_role("button", name="Download what is shown").click()
    assert started.value.suggested_filename == "everything.csv"
    text = Path(started.value.path()).read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    visible = table.locator(f"{TABLE} tbody tr:visible")
    names = visible.evaluate_all("(rows) => rows.map((row) => row.dataset.c)")
    assert [f"{r['device']}.{r['filter']}.{r['speed']}" for r in rows] == names
    levels = [float(row["sound_dba"]) for row in rows]
    assert max(levels) <= 36
    cadrs = [float(row["cadr_m3h"]) for row in rows if row["cadr_m3h"]]
    assert cadrs == sorted(cadrs)
    assert "cadr_low" in rows[0]
    assert rows[0]["currency"] == "EUR"
    assert float(rows[0]["tariff_per_kwh"]) == 0.31


def test_own_tariff_changes_costs_and_says_so(table: Page) -> None:
    """Twice the tariff raises running costs, never sinks them, and is marked."""
    before = _costs(table)
    table.get_by_text("Reckon with your own room").click()
    table.get_by_label("Price of one kWh, EUR").fill("0.62")
    after = _costs(table)
    assert len(before) == len(after)
    pairs = [(old, new) for old, new in zip(before, after, strict=True) if old and new]
    assert pairs
    assert all(new > old for old, new in pairs)
    expect(table.locator("#own")).to_contain_text("0.62 EUR per kWh")
    table.locator(f"{TABLE} th[data-name=running_cost_year] button").click()
    ordered = _costs(table)
    known = [cost for cost in ordered if cost is not None]
    assert known == sorted(cost for cost in after if cost is not None)
    assert ordered[: len(known)] == known


def test_the_home_page_finds_for_a_room(page: Page, served: str) -> None:
    """A floor area is answered for that very room, and the link leads on with it."""
    page.goto(served)
    page.get_by_label("Floor of your room, m²").fill("14")
    shown = page.locator("#finder-table tbody:visible")
    expect(shown).to_have_count(1)
    expect(shown.locator("th[scope=rowgroup]")).to_contain_text("14.0 m²")
    assert shown.get_attribute("data-area") is None
    page.get_by_role("link", name="All settings in this room, in one table").click()
    page.wait_for_url("**/compare/?v=1&room=14")
    expect(page.get_by_label("Floor of your room, m²")).to_have_value("14")


def test_what_a_cell_says_beside_its_number_stays_in_other_units(table: Page) -> None:
    """In cfm the marks of other methods and the numbers of runs still stand there."""
    before = table.locator(f"{TABLE} .apart-mark").count()
    runs = table.locator(f"{TABLE} small.setting").count()
    assert before
    assert runs
    table.get_by_label("Units").select_option("us")
    expect(table.locator(f"{TABLE} th[data-name=cadr_m3h] .unit")).to_have_text("cfm")
    assert table.locator(f"{TABLE} .apart-mark").count() == before
    assert table.locator(f"{TABLE} small.setting").count() == runs
