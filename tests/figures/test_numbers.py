"""Numbers as text in tables and descriptions of figures."""

from __future__ import annotations

import pytest

from sitegen.figures.numbers import (
    centre,
    decimal_sign,
    half_db,
    interval,
    limits,
    listed,
    middle,
    number,
    plain,
    tick,
    with_unit,
    within_sentence,
)
from sitegen.pages.words import Words as Catalogue


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (181.859, "182"),
        (6.29217, "6.29"),
        (0.0123456, "0.0123"),
        (12345.0, "12300"),
        (0.0, "0"),
        (-0.5, "−0.500"),
        (99.96, "100"),
        (None, ""),
        (float("nan"), ""),
        (float("inf"), ""),
    ],
)
def test_three_digits(value: float | None, text: str) -> None:
    """A number has three significant digits and a true minus, a missing one nothing."""
    assert number(value) == text


def test_decimal_sign_of_the_language() -> None:
    """A language with a decimal comma has it in every number."""
    assert number(6.29217, ",") == "6,29"
    assert tick(0.5, ",") == "0,5"
    assert decimal_sign(Catalogue("de")) == ","
    assert decimal_sign(Catalogue("en")) == "."
    assert decimal_sign(plain) == "."


@pytest.mark.parametrize(
    ("value", "text"), [(0.1, "0.1"), (100.0, "100"), (-0.05, "−0.05"), (0.0, "0")]
)
def test_tick(value: float, text: str) -> None:
    """A tick has no noughts at its end."""
    assert tick(value) == text


@pytest.mark.parametrize(
    ("value", "low", "high", "text"),
    [
        # Half-widths 6.2 and 6.4: to two digits of the smaller, one decimal.
        (182.474, 176.295, 188.869, "176.3 to 188.9"),
        (181.859, 168.123, 195.595, "168 to 196"),
        (5.0, -3.2, 13.2, "−3.2 to 13.2"),
        (182.474, None, None, "182"),
        (182.474, None, 190.0, "182.5"),
        (None, 1.0, 2.0, ""),
    ],
)
def test_interval(
    value: float | None, low: float | None, high: float | None, text: str
) -> None:
    """An interval reads "178 to 189", by two digits of its smaller half-width."""
    assert interval(value, low, high, plain) == text


def test_centre_is_rounded_as_its_interval() -> None:
    """A value has as many digits as its interval supports."""
    assert centre(181.859, 168.123, 195.595) == "182"
    assert centre(182.474, 176.295, 188.869) == "182.5"
    assert centre(None, 1.0, 2.0) == ""


@pytest.mark.parametrize(
    ("level", "text"),
    [(44.68, "44.5"), (44.76, "45.0"), (44.25, "44.0"), (44.75, "45.0"), (None, "")],
)
def test_half_decibels(level: float | None, text: str) -> None:
    """A level is read to half a decibel, never finer."""
    assert half_db(level) == text


def test_levels_and_other_quantities() -> None:
    """Levels are read to half a decibel, everything else by its interval."""
    assert middle(44.68, 44.6, 44.7, decibels=True) == "44.5"
    assert middle(44.68, 43.2, 46.2) == "44.7"
    assert limits(44.68, 43.7, 45.66, plain, decibels=True) == "43.5 to 45.5"
    assert limits(44.68, None, None, plain, decibels=True) == "44.5"
    assert limits(181.859, 168.123, 195.595, plain) == "168 to 196"


@pytest.mark.parametrize(
    ("items", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_listed(items: list[str], text: str) -> None:
    """Several things are listed with "and" before the last."""
    assert listed(items, plain) == text


def test_unit() -> None:
    """A quantity without a unit has no comma after it."""
    assert with_unit("CADR", "m³/h") == "CADR, m³/h"
    assert with_unit("Runs", "") == "Runs"


def test_names_within_a_sentence() -> None:
    """English begins a name small unless it is an abbreviation; German nouns stay."""
    english, german = Catalogue("en"), Catalogue("de")
    assert within_sentence("Sound level", english) == "sound level"
    assert within_sentence("CADR per watt", english) == "CADR per watt"
    assert within_sentence("Schallpegel", german) == "Schallpegel"


def test_plain_words() -> None:
    """Message ids are filled by name, what has no value stays, plurals follow n."""
    assert plain("{a} of {b}", a=1) == "1 of {b}"
    assert plain.plural("{n} run", "{n} runs", 1) == "1 run"
    assert plain.plural("{n} run", "{n} runs", 2) == "2 runs"


@pytest.mark.parametrize(
    ("value", "text"), [(-0.0, "0"), (-0.5, "−0.5"), (100.0, "100"), (0.25, "0.25")]
)
def test_ticks_have_no_minus_zero(value: float, text: str) -> None:
    """A value of an axis has a minus sign only where it is below zero."""
    assert tick(value) == text
