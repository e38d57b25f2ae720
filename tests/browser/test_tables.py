"""Tables are sorted by mouse and keyboard, and choose what is compared."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

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
    names = [boxes.nth(at).get_attribute("value") for at in (0, 2)]
    boxes.nth(0).check()
    boxes.nth(2).check()
    table.get_by_role("link", name="Compare the chosen rows").click()
    table.wait_for_url("**/compare/**")
    shown = table.locator("#chosen-table tbody tr")
    expect(shown).to_have_count(2)
    assert f"c={','.join(str(name) for name in names)}" in table.url
