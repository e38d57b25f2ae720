"""Figures: a drawing at first, a chart when it comes into view."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import Watched

pytestmark = pytest.mark.browser

DEVICE = "devices/ruddlesk-merl-200/"


def _live(page: Page) -> Locator:
    """Bring the first figure into view and wait for its chart."""
    figure = page.locator("figure.figure").first
    figure.scroll_into_view_if_needed()
    expect(figure).to_have_class(re.compile("live"), timeout=20_000)
    return figure


@pytest.mark.parametrize("place", ["served", "on_disk"])
def test_a_figure_becomes_interactive_and_says_its_values(
    watched: Watched, place: str, request: pytest.FixtureRequest
) -> None:
    """The chart stands in place of the drawing; the arrow keys read its values."""
    base: str = request.getfixturevalue(place)
    page = watched.page
    # The figure must not be in view at first.
    page.set_viewport_size({"width": 1280, "height": 400})
    page.goto(f"{base}{DEVICE}{'' if place == 'served' else 'index.html'}")
    assert not [url for url in watched.requests if "chart_runtime" in url]
    figure = _live(page)
    expect(figure.locator(".drawn.wide")).to_be_hidden()
    chart = figure.get_by_role("application")
    expect(chart.locator("svg")).to_be_visible()
    chart.focus()
    page.keyboard.press("ArrowRight")
    output = figure.locator(".chart-read")
    expect(output).to_contain_text("round filter R2")
    expect(output).to_contain_text("Time since the start, min: 0")
    for _ in range(12):
        page.keyboard.press("ArrowRight")
    said = output.inner_text()
    share = float(re.findall(r"%: ([0-9.]+)", said)[0])
    minute = float(re.findall(r"min: ([0-9.]+)", said)[0])
    # 196 m3/h in 31.4 m3, and what the room loses by itself: about 6.7 an hour.
    assert share == pytest.approx(100 * 2.718 ** (-6.7 * minute / 60), rel=0.12)
    assert watched.errors == []


def test_pointing_marks_the_reading_that_is_nearest(page: Page, served: str) -> None:
    """A ring stands on the point that the words speak of."""
    page.goto(f"{served}c/air-and-noise/")
    figure = _live(page)
    chart = figure.get_by_role("application")
    circle = chart.locator("svg .mark-symbol path").nth(3)
    box = circle.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    ring = figure.locator(".chart-ring")
    expect(ring).to_be_visible()
    found = ring.bounding_box()
    assert found is not None
    assert abs(found["x"] + found["width"] / 2 - x) < 4
    assert abs(found["y"] + found["height"] / 2 - y) < 4
    expect(figure.locator(".chart-read")).to_contain_text(" to ")


def test_what_is_read_is_in_sight_on_a_phone(chromium: Browser, served: str) -> None:
    """Where the chart is taller than the screen, the values stand at its foot."""
    context = chromium.new_context(viewport={"width": 360, "height": 500})
    page = context.new_page()
    page.goto(f"{served}c/air-and-noise/")
    figure = _live(page)
    chart = figure.get_by_role("application")
    chart.scroll_into_view_if_needed()
    top = chart.evaluate("(box) => box.getBoundingClientRect().top + window.scrollY")
    page.evaluate("(top) => window.scrollTo(0, top)", top)
    chart.evaluate("(box) => box.focus({preventScroll: true})")
    page.keyboard.press("ArrowRight")
    box = figure.locator(".chart-read").bounding_box()
    assert box is not None
    below = chart.bounding_box()
    assert below is not None
    assert below["y"] + below["height"] > 500
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= 501
    context.close()


def test_the_axis_can_be_turned_and_a_line_brought_forward(
    page: Page, served: str
) -> None:
    """Linear shows nought; a pressed name fades the others."""
    page.goto(f"{served}{DEVICE}")
    figure = _live(page)
    ticks = figure.locator(".chart svg .role-axis-label text")
    assert "0" not in ticks.all_inner_texts()[6:]
    figure.get_by_role("button", name="linear", exact=True).click()
    expect(figure.locator(".chart svg")).to_contain_text("80")
    name = figure.get_by_role("button", name="Speed 3, round filter R2", exact=True)
    name.click()
    expect(name).to_have_attribute("aria-pressed", "true")
    faded = figure.locator(".chart svg path[opacity='0.12']")
    expect(faded).not_to_have_count(0)
    name.click()
    expect(faded).to_have_count(0)


def test_without_the_runtime_the_drawing_stays(chromium: Browser, served: str) -> None:
    """If the charts' script cannot be had, the page is as it was without scripts."""
    context = chromium.new_context()
    page = context.new_page()
    page.route("**/chart_runtime.*.js", lambda route: route.abort())
    page.goto(f"{served}{DEVICE}")
    figure = page.locator("figure.figure").first
    with page.expect_event("requestfailed"):
        figure.scroll_into_view_if_needed()
    expect(figure.locator(".drawn.wide")).to_be_visible()
    expect(figure).not_to_have_class(re.compile("live"))
    context.close()


def test_a_phone_gets_the_narrow_form(chromium: Browser, served: str) -> None:
    """On a small screen the chart is drawn for it, and fits."""
    context = chromium.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(f"{served}{DEVICE}")
    figure = _live(page)
    drawing = figure.locator(".chart svg")
    assert drawing.get_attribute("width") == "340"
    box = drawing.bounding_box()
    assert box is not None
    assert box["width"] <= 340
    context.close()


def test_print_shows_the_drawing(page: Page, served: str) -> None:
    """On paper the still drawing stands, not the chart with its buttons."""
    page.goto(f"{served}{DEVICE}")
    figure = _live(page)
    page.emulate_media(media="print")
    expect(figure.locator(".drawn.wide")).to_be_visible()
    expect(figure.locator(".chart")).to_be_hidden()
    expect(figure.locator(".chart-tools")).to_be_hidden()
