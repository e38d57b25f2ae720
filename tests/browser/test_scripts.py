"""Scripts say and reckon what the compiled pages say and reckon."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from sitegen.measure.cost import (
    FilterCost,
    discounted_ownership_cost,
    filters_per_year,
)
from sitegen.measure.energy import year_energy_kwh
from sitegen.measure.sizing import area_m2, cap_of_one, units_needed
from sitegen.measure.sound import several_units
from sitegen.model.quantities import table_columns
from sitegen.model.rounding import round_half_db, round_interval, round_significant
from sitegen.pages.formats import decimal_text, money
from sitegen.pages.query_fields import filter_fields, shown_columns, sort_columns
from sitegen.pages.words import ENGLISH

pytestmark = pytest.mark.browser

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).resolve().parents[1] / "cases/queries/compare.json").read_bytes()
)
KNOWN = {
    "configurations": None,
    "fields": filter_fields(),
    "columns": list(sort_columns()),
    "shown": list(shown_columns()),
    "axes": list(table_columns()),
    "figures": ["decay", "scatter", "ranked"],
}


@pytest.fixture
def compare(page: Page, served: str) -> Page:
    """The compare page with its scripts."""
    page.goto(f"{served}compare/")
    return page


def test_the_script_reads_queries_as_the_compiler_does(compare: Page) -> None:
    """Every shared case gives the same query and the same notes in the browser."""
    found = compare.evaluate(
        """([cases, known]) => cases.map((one) => {
          const against = Object.assign({}, known, { moved: one.moved || {} });
          const read = window.benchQuery.read(one.query, against);
          return [window.benchQuery.write(read.state),
            read.notes.map((note) => [note.trouble, note.key, note.value])];
        })""",
        [CASES, KNOWN],
    )
    for case, (written, notes) in zip(CASES, found, strict=True):
        assert written == case["written"], case["about"]
        assert notes == case["notes"], case["about"]


def test_the_script_rounds_as_the_compiler_does(compare: Page) -> None:
    """Ten thousand numbers read the same in page and script, to the last digit."""
    rng = random.Random(1)  # noqa: S311 - numbers to try, no secret
    triples = []
    for _ in range(2500):
        value = rng.choice([1, -1]) * 10 ** rng.uniform(-3, 5)
        width = abs(value) * 10 ** rng.uniform(-4, 0.5)
        triples.append([value, value - width, value + width * rng.uniform(0.5, 2)])
    # Halves, where rounding is decided by its rule alone.
    triples += [[n / 8, n / 8 - 1, n / 8 + 1] for n in range(1, 2500)]
    found = compare.evaluate(
        """(triples) => triples.map(([value, low, high]) => {
          const n = window.benchNumbers;
          const between = n.interval(value, low, high, 'en-GB');
          return [between.value, between.low, between.high,
            n.significant(value, 3, 'en-GB'), n.halfDecibel(value, 'en-GB'),
            n.money(value, 'EUR', 'en-GB')];
        })""",
        triples,
    )
    for (value, low, high), shown in zip(triples, found, strict=True):
        rounded = round_interval(value, low, high)
        assert rounded.low is not None
        assert rounded.high is not None
        decimals = rounded.decimals
        three = round_significant(value, 3)
        assert shown == [
            decimal_text(rounded.value, decimals, ENGLISH),
            decimal_text(rounded.low, decimals, ENGLISH),
            decimal_text(rounded.high, decimals, ENGLISH),
            decimal_text(three.value, three.decimals, ENGLISH),
            decimal_text(round_half_db(value).value, 1, ENGLISH),
            money(value, "EUR", ENGLISH),
        ], (value, low, high)


def test_the_script_reckons_as_the_compiler_does(compare: Page) -> None:
    """Costs of the archive's own assumptions agree with the data to 1e-9."""
    found = compare.evaluate(
        """() => {
          const data = JSON.parse(document.getElementById('rows').textContent);
          const rows = window.benchCells.rowsOf(data);
          return rows.map((row) => {
            const own = window.benchCells.own(row, data,
              { tariff: data.assumed.tariff, hours: data.assumed.hours });
            return window.benchCells.COSTS.map((name) => [row[name], own[name]]);
          });
        }"""
    )
    compared = 0
    for costs in found:
        for published, own in costs:
            assert (published is None) == (own is None)
            if published is not None:
                # Published numbers carry ten digits.
                assert own == pytest.approx(published, rel=1e-9, abs=1e-9)
                compared += 1
    assert compared > 300


OWN = {"tariff": 0.42, "hours": 7.5, "years": 8, "discount": 4, "life": 5}


def test_own_assumptions_reckon_as_the_formulas_do(compare: Page) -> None:
    """A reader's tariff, hours, years, discount and filter life enter as told."""
    found = compare.evaluate(
        """(own) => {
          const data = JSON.parse(document.getElementById('rows').textContent);
          const rows = window.benchCells.rowsOf(data);
          return rows.map((row) => [
            Object.fromEntries(data.columns.map((name) => [name, row[name]])),
            window.benchCells.own(row, data, own)]);
        }""",
        OWN,
    )
    compared = 0
    for row, own in found:
        if None in (row["power_w"], row["price"], row["filter_change"]):
            assert own["ownership_cost"] is None
            continue
        energy = year_energy_kwh(row["power_w"], 7.5, row["standby_w"] or 0.0)
        filters = [FilterCost(row["filter_change"], 5.0)]
        owned = discounted_ownership_cost(row["price"], filters, energy * 0.42, 8, 0.04)
        running = energy * 0.42 + filters_per_year(filters)
        assert own["energy_kwh_year"] == pytest.approx(energy, rel=1e-9)
        assert own["running_cost_year"] == pytest.approx(running, rel=1e-9)
        assert own["ownership_cost"] == pytest.approx(owned, rel=1e-9)
        compared += 1
    assert compared > 50


def test_rooms_are_reckoned_as_the_formulas_do(compare: Page) -> None:
    """Floors, machines, sound and caps of a reader's room agree to 1e-9."""
    rng = random.Random(2)  # noqa: S311 - numbers to try, no secret
    rooms = [
        [rng.uniform(20, 900), rng.uniform(1, 12), rng.uniform(5, 300)]
        for _ in range(500)
    ]
    # Exactly so many machines, where rounding could add one.
    rooms += [[0.1, 1.0, 0.1 + 0.2], [180.0, 6.0, 90.0]]
    found = compare.evaluate(
        """(rooms) => rooms.map(([cadr, changes, volume]) => {
          const r = window.benchReckon;
          const units = r.unitsNeeded(changes, volume, cadr);
          return [r.floorArea(cadr, changes, 2.4), units,
            r.severalUnits(41.3, units), r.capOfOne(40, units)];
        })""",
        rooms,
    )
    for (cadr, changes, volume), (floor, units, level, cap) in zip(
        rooms, found, strict=True
    ):
        assert floor == pytest.approx(area_m2(cadr, changes, 2.4), rel=1e-9)
        assert units == units_needed(changes, volume, cadr)
        assert level == pytest.approx(several_units(41.3, units), rel=1e-9)
        assert cap == pytest.approx(cap_of_one(40.0, units), rel=1e-9)


def test_a_readers_own_room(page: Page, served: str) -> None:
    """A floor adds a line for it; a ceiling and air changes move every floor served."""
    page.goto(f"{served}devices/ruddlesk-merl-200/")
    own = page.locator("#own-room-row")
    floors = page.locator("td[data-least]")
    kept = floors.all_inner_texts()
    assert own.is_hidden()
    page.fill("#own-floor", "25")
    least = float(page.get_attribute("#own-room", "data-least") or "")
    units = units_needed(5.0, 25 * 2.4, least)
    assert own.is_visible()
    assert own.locator("td").first.inner_text() == str(units)
    # The same room stands in the table already, reckoned when it was compiled.
    same = page.locator("tr", has_text="25 m²").locator("td")
    assert own.locator("td").all_inner_texts() == same.all_inner_texts()
    assert floors.all_inner_texts() == kept
    page.fill("#own-changes", "2,5")
    page.fill("#own-ceiling", "2.4")
    first = float(floors.first.get_attribute("data-least") or "")
    twice = f"{area_m2(first, 2.5, 2.4):.2g} m²"
    assert floors.first.inner_text() == twice
    page.fill("#own-changes", "many")
    assert page.get_attribute("#own-changes", "aria-invalid") == "true"
    page.fill("#own-changes", "")
    page.fill("#own-ceiling", "")
    assert floors.all_inner_texts() == kept
