"""The compare page: its address holds all that is shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import watch

pytestmark = pytest.mark.browser

CHOSEN = "quelmarrow-q7.q7-cassette.s3,netloft-box.panel-50-m13.s3"
QUERY = (
    f"v=1&c={CHOSEN}&figure=scatter&sort=sound_dba&f.sound_dba=..52"
    "&u=us&tariff=0.5&room=20&cap=46"
)


def _view(page: Page) -> list[str]:
    """Return what is seen of a comparison, as text."""
    found = [
        page.locator(part).inner_text()
        for part in ("#chosen-table", "#own", "#shown", "#page-address")
    ]
    found.append(page.locator("#chosen-figure svg desc").text_content() or "")
    found += page.locator("#everything tbody tr:visible th").all_inner_texts()
    return found


def test_an_address_opens_the_same_view_anywhere(
    chromium: Browser, served: str
) -> None:
    """A copied address shows the same in a browser that has never been here."""
    first = chromium.new_context().new_page()
    first.goto(f"{served}compare/")
    first.get_by_label("Sound at most, dB(A)").fill("50")
    first.get_by_label("Units").select_option("us")
    first.locator("#everything .choose input:visible").nth(1).check()
    first.locator("#everything .choose input:visible").nth(4).check()
    first.get_by_text("Reckon with your own room").click()
    first.get_by_label("Price of one kWh, EUR").fill("0,41")
    first.get_by_label("Floor of your room, m²").fill("18")
    first.get_by_label("Figure", exact=True).select_option("scatter")
    first.locator("#everything th[data-name=sound_dba] button").click()
    address = first.url
    assert "tariff=0.41" in address
    assert "f.sound_dba=..50" in address
    second = chromium.new_context().new_page()
    watched = watch(second)
    second.goto(address)
    assert _view(second) == _view(first)
    assert second.url == address
    assert watched.errors == []


def test_what_is_asked_is_shown(page: Page, served: str) -> None:
    """Rows, units, tariff, room and cap of an address are all applied."""
    page.goto(f"{served}compare/?{QUERY}")
    rows = page.locator("#chosen-table tbody tr")
    expect(rows).to_have_count(2)
    # The quieter one first, as the address asks.
    expect(rows.nth(0)).to_contain_text("Q7")
    head = page.locator("#chosen-table thead")
    expect(head).to_contain_text("cfm")
    expect(head).to_contain_text("Air changes per hour in your room")
    expect(rows.nth(1)).to_contain_text("over your quiet cap")
    expect(page.locator("#own")).to_contain_text("0.5 EUR per kWh")
    visible = page.locator("#everything tbody tr:visible")
    levels = visible.evaluate_all(
        """(rows) => {
          const heads = Array.from(
            document.querySelectorAll('#everything thead th'));
          const at = heads.findIndex((h) => h.dataset.name === 'sound_dba');
          return rows.map((row) => Number(row.cells[at].dataset.value));
        }"""
    )
    assert levels
    assert max(levels) <= 52
    assert levels == sorted(levels)


def test_what_is_gone_or_malformed_is_told(page: Page, served: str) -> None:
    """An address with errors shows the rest, and says what was left out."""
    page.goto(f"{served}compare/?v=1&c=no.such.one,{CHOSEN}&colour=red&hours=30")
    notes = page.locator("#notes")
    expect(notes).to_be_visible()
    expect(notes).to_contain_text("no.such.one")
    expect(notes).to_contain_text("colour")
    expect(notes).to_contain_text("30")
    expect(page.locator("#chosen-table tbody tr")).to_have_count(2)


def test_an_address_cannot_bring_markup(page: Page, served: str) -> None:
    """Markup in an address is shown as text and does nothing."""
    page.goto(f"{served}compare/?q=%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E&z=%3Cb%3E")
    assert page.locator("#notes img, #notes b, #settings img").count() == 0
    expect(page.locator("#in-text")).to_have_value("<img src=x onerror=alert(1)>")


def test_own_room_and_cap_stand_in_every_row(page: Page, served: str) -> None:
    """Every row says the air changes in the reader's room, and what is over the cap."""
    page.goto(f"{served}compare/?v=1&room=20&ceiling=2.5&cap=46")
    row = page.locator("#everything tbody tr[data-c='netloft-box.panel-50-m13.s3']")
    found = row.evaluate(
        """(row) => {
          const heads = Array.from(
            document.querySelectorAll('#everything thead th'));
          const cell = (name) =>
            row.cells[heads.findIndex((head) => head.dataset.name === name)];
          const cadr = cell('cadr_m3h');
          return [cadr.dataset.value, cadr.querySelector('.own').textContent,
            cell('sound_dba').textContent];
        }"""
    )
    cadr, said, sound = found
    number = float(said.split()[0])
    assert number == pytest.approx(float(cadr) / 50, rel=0.02)
    assert said.endswith("air changes per hour")
    assert "over your quiet cap" in sound
    expect(page.locator("#own")).to_contain_text("a room of 20 m²")
    expect(page.locator("#own")).to_contain_text("a ceiling at 2.5 m")
    page.get_by_role("button", name="Show everything").click()
    expect(page.locator("#everything td .own")).to_have_count(0)


def test_the_keyboard_stays_where_a_row_was_left_out(page: Page, served: str) -> None:
    """After a row goes, the next row's button has the keyboard, at last the search."""
    page.goto(f"{served}compare/?{QUERY}")
    page.get_by_role("button", name="Leave out").first.press("Enter")
    expect(page.get_by_role("button", name="Leave out")).to_be_focused()
    page.get_by_role("button", name="Leave out").press("Enter")
    expect(page.get_by_role("combobox", name="Add to your comparison")).to_be_focused()


def test_what_has_no_value_is_named_beside_the_figure(page: Page, served: str) -> None:
    """A chosen row without a value of an axis is not drawn, and said to be left out."""
    page.goto(f"{served}tables/everything/")
    bare = page.locator("tbody tr").evaluate_all(
        """(rows) => {
          const heads = Array.from(document.querySelectorAll('thead th'));
          const value = (row, name) =>
            row.cells[heads.findIndex((h) => h.dataset.name === name)].dataset.value;
          const found = rows.find((row) => value(row, 'cadr_m3h')
            && !value(row, 'sound_dba'));
          return [found.dataset.c, found.querySelector('th a').textContent.trim()];
        }"""
    )
    page.goto(f"{served}compare/?v=1&c={CHOSEN},{bare[0]}&figure=scatter")
    figure = page.locator("#chosen-figure")
    expect(figure).to_contain_text("Not drawn, since a value was not measured:")
    expect(figure.locator("p")).to_contain_text(bare[1])
    page.get_by_label("Figure", exact=True).select_option("ranked")
    expect(figure.locator("p")).to_have_text("")


def test_leaving_out_and_clearing(page: Page, served: str) -> None:
    """A row can be left out, and all settings go back at one press."""
    page.goto(f"{served}compare/?{QUERY}")
    page.get_by_role("button", name="Leave out").first.click()
    expect(page.locator("#chosen-table tbody tr")).to_have_count(1)
    page.get_by_role("button", name="Show everything").click()
    shown = page.locator("#everything tbody tr:visible")
    assert shown.count() == page.locator("#everything tbody tr").count()
    assert "tariff" not in page.url
    page.get_by_role("button", name="Choose none").click()
    expect(page.locator("#chosen")).to_be_hidden()
    assert page.url == f"{served}compare/"


def test_a_named_comparison_keeps_its_state_in_its_address(
    chromium: Browser, served: str
) -> None:
    """Units, tariff and sorting of a named comparison open again from its address."""
    place = f"{served}c/merl-200-filters/"
    first = chromium.new_context().new_page()
    first.goto(place)
    first.get_by_text("Sort out rows, other units").click()
    first.get_by_label("Units").select_option("us")
    first.get_by_text("Reckon with your own room").click()
    first.get_by_label("Price of one kWh, EUR").fill("0.5")
    first.locator("#everything th[data-name=sound_dba] button").click()
    assert first.url.startswith(f"{place}?")
    expect(first.locator("#page-address")).to_contain_text("tariff=0.5")
    second = chromium.new_context().new_page()
    second.goto(first.url)
    table = second.locator("#everything table")
    assert table.inner_text() == first.locator("#everything table").inner_text()
    expect(second.locator("#own")).to_be_visible()
    expect(second.locator("#own")).to_contain_text("0.5 EUR per kWh")
    expect(table).to_contain_text("cfm")


def test_two_quantities_show_the_best_trade_offs(page: Page, served: str) -> None:
    """A dashed line joins what no other of the chosen beats on both counts."""
    rows = page.request.get(f"{served}data/results.csv").text().splitlines()[1:]
    names = [
        ".".join(line.split(",")[:3])
        for line in rows
        if ",decay-v2,pm2_5," in line and line.split(",")[8] == ""
    ][:6]
    page.goto(f"{served}compare/?v=1&c={','.join(names)}&figure=scatter")
    drawing = page.locator("#chosen-figure svg")
    expect(drawing).to_be_visible()
    expect(drawing.locator("path.edge")).to_have_count(1)


@pytest.mark.parametrize(("kind", "starts"), [("svg", b"<svg"), ("png", b"\x89PNG")])
def test_the_figure_is_saved_as_a_file(
    page: Page, served: str, kind: str, starts: bytes
) -> None:
    """What is saved is a whole drawing of that kind, with colours of its own."""
    page.goto(f"{served}compare/?v=1&c={CHOSEN}&figure=ranked")
    with page.expect_download() as waited:
        page.locator(f"#save-{kind}").click()
    data = Path(waited.value.path()).read_bytes()
    assert data.startswith(starts)
    assert b"var(--" not in data
    assert waited.value.suggested_filename == f"compare-cadr_m3h.{kind}"
