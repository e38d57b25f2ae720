"""What pages build from numbers and units follows the language."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitegen.findings.views import ComparisonFinding, Interval, Pair
from sitegen.measure.units import CFM_M3H
from sitegen.pages.comparison_sentence import sentence
from sitegen.pages.formats import unit_text, us_units
from sitegen.pages.fractions import fraction_text, reading_unit_text
from sitegen.pages.words import ENGLISH, Words, words_from
from tests.findings.builders import row

CATALOGUE = Path(__file__).resolve().parents[2] / "content" / "words" / "de.po"


@pytest.fixture(scope="module")
def german() -> Words:
    """Return the words of German."""
    return words_from(CATALOGUE.read_bytes(), "de")


def test_units_that_hold_a_word(german: Words) -> None:
    """A unit with "per" in it is said in the language, for scripts as well."""
    assert unit_text("cadr_per_w", "metric", "EUR", german) == "m³/h je W"
    assert unit_text("cadr_per_w", "us", "EUR", german) == "cfm je W"
    assert unit_text("cadr_per_w", "metric", "EUR") == "m³/h per W"
    assert us_units(german)["m³/h je W"] == ["cfm je W", CFM_M3H]
    assert reading_unit_text(german, "counts") == "Zählwerte"


def test_size_fractions_have_the_decimal_mark(german: Words) -> None:
    """PM2.5 is PM2,5 in German; what has no decimals is the same."""
    assert fraction_text(german, "pm2_5") == "PM2,5"
    assert fraction_text(german, "pm10") == "PM10"
    assert fraction_text(ENGLISH, "pm2_5") == "PM2.5"


def test_how_many_times_as_fast(german: Words) -> None:
    """A ratio in a sentence has a decimal comma, and one verb for one and for many."""
    names = {"a.f.s": "A", "b.f.s": "B"}
    finding = ComparisonFinding(
        rows=(row("a.f.s", cadr_m3h=300.0), row("b.f.s", cadr_m3h=200.0)),
        dropped=(),
        pairs=(Pair("a.f.s", "b.f.s", Interval(1.5, 1.4, 1.605), 0.01, apart=True),),
        mixed_methods=False,
    )
    assert sentence(german, finding, names) == (
        "Von A wurde die Luft 1,40 bis 1,60\u00a0Mal so schnell gereinigt wie von B."
    )
