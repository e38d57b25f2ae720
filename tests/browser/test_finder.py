"""The finder answers a reader's own room as the compiler answers those it prints."""

from __future__ import annotations

import csv
import random
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from sitegen.findings.picks import finder_answer
from sitegen.findings.views import ResultRow
from tests.conftest import Compiled
from tests.findings.builders import row

pytestmark = pytest.mark.browser


def _rows(data: dict[str, Any], site: Path) -> tuple[list[ResultRow], dict[str, float]]:
    """Return the rows that the script has, their running costs from ``results.csv``."""
    with (site / "data/results.csv").open(encoding="utf-8", newline="") as file:
        costs = {
            f"{line['device']}.{line['filter']}.{line['speed']}": float(cost)
            for line in csv.DictReader(file)
            if (cost := line["running_cost_year"])
        }
    rows, prices = [], {}
    for values in data["rows"]:
        known = dict(zip(data["columns"], values, strict=True))
        made = row(
            known["configuration"],
            cadr_m3h=known["cadr_m3h"],
            cadr_low=known["cadr_low"],
            sound_dba=known["sound_dba"],
            sound_high=known["sound_high"],
        )
        cost = costs.get(known["configuration"])
        rows.append(replace(made, running_cost_year=cost))
        if known["first_price"] is not None:
            prices[known["device"]] = known["first_price"]
    return rows, prices


@pytest.fixture
def home(page: Page, served: str) -> Page:
    """The home page with the finder's numbers brought in."""
    page.goto(f"{served}?room=20")
    page.wait_for_function("window.benchFinder")
    return page


def test_the_script_picks_as_the_compiler_does(home: Page, demo: Compiled) -> None:
    """For 200 rooms, caps and budgets both choose the same, in the same order."""
    data = home.evaluate("window.benchFinder")
    rows, prices = _rows(data, demo.site)
    rng = random.Random(6)  # noqa: S311 - numbers to try, no secret
    wanted = [
        {
            "volume": rng.uniform(15, 220),
            "ach": rng.uniform(1, 8),
            "cap": rng.uniform(28, 65),
            "budget": rng.choice([None, rng.uniform(50, 1500)]),
            "hours": data["assumed"]["hours"],
            "tariff": data["assumed"]["tariff"],
            "years": rng.randint(1, 20),
        }
        for _ in range(200)
    ]
    found = home.evaluate(
        """(wanted) => wanted.map((one) =>
          window.benchFind.picks(window.benchFinder, one).map((pick) => [
            pick.row.configuration, pick.units, pick.sound_dba, pick.first_cost,
            pick.running_cost_year, pick.near_cap, pick.owning_cost_year]))""",
        wanted,
    )
    assert any(found)
    for one, picks in zip(wanted, found, strict=True):
        answer = finder_answer(
            one["volume"],
            1.0,
            one["ach"],
            one["cap"],
            rows,
            prices,
            one["budget"],
            one["years"],
        )
        assert [pick[:2] for pick in picks] == [
            [pick.row.configuration, pick.units] for pick in answer.picks
        ]
        for shown, pick in zip(picks, answer.picks, strict=True):
            assert shown[2] == pytest.approx(pick.sound_dba, rel=1e-12)
            costs = (pick.first_cost, pick.running_cost_year)
            for got, cost in zip(shown[3:5], costs, strict=True):
                assert got == (None if cost is None else pytest.approx(cost, rel=1e-8))
            assert shown[5] == pick.near_cap
            owning = pick.owning_cost_year
            assert shown[6] == (
                None if owning is None else pytest.approx(owning, rel=1e-8)
            )


def test_the_address_keeps_what_was_typed(home: Page) -> None:
    """A fresh look at the address shows the same room, and the same answer."""
    home.get_by_label("Sound of all at most").fill("42")
    home.get_by_label("Price of all at most").fill("500")
    expect(home).to_have_url(re.compile(r"\?room=20&cap=42&budget=500$"))
    answer = home.locator("#finder-table tbody:not([hidden])").inner_text()
    assert "20" in answer
    home.reload()
    home.wait_for_function("window.benchFinder")
    again = home.locator("#finder-table tbody:not([hidden])")
    expect(again).to_have_count(1)
    assert again.inner_text() == answer


@pytest.mark.parametrize("typed", ["-3", "1e99", "<b>", "0", "12,5,5"])
def test_what_is_no_room_is_said_and_shows_the_printed_rooms(
    home: Page, typed: str
) -> None:
    """A number that cannot be used is named, and no answer is invented for it."""
    printed = home.locator("#finder-table tbody[data-area]")
    home.get_by_label("Floor of your room").fill(typed)
    expect(home.locator(".own-line:visible")).to_contain_text("Not a number")
    assert printed.evaluate_all("(all) => all.every((one) => !one.hidden)")


def test_a_volume_is_taken_in_place_of_a_floor(home: Page) -> None:
    """The head of the answer names the volume, and the link goes on with its floor."""
    home.get_by_label("or its volume").fill("60")
    head = home.locator("#finder-table tbody:not([hidden]) th[scope=rowgroup]")
    expect(head).to_contain_text("60.0 m³")
    link = home.locator("#finder-more").get_attribute("href") or ""
    assert "room=25" in link


@pytest.mark.parametrize("width", [768, 900, 1024, 1440])
@pytest.mark.parametrize("query", ["", "?room=20&hours=24&years=1"])
def test_all_columns_are_in_sight_from_a_tablet_on(
    page: Page, served: str, width: int, query: str
) -> None:
    """The table does not scroll sideways, with room for a scrollbar besides."""
    page.set_viewport_size({"width": width - 15, "height": 900})
    page.goto(f"{served}{query}")
    expect(page.locator("#finder-form")).to_be_visible()
    if query:
        expect(page.locator("#finder-table tbody:not([hidden])")).to_have_count(1)
    frame = page.locator(".frame", has=page.locator("#finder-table"))
    over = frame.evaluate("(frame) => frame.scrollWidth - frame.clientWidth")
    assert over == 0


def test_without_scripts_the_rooms_stand_there(chromium: Browser, served: str) -> None:
    """The answer for a few sizes is in the page itself, and no form promises more."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(served)
    assert page.locator("#finder-table tbody[data-area]").count() >= 3
    expect(page.locator("#finder-form")).to_be_hidden()
    context.close()
