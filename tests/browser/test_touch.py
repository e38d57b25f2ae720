"""Fingers: what can be read, sorted, chosen and opened by touch alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.test_own_comparison import BOX, CRATE, MERL

pytestmark = pytest.mark.browser

CHOSEN = f"compare/?v=1&c={BOX},{CRATE},{MERL}"


def _touched(chromium: Browser, width: int) -> Iterator[Page]:
    """A page of a width on a phone: no mouse, real touch events."""
    context = chromium.new_context(
        viewport={"width": width, "height": 800},
        has_touch=True,
        is_mobile=True,
        device_scale_factor=2,
    )
    yield context.new_page()
    context.close()


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    """A page on a phone."""
    yield from _touched(chromium, 390)


@pytest.fixture
def narrow(chromium: Browser) -> Iterator[Page]:
    """A page on a narrow phone."""
    yield from _touched(chromium, 360)


def _middle(found: Locator) -> tuple[float, float]:
    found.scroll_into_view_if_needed()
    box = found.bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def _tap(page: Page, found: Locator) -> None:
    page.touchscreen.tap(*_middle(found))


def _drag(page: Page, start: tuple[float, float], across: float) -> None:
    """Move one finger sideways, as the browser's own touch events."""
    session = page.context.new_cdp_session(page)

    def send(kind: str, x: float | None = None) -> None:
        points = [] if x is None else [{"x": x, "y": start[1]}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    send("touchStart", start[0])
    for step in range(1, 11):
        send("touchMove", start[0] + across * step / 10)
    send("touchEnd")
    session.detach()


def test_a_tap_reads_a_value_off_a_readers_own_figure(phone: Page, served: str) -> None:
    """The mark that is touched is named, with its unit and its interval."""
    phone.goto(f"{served}{CHOSEN}&figure=ranked")
    dots = phone.locator("#chosen-figure circle")
    expect(dots).to_have_count(3)
    said = phone.locator("#chosen-figure .chart-read")
    for at in range(3):
        named = dots.nth(at).locator("title").text_content() or ""
        assert re.search(r"m³/h \([\d,]+ to [\d,]+\)$", named)
        _tap(phone, dots.nth(at))
        assert said.inner_text() == named
    expect(phone.locator("#chosen-figure .chart-ring")).to_be_visible()


def test_a_finger_drawn_along_a_curve_reads_it(phone: Page, served: str) -> None:
    """Dragging to the right reads later times, with what the fit allows there."""
    phone.goto(f"{served}{CHOSEN}&figure=decay")
    chart = phone.locator("#chosen-figure .chart").first
    x, y = _middle(chart.locator("path.middle").first)
    said = phone.locator("#chosen-figure .chart-read").first
    phone.touchscreen.tap(x, y)
    first = said.inner_text()
    _drag(phone, (x, y), 60)
    then = said.inner_text()
    times = [re.search(r"after ([\d.]+) min", text) for text in (first, then)]
    assert times[0]
    assert times[1]
    assert float(times[1][1]) > float(times[0][1])
    assert "%" in then


@pytest.mark.parametrize("figure", ["ranked", "scatter", "decay"])
def test_the_arrow_keys_read_a_readers_own_figure(
    page: Page, served: str, figure: str
) -> None:
    """Every point can be had without pointing; the ends hold."""
    page.goto(f"{served}{CHOSEN}&figure={figure}")
    chart = page.locator("#chosen-figure .chart").first
    said = page.locator("#chosen-figure .chart-read").first
    chart.focus()
    page.keyboard.press("Home")
    first = said.inner_text()
    assert "Net Loft Box" in first
    page.keyboard.press("ArrowLeft")
    assert said.inner_text() == first
    page.keyboard.press("ArrowRight")
    assert said.inner_text() != first
    page.keyboard.press("End")
    last = said.inner_text()
    page.keyboard.press("ArrowRight")
    assert said.inner_text() == last
    if figure == "decay":
        page.keyboard.press("Home")
        page.keyboard.press("ArrowRight")
        found = re.search(
            r": ([\d.]+) % after [\d.]+ min"
            r" · the fit there, 95 %: ([\d.]+) to ([\d.]+)",
            said.inner_text(),
        )
        assert found
        value, low, high = (float(each) for each in found.groups())
        assert low < high
        # A reading scatters about the fit, so it need not lie between its limits.
        assert low * 0.9 < value < high * 1.1


def test_a_tap_sorts_a_table_and_chooses_its_rows(phone: Page, served: str) -> None:
    """Head and box answer a finger; the order is told, the choice goes along."""
    phone.goto(f"{served}tables/everything/")
    head = phone.locator("th", has=phone.get_by_role("button", name="Sound level"))
    _tap(phone, head.get_by_role("button"))
    expect(head).to_have_attribute("aria-sort", "ascending")
    boxes = phone.locator(".results tbody .choose input")
    _tap(phone, boxes.nth(0))
    expect(boxes.nth(0)).to_be_checked()
    link = phone.get_by_role("link", name="Compare the chosen row")
    expect(link).to_be_visible()


def test_a_tap_brings_a_line_to_the_fore(phone: Page, served: str) -> None:
    """The legend of a chart is pressed and let go by touch, and by the space bar."""
    phone.goto(f"{served}c/")
    addresses = phone.locator("main a[href*='c/'], main li a").evaluate_all(
        "(all) => all.map((one) => one.href)"
    )
    legend = phone.locator(".chart-tools .tool button[aria-pressed]")
    series = phone.get_by_role("group", name="Bring to the fore").locator("button")
    for address in addresses:
        phone.goto(address)
        figure = phone.locator("figure.figure").first
        if not figure.count():
            continue
        figure.scroll_into_view_if_needed()
        phone.wait_for_timeout(1500)
        if series.count() > 1:
            break
    assert series.count() > 1
    assert legend.count() >= series.count()
    _tap(phone, series.nth(1))
    expect(series.nth(1)).to_have_attribute("aria-pressed", "true")
    _tap(phone, series.nth(0))
    expect(series.nth(0)).to_have_attribute("aria-pressed", "true")
    expect(series.nth(1)).to_have_attribute("aria-pressed", "false")
    series.nth(0).focus()
    phone.keyboard.press("Space")
    expect(series.nth(0)).to_have_attribute("aria-pressed", "false")


def test_the_finder_answers_a_finger(phone: Page, served: str) -> None:
    """A floor typed after a tap is answered; a tap on the way back undoes it."""
    phone.goto(served)
    field = phone.get_by_label("Floor of your room")
    _tap(phone, field)
    expect(field).to_be_focused()
    phone.keyboard.type("20")
    answer = phone.locator("#finder-table tbody:not([hidden]) th[scope=rowgroup]")
    expect(answer).to_have_count(1)
    expect(answer).to_contain_text("20.0 m²")
    years = phone.get_by_label("Years")
    _tap(phone, years)
    phone.keyboard.type("1")
    shares = phone.locator("#finder-table tbody:not([hidden]) small.setting")
    expect(shares.first).to_be_visible()
    assert any("in one year" in text for text in shares.all_inner_texts())
    _tap(phone, phone.get_by_role("button", name="Empty all fields"))
    expect(answer).to_have_count(5)


NUMBERS = {
    "Floor of your room": ("room", "20"),
    "Ceiling": ("ceiling", "2.6"),
    "Sound of all at most": ("cap", "45"),
    "Price of all at most": ("budget", "300"),
    "Air changes an hour": ("ach", "4"),
    "Hours a day": ("hours", "24"),
    "Price of one kWh": ("tariff", "0,5"),
    "Years": ("years", "2"),
}


def test_every_field_of_the_finder_takes_a_finger(phone: Page, served: str) -> None:
    """Each field, tapped and typed into, has its say in address and answer."""
    phone.goto(served)
    form = phone.get_by_role("form", name="Your room and what you accept")
    answer = phone.locator("#finder-table tbody:not([hidden])")
    answers = []
    for label, (_, text) in NUMBERS.items():
        field = form.get_by_label(label, exact=False)
        _tap(phone, field)
        expect(field).to_be_focused()
        phone.keyboard.type(text)
        expect(answer).to_have_count(1)
        answers.append(answer.inner_text())
    assert all(before != after for before, after in pairwise(answers))
    kept = parse_qs(urlsplit(phone.url).query)
    assert kept == {name: [text.replace(",", ".")] for name, text in NUMBERS.values()}
    _tap(phone, phone.get_by_role("link", name="All settings in this room"))
    phone.wait_for_url("**/compare/**room=20&ceiling=2.6&cap=45&hours=24&tariff=0.5**")


def test_the_finders_fields_are_large_enough_for_a_finger(
    narrow: Page, served: str
) -> None:
    """At 360 px no field is low, small in print, or out of sight sideways."""
    narrow.goto(f"{served}?room=20")
    fields = narrow.locator("#finder-form input:not([type=checkbox])")
    expect(fields).to_have_count(11)
    for field in fields.all():
        box = field.bounding_box()
        assert box
        assert box["height"] >= 32
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 360
        # Telephones enlarge the page when smaller print is typed into.
        print_px = field.evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)")
        assert print_px >= 16


def test_the_head_leads_on_by_touch(narrow: Page, served: str) -> None:
    """At 360 px every link of the head is in sight, and a tap goes where it says."""
    narrow.goto(served)
    links = narrow.locator(".head nav").get_by_role("link")
    count = links.count()
    assert count > 3
    boxes = [box for one in links.all() if (box := one.bounding_box())]
    assert len(boxes) == count
    assert all(box["x"] >= 0 and box["x"] + box["width"] <= 360 for box in boxes)
    assert all(box["height"] >= 24 for box in boxes)
    for at in range(count):
        narrow.goto(served)
        name = links.nth(at).inner_text()
        _tap(narrow, links.nth(at))
        current = narrow.locator(".head nav a[aria-current]")
        expect(current).to_have_text(name)
        assert narrow.url != served
        _tap(narrow, narrow.locator(".archive a"))
        narrow.wait_for_url(served)


def test_filters_of_a_table_take_a_finger(phone: Page, served: str) -> None:
    """A name, a form and a level, tapped and given, leave their rows; a tap undoes."""
    phone.goto(f"{served}tables/everything/")
    rows = phone.locator(".results tbody tr:visible")
    whole = rows.count()
    text = phone.get_by_role("searchbox", name="Name or maker")
    _tap(phone, text)
    expect(text).to_be_focused()
    phone.keyboard.type("vintrusk")
    expect(rows).not_to_have_count(whole)
    named = rows.count()
    assert named > 0
    for row in rows.all():
        assert (row.get_attribute("data-c") or "").startswith("vintrusk-")
    sound = phone.get_by_label("Sound at most, dB(A)")
    _tap(phone, sound)
    phone.keyboard.type("40")
    expect(rows).not_to_have_count(named)
    assert 0 < rows.count() < named
    form = phone.get_by_role("combobox", name="Form")
    _tap(phone, form)
    expect(form).to_be_focused()
    phone.keyboard.press("Escape")
    _tap(phone, phone.get_by_role("button", name="Show everything"))
    expect(rows).to_have_count(whole)
    expect(text).to_have_value("")


def test_columns_of_a_table_are_chosen_by_touch(phone: Page, served: str) -> None:
    """A tap on a column's name takes it out, and another one brings it back."""
    phone.goto(f"{served}tables/everything/")
    _tap(phone, phone.get_by_text("Columns", exact=True))
    ticks = phone.get_by_role("group", name="Columns shown")
    head = phone.locator(".results thead th", has_text="Sound level")
    expect(head).to_be_visible()
    _tap(phone, ticks.get_by_text("Sound level"))
    expect(ticks.get_by_label("Sound level")).not_to_be_checked()
    expect(head).to_be_hidden()
    cells = phone.locator(".results tbody tr:first-child > :visible")
    shown = phone.locator(".results thead th:visible")
    assert cells.count() == shown.count()
    assert "cols=" in phone.url
    _tap(phone, ticks.get_by_text("Sound level"))
    expect(head).to_be_visible()


def test_rows_chosen_by_touch_are_compared(phone: Page, served: str) -> None:
    """Two boxes and the link under the table, tapped, lead to those two compared."""
    phone.goto(f"{served}tables/everything/")
    rows = phone.locator(".results tbody tr")
    chosen = [rows.nth(at).get_attribute("data-c") for at in (0, 2)]
    for at in (0, 2):
        _tap(phone, rows.nth(at).locator(".choose input"))
    _tap(phone, phone.get_by_role("link", name="Compare the chosen rows"))
    phone.wait_for_url("**/compare/?v=1&c=**")
    assert parse_qs(urlsplit(phone.url).query)["c"] == [",".join(map(str, chosen))]
    there = phone.locator("#chosen tbody tr")
    expect(there).to_have_count(2)


def test_closed_sections_open_by_touch(phone: Page, served: str) -> None:
    """A tap opens the section of filters above a table, another one closes it."""
    phone.goto(f"{served}compare/")
    summary = phone.locator("#own-numbers summary")
    section = phone.locator("#own-numbers")
    _tap(phone, summary)
    expect(section).to_have_attribute("open", "")
    _tap(phone, summary)
    expect(section).not_to_have_attribute("open", "")
