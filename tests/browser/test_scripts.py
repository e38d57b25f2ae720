"""Scripts say and reckon what the compiled pages say and reckon."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from sitegen.model import RESULT_COLUMNS
from sitegen.model.quantities import table_columns
from sitegen.model.rounding import round_half_db, round_interval, round_significant
from sitegen.pages.formats import decimal_text, money
from sitegen.pages.query import filter_fields
from sitegen.pages.words import ENGLISH

pytestmark = pytest.mark.browser

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).resolve().parents[1] / "cases/queries/compare.json").read_bytes()
)
KNOWN = {
    "configurations": None,
    "fields": filter_fields(),
    "columns": list(RESULT_COLUMNS),
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
