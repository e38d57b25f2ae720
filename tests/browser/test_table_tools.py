"""Tables answer what a reader asks: which rows, which columns, how sure, how sorted."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import serving
from tests.browser.large import large_table

pytestmark = pytest.mark.browser

TABLE = ".results table"


@pytest.fixture
def table(page: Page, served: str) -> Page:
    """The table of everything."""
    page.goto(f"{served}tables/everything/")
    return page


def _column(page: Page, name: str) -> list[str]:
    """Return the texts of a column in the rows shown."""
    found: list[str] = page.evaluate(
        """(name) => {
          const table = document.querySelector('.results table');
          const at = Array.from(table.tHead.rows[0].cells)
            .findIndex((head) => head.dataset.name === name);
          return Array.from(table.querySelectorAll('tbody tr'))
            .filter((row) => !row.hidden)
            .map((row) => row.cells[at].dataset.value || '');
        }""",
        name,
    )
    return found


def test_a_filter_class_leaves_its_rows(table: Page) -> None:
    """Only settings with a filter of the class stay, as the address says."""
    whole = _column(table, "filter_class")
    table.get_by_role("combobox", name="Filter class").select_option("H13")
    left = _column(table, "filter_class")
    assert left
    assert set(left) == {"h13"}
    assert len(left) == whole.count("h13")
    table.goto(table.url)
    assert _column(table, "filter_class") == left
    expect(table.get_by_role("combobox", name="Filter class")).to_have_value("H13")


def test_classes_are_offered_by_their_numbers(table: Page) -> None:
    """MERV 8 stands before MERV 13."""
    names = table.locator("#in-class option").all_inner_texts()
    merv = [int(name.split()[1]) for name in names if name.startswith("MERV")]
    assert len(merv) > 1
    assert merv == sorted(merv)


def test_the_need_of_a_room_leaves_what_serves_it(table: Page) -> None:
    """By 25 m² and 4 changes, 240 m³/h by the lower limit, at the archive's 2.4 m."""
    table.get_by_text("Reckon with your own room").click()
    table.get_by_label("Floor of your room, m²").fill("25")
    table.get_by_label("Air changes an hour in it, at least").fill("4")
    shown = table.locator(f"{TABLE} tbody tr:visible")
    names = shown.evaluate_all("(rows) => rows.map((row) => row.dataset.c)")
    data = table.evaluate(
        """() => window.benchCells.rowsOf(
          JSON.parse(document.getElementById('rows').textContent))
          .map((row) => [row.configuration, row.cadr_low])"""
    )
    assert sorted(names) == sorted(n for n, low in data if low and low >= 240)
    assert 0 < len(names) < len(data)
    expect(table.locator("#own")).to_contain_text("at least 4 air changes an hour")
    table.get_by_label("Floor of your room, m²").fill("")
    expect(table.locator("#own")).to_contain_text("which need the floor of a room")


def test_clean_air_can_be_asked_for(table: Page) -> None:
    """A least flow keeps rows that give it, with a decimal comma as with a point."""
    table.get_by_label("Clean air at least, m³/h").fill("300,5")
    flows = [float(each) for each in _column(table, "cadr_m3h")]
    assert flows
    assert min(flows) >= 300.5
    assert "f.cadr_m3h=300.5.." in table.url


def test_a_price_stands_in_its_column_and_sorts(table: Page) -> None:
    """Prices are sorted as numbers, cheapest first, and turn into another currency."""
    table.locator(f"{TABLE} th[data-name=price] button").click()
    known = [float(each) for each in _column(table, "price") if each]
    assert known == sorted(known)
    assert "sort=price" in table.url
    again = table.context.new_page()
    again.goto(table.url)
    assert _column(again, "price") == _column(table, "price")
    first = table.locator(f"{TABLE} tbody tr").first
    table.get_by_text("Reckon with your own room").click()
    table.get_by_label("Your currency").fill("NOK")
    table.get_by_label("What 1 EUR buys of it").fill("10")
    at = table.locator(f"{TABLE} th[data-name=price]").evaluate("(h) => h.cellIndex")
    shown = first.locator("> *").nth(at).inner_text()
    assert "NOK" in shown
    digits = "".join(sign for sign in shown if sign.isdigit() or sign == ".")
    assert float(digits) == pytest.approx(known[0] * 10, abs=0.01)


def test_columns_are_chosen_and_kept_in_the_address(table: Page) -> None:
    """What is unticked is gone, also from the file, and stays so in a fresh page."""
    table.get_by_text("Columns", exact=True).click()
    box = table.get_by_role("checkbox", name="Power")
    box.uncheck()
    expect(box).to_be_focused()
    expect(table.locator(f"{TABLE} th[data-name=power_w]")).to_be_hidden()
    again = table.context.new_page()
    again.goto(table.url)
    heads = f"{TABLE} thead th:visible"
    assert (
        again.locator(heads).all_inner_texts() == table.locator(heads).all_inner_texts()
    )
    with again.expect_download() as started:
        again.get_by_role("button", name="Download what is shown").click()
    first = Path(started.value.path()).read_text(encoding="utf-8").splitlines()[0]
    assert "power_w" not in first.split(",")
    assert "sound_dba" in first.split(",")
    again.get_by_role("button", name="Show everything").click()
    expect(again.locator(f"{TABLE} th[data-name=power_w]")).to_be_visible()
    assert "cols" not in again.url


def test_the_last_column_stays(table: Page, served: str) -> None:
    """The only column left cannot be unticked; unknown ones are named in a note."""
    table.goto(f"{served}tables/everything/?v=1&cols=power_w,beauty")
    table.get_by_text("Columns", exact=True).click()
    expect(table.get_by_role("checkbox", name="Power")).to_be_disabled()
    expect(table.locator("#notes")).to_contain_text("cols = beauty")


def test_a_new_order_is_told_and_the_focus_stays(table: Page) -> None:
    """A screen reader hears column and direction; the button keeps the keyboard."""
    told = table.locator(".heard")
    expect(told).to_be_empty()
    button = table.locator(f"{TABLE} th[data-name=sound_dba] button")
    button.focus()
    table.keyboard.press("Enter")
    expect(told).to_have_text("Sorted by Sound level, smallest first.")
    expect(button).to_be_focused()
    table.keyboard.press("Enter")
    expect(told).to_have_text("Sorted by Sound level, largest first.")
    table.locator(f"{TABLE} th[data-name=filter_class] button").click()
    expect(told).to_have_text("Sorted by Filter class, A to Z.")
    assert told.get_attribute("role") == "status"


def test_a_row_that_is_moved_keeps_the_focus(table: Page) -> None:
    """Sorting by other means leaves the keyboard on the link where it was."""
    link = table.locator(f"{TABLE} tbody th a").nth(4)
    link.focus()
    name = link.evaluate("(link) => link.closest('tr').dataset.c")
    table.locator(f"{TABLE} th[data-name=power_w] button").evaluate("(b) => b.click()")
    focused = "() => document.activeElement.closest('tr').dataset.c"
    assert table.evaluate(focused) == name


@pytest.mark.parametrize("width", [360, 1440])
def test_heads_and_first_column_stay_in_view(
    chromium: Browser, served: str, width: int
) -> None:
    """However the table is scrolled in its frame, both stand at its edges."""
    context = chromium.new_context(viewport={"width": width, "height": 800})
    page = context.new_page()
    page.goto(f"{served}tables/everything/")
    frame = page.locator(".frame.results")
    frame.scroll_into_view_if_needed()
    frame.evaluate("(frame) => frame.scrollTo(300, 1500)")
    edges = frame.evaluate(
        """(frame) => {
          const head = frame.querySelector('thead th[data-name=device]');
          const rows = Array.from(frame.querySelectorAll('tbody th'));
          const at = frame.getBoundingClientRect();
          const row = rows.find(
            (cell) => cell.getBoundingClientRect().top > at.top + 150);
          return [frame.scrollTop, head.getBoundingClientRect().top - at.top,
            head.getBoundingClientRect().left - at.left,
            row.getBoundingClientRect().left - at.left];
        }"""
    )
    context.close()
    assert edges[0] == 1500
    # One pixel is the frame's own rule.
    assert edges[1:] == [1, 0, 0]


def test_intervals_are_drawn_without_scripts(chromium: Browser, served: str) -> None:
    """With scripts off every cell with an interval has its bar, on one scale."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{served}tables/everything/")
    first = page.locator(f"{TABLE} tbody tr").first
    assert first.locator("small.ranged").count() == 3
    assert page.locator(f"{TABLE} small.ranged").count() > 200
    drawn = page.locator(f"{TABLE} small.ranged:not(.beyond)").evaluate_all(
        r"""(bars) => bars.map((bar) => {
          const line = getComputedStyle(bar, '::before');
          const [, low, high] = bar.className.match(/ l(\d+) r(\d+)/);
          const place = Math.min(bar.clientWidth, 96) / 96;
          return [parseFloat(line.width), (high - low) * place, line.borderBottomWidth];
        })"""
    )
    assert all(width == pytest.approx(long, abs=0.5) for width, long, _ in drawn)
    assert {thick for *_, thick in drawn} == {"2px"}
    context.close()


def test_bars_are_seen_in_forced_colours(chromium: Browser, served: str) -> None:
    """The bar is drawn in the reader's own text colour."""
    context = chromium.new_context(forced_colors="active")
    page = context.new_page()
    page.goto(f"{served}tables/everything/")
    same = page.locator("small.ranged").first.evaluate(
        """(bar) => getComputedStyle(bar, '::before').borderBottomColor
          === getComputedStyle(bar.closest('td')).color"""
    )
    context.close()
    assert same


def test_other_units_keep_the_bars(table: Page) -> None:
    """In cfm the numbers change and the drawn intervals stay, being in proportion."""
    before = table.locator(f"{TABLE} small.ranged").count()
    table.get_by_label("Units").select_option("us")
    expect(table.locator(f"{TABLE} thead")).to_contain_text("cfm")
    assert table.locator(f"{TABLE} small.ranged").count() == before


def test_five_thousand_rows_are_sorted(page: Page, tmp_path: Path) -> None:
    """Rows out of sight are not laid out, and still sorted, and still a table."""
    path = large_table(tmp_path, 1000)
    with serving(tmp_path) as address:
        page.goto(f"{address}{path}")
        assert page.locator(f"{TABLE} tbody tr").count() == 5000
        row = page.locator(f"{TABLE} tbody tr").nth(4000)
        body = "(row) => getComputedStyle(row.closest('tbody')).contentVisibility"
        assert row.evaluate(body) == "auto"
        kept = page.locator(".frame.tall").evaluate(
            """(frame) => {
              frame.scrollTop = 9000;
              const head = frame.querySelector('thead th:nth-child(2)');
              const gap = head.getBoundingClientRect().top
                - frame.getBoundingClientRect().top;
              frame.scrollTop = 0;
              return gap;
            }"""
        )
        # One pixel is the frame's own rule.
        assert kept == 1
        for name in ("sound_dba", "price", "price"):
            page.locator(f"{TABLE} th[data-name={name}] button").click()
        expect(page.locator(f"{TABLE} th[data-name=price]")).to_have_attribute(
            "aria-sort", "descending"
        )
        cells = page.locator(f"{TABLE} tbody tr td:nth-child(9)").all_text_contents()
        known = [float(each[1:]) for each in cells if each.startswith("€")]
        assert len(known) > 4000
        assert known == sorted(known, reverse=True)
        assert set(cells[len(known) :]) == {"not known"}
        # What has no layout is still a table to a screen reader.
        expect(page.get_by_role("table", name="Many")).to_be_visible()
        assert page.get_by_role("columnheader", name="CADR per watt").count() == 1


def test_a_long_table_is_filled_in_slices(page: Page, tmp_path: Path) -> None:
    """In other units the last of 1,000 rows, out of sight, changes too."""
    path = large_table(tmp_path, 200)
    with serving(tmp_path) as address:
        page.goto(f"{address}{path}")
        last = page.locator(f"{TABLE} tbody tr").last.locator("td").first
        before = last.text_content()
        page.get_by_label("Units").select_option("us")
        page.wait_for_function(
            """(before) => {
              const rows = document.querySelectorAll('.results tbody tr');
              return rows[rows.length - 1].cells[1].textContent !== before;
            }""",
            arg=before,
        )
        page.get_by_label("Units").select_option("metric")
        page.wait_for_function(
            """(before) => {
              const rows = document.querySelectorAll('.results tbody tr');
              return rows[rows.length - 1].cells[1].textContent === before;
            }""",
            arg=before,
        )


def test_rows_of_a_long_table_get_their_boxes_when_seen(
    page: Page, tmp_path: Path
) -> None:
    """A page of 1,000 rows comes without boxes; rows in sight have theirs."""
    path = large_table(tmp_path, 200)
    without = "(rows) => rows.filter((row) => !row.querySelector('.choose')).length"
    with serving(tmp_path) as address:
        assert b'class="choose"' not in (tmp_path / path).read_bytes()
        page.goto(f"{address}{path}")
        rows = page.locator(f"{TABLE} tbody tr")
        seen = rows.first.get_by_role("checkbox", name="Choose ")
        expect(seen).to_be_visible()
        assert rows.evaluate_all(without) > 500
        name = rows.first.get_attribute("data-c")
        seen.check()
        link = page.get_by_role("link", name="Compare the chosen rows")
        assert (link.get_attribute("href") or "").endswith(f"c={name}")
        last = rows.last
        last.scroll_into_view_if_needed()
        expect(last.locator(".choose input")).to_be_visible()
        page.locator(f"{TABLE} th[data-name=price] button").click()
        page.locator(f"{TABLE} th[data-name=price] button").click()
        rows.first.scroll_into_view_if_needed()
        for row in rows.all()[:3]:
            expect(row.locator(".choose")).to_have_count(1)
        assert page.locator(f"{TABLE} .choose input:checked").count() == 1
