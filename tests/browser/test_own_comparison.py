"""A reader's own comparison: chosen by typing, drawn, taken along, opened anywhere."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import watch

pytestmark = pytest.mark.browser

BOX = "netloft-box.panel-50-m13.s3"
CRATE = "skarrow-crate.panel-40-m13.mid"
MERL = "ruddlesk-merl-200.merl-200-round.high"
OLD = "pladdock-standard.standard-pleat.high"

# Everything that is drawn: kind, class, place, dash and text of each mark, in order.
MARKS = """(box) => Array.from(box.querySelectorAll('svg *')).map((mark) => [
  mark.tagName, mark.getAttribute('class'), mark.getAttribute('d'),
  mark.getAttribute('x'), mark.getAttribute('y'), mark.getAttribute('cx'),
  mark.getAttribute('cy'), mark.getAttribute('stroke-dasharray'),
  mark.children.length ? '' : mark.textContent])"""


def _marks(page: Page) -> list[list[str | None]]:
    expect(page.locator("#chosen-figure svg").first).to_be_visible()
    expect(page.locator("#chosen-figure")).not_to_have_attribute("aria-busy", "true")
    found: list[list[str | None]] = page.locator("#chosen-figure").evaluate(MARKS)
    return found


def _pick(page: Page, text: str) -> None:
    field = page.get_by_role("combobox", name="Add to your comparison")
    field.click()
    field.press_sequentially(text)
    field.press("ArrowDown")
    field.press("Enter")


@pytest.mark.parametrize("figure", ["ranked", "scatter", "decay"])
@pytest.mark.parametrize("width", [360, 1280])
def test_a_fresh_browser_draws_the_same_marks_from_the_address_alone(
    chromium: Browser, served: str, figure: str, width: int
) -> None:
    """Chosen, set and sorted by hand; the copied address draws the very same marks."""
    size = {"width": width, "height": 900}
    first = chromium.new_context(viewport=size).new_page()  # type: ignore[arg-type]
    first.goto(f"{served}compare/")
    for text in ("net loft box", "crate", "standard high"):
        _pick(first, text)
    first.get_by_label("Figure", exact=True).select_option(figure)
    if figure == "decay":
        first.get_by_label("Axis", exact=True).select_option("linear")
    else:
        first.get_by_label("Quantity", exact=True).select_option("running_cost_year")
    first.get_by_label("Units").select_option("us")
    first.locator("#own-numbers summary").click()
    first.get_by_label("Price of one kWh, EUR").fill("0.5")
    drawn = _marks(first)
    assert len(drawn) > 20
    address = first.locator("#page-address").inner_text()
    query = address.partition("?")[2]
    assert query.count(",") == 2
    context = chromium.new_context(viewport=size)  # type: ignore[arg-type]
    second = watch(context.new_page())
    second.page.goto(f"{served}compare/?{query}")
    assert _marks(second.page) == drawn
    assert second.errors == []
    # Another address draws something else, so the comparison above can fail.
    second.page.goto(f"{served}compare/?{query.replace('tariff=0.5', '')}&u=metric")
    if figure == "ranked":
        assert _marks(second.page) != drawn


def test_a_configuration_is_chosen_by_typing_alone(page: Page, served: str) -> None:
    """Arrow keys walk the list, Enter takes, Escape closes; the reader is told."""
    page.goto(f"{served}compare/")
    field = page.get_by_role("combobox", name="Add to your comparison")
    options = page.locator("#pick-list [role=option]")
    field.focus()
    field.press_sequentially("merl NIGHT")
    expect(field).to_have_attribute("aria-expanded", "true")
    texts = options.all_inner_texts()
    assert texts
    assert all("Merl" in text and "Night" in text for text in texts)
    field.press("ArrowDown")
    active = field.get_attribute("aria-activedescendant")
    assert active == options.first.get_attribute("id")
    expect(options.first).to_have_attribute("aria-selected", "true")
    field.press("ArrowUp")
    expect(options.last).to_have_attribute("aria-selected", "true")
    field.press("Escape")
    expect(field).to_have_attribute("aria-expanded", "false")
    expect(options.first).to_be_hidden()
    field.press("ArrowDown")
    field.press("Enter")
    expect(page.locator("#pick-said")).to_contain_text("Added: Merl")
    expect(field).to_be_focused()
    expect(page.locator("#chosen-table tbody tr")).to_have_count(1)
    # What is chosen is not offered twice.
    field.press_sequentially("merl night")
    assert options.count() == len(texts) - 1
    field.fill("no such thing")
    expect(page.locator("#pick-said")).to_have_text("Nothing tested is called that.")


def test_a_touch_chooses_too(chromium: Browser, served: str) -> None:
    """On a phone an option is taken by a tap."""
    context = chromium.new_context(
        viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True
    )
    page = context.new_page()
    page.goto(f"{served}compare/")
    page.get_by_role("combobox", name="Add to your comparison").tap()
    page.locator("#pick-list [role=option]").nth(1).tap()
    expect(page.locator("#chosen-table tbody tr")).to_have_count(1)
    context.close()


def test_no_more_than_can_be_compared(page: Page, served: str) -> None:
    """With as many as can be, the field says so and offers nothing."""
    page.goto(f"{served}compare/")
    names = page.evaluate(
        """() => Array.from(new Set(Array.from(
          document.querySelectorAll('#everything tbody tr'),
          (row) => row.dataset.c)))"""
    )
    page.goto(f"{served}compare/?v=1&c={','.join(names[:24])}")
    field = page.get_by_role("combobox", name="Add to your comparison")
    field.click()
    expect(field).to_have_attribute("aria-expanded", "false")
    expect(page.locator("#pick-said")).to_contain_text("No more can be compared")


@pytest.mark.parametrize("place", ["served", "on_disk"])
def test_curves_of_two_methods_never_share_a_panel(
    page: Page, place: str, request: pytest.FixtureRequest
) -> None:
    """Each method is a panel with its own name, its own lines and its own axes."""
    base: str = request.getfixturevalue(place)
    path = "compare/" if place == "served" else "compare/index.html"
    page.goto(f"{base}{path}?v=1&c={MERL},{OLD}&figure=decay")
    panels = page.locator("#chosen-figure svg")
    expect(panels).to_have_count(2)
    expect(page.locator("#chosen-figure h3")).to_have_count(2)
    for at in range(2):
        # The middle run, and its sample in the key.
        expect(panels.nth(at).locator("path.middle")).to_have_count(2)
        expect(panels.nth(at).locator("path.band")).to_have_count(1)
    page.get_by_role("button", name="Leave out").first.click()
    expect(panels).to_have_count(1)


def test_curves_are_the_runs_of_the_archive(page: Page, served: str) -> None:
    """The table below the curves has every run with the rate of runs.csv."""
    text = page.request.get(f"{served}data/runs.csv").text()
    device, used, speed = BOX.split(".")
    wanted = {
        row["run"]: float(row["decay_per_h"])
        for row in csv.DictReader(io.StringIO(text))
        if (row["device"], row["filter"], row["speed"]) == (device, used, speed)
        and (row["instrument"], row["fraction"]) == ("all", "pm2_5")
        and row["status"] == "accepted"
    }
    assert len(wanted) > 1
    page.goto(f"{served}compare/?v=1&c={BOX}&figure=decay")
    rows = page.locator("#chosen-figure tbody tr")
    expect(rows).to_have_count(len(wanted))
    for row in rows.all():
        cells = row.locator("td").all_inner_texts()
        rate = float(cells[1].split(" ")[0])
        assert rate == pytest.approx(wanted[cells[0]], rel=0.005)


def test_the_logarithmic_axis_starts_above_nought_and_the_linear_at_it(
    page: Page, served: str
) -> None:
    """A straight decay is straight on the one and bent on the other."""
    page.goto(f"{served}compare/?v=1&c={BOX}&figure=decay")
    ticks = page.locator("#chosen-figure svg text.fill-soft[text-anchor=end]")
    expect(ticks.first).to_be_visible()
    assert "0" not in ticks.all_text_contents()
    page.get_by_label("Axis", exact=True).select_option("linear")
    expect(ticks.filter(has_text="80")).to_have_count(1)
    assert ticks.all_text_contents()[0] == "0"
    assert "scale=linear" in page.url


def test_an_interval_below_nought_does_not_push_the_others_together(
    page: Page, served: str
) -> None:
    """The axis begins at nought, an arrow says that the interval goes on."""
    text = page.request.get(f"{served}data/results.csv").text()
    below = next(
        row
        for row in csv.DictReader(io.StringIO(text))
        if row["cadr_low"] and float(row["cadr_low"]) < -10 < 0 < float(row["cadr_m3h"])
    )
    name = ".".join(below[key] for key in ("device", "filter", "speed"))
    page.goto(f"{served}compare/?v=1&c={BOX},{name}")
    drawing = page.locator("#chosen-figure svg")
    expect(drawing.locator("path.below")).to_have_count(1)
    ticks = drawing.locator("text.fill-soft[text-anchor=middle]").all_text_contents()
    assert ticks[0] == "0"
    expect(page.locator("#chosen-figure p")).to_contain_text("goes on below nought")


@pytest.mark.parametrize("figure", ["ranked", "decay"])
def test_the_numbers_are_saved_as_csv(page: Page, served: str, figure: str) -> None:
    """What is drawn is in the file: all values, or every point of every curve."""
    page.goto(f"{served}compare/?v=1&c={BOX},{CRATE}&figure={figure}")
    expect(page.locator("#chosen-figure svg").first).to_be_visible()
    with page.expect_download() as waited:
        page.get_by_role("button", name="Save its numbers as CSV").click()
    text = Path(waited.value.path()).read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    names = {
        ".".join(row[key] for key in ("device", "filter", "speed")) for row in rows
    }
    assert names == {BOX, CRATE}
    if figure == "ranked":
        assert len(rows) == 2
        assert all(float(row["cadr_low"]) < float(row["cadr_high"]) for row in rows)
    else:
        times = [float(row["elapsed_min"]) for row in rows if row["role"] == "middle"]
        assert len(rows) > 100
        assert min(times) == 0


def test_an_address_of_an_older_page_still_opens(page: Page, served: str) -> None:
    """Another version, a former id, something gone: shown, moved on, told."""
    moved = BOX.replace("netloft-box", "netloft-cube")
    page.goto(f"{served}compare/?v=0&c={moved},gone-1.none.low&figure=pie&lens=wide")
    expect(page.locator("#chosen-table tbody tr")).to_have_count(1)
    expect(page.locator("#chosen-table")).to_contain_text("Net Loft Box")
    notes = page.locator("#notes")
    for text in ("another version", "gone-1.none.low", "pie", "lens"):
        expect(notes).to_contain_text(text)
    expect(page.locator("#chosen-figure svg")).to_be_visible()


def test_figures_are_drawn_for_the_screen(chromium: Browser, served: str) -> None:
    """On a phone no letter of a figure is smaller than 12 px; turned, it is redrawn."""
    context = chromium.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    for figure in ("ranked", "scatter", "decay"):
        page.goto(f"{served}compare/?v=1&c={BOX},{MERL}&figure={figure}")
        expect(page.locator("#chosen-figure svg").first).to_be_visible()
        size = page.locator("#chosen-figure svg").first.evaluate(
            """(drawing) => Math.min(...Array.from(drawing.querySelectorAll('text'),
              (text) => text.getBoundingClientRect().height))"""
        )
        assert size >= 12
        over = page.locator("#chosen-figure svg").first.evaluate(
            """(drawing) => {
              const box = drawing.getBoundingClientRect();
              return Array.from(drawing.querySelectorAll('text')).filter((text) => {
                const own = text.getBoundingClientRect();
                return own.right > box.right + 1 || own.left < box.left - 1;
              }).map((text) => text.textContent);
            }"""
        )
        assert over == []
    page.set_viewport_size({"width": 900, "height": 740})
    drawing = page.locator("#chosen-figure svg").first
    expect(drawing).to_have_attribute("viewBox", re.compile("^0 0 720 "))
    context.close()
