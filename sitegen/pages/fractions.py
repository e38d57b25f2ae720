"""How size fractions, units of readings and figures of a record are written."""

from __future__ import annotations

from sitegen.figures.numbers import decimal_sign
from sitegen.pages.formats import number
from sitegen.pages.words import Words


def fraction_text(words: Words, fraction: str) -> str:
    """Return a size fraction as it is printed, for example ``PM2.5``."""
    if fraction == "count":
        return words("Particle count")
    return fraction.replace("pm", "PM").replace("_", decimal_sign(words))


def reading_unit_text(words: Words, unit: str) -> str:
    """Return a unit of particle readings as it is printed."""
    return words({"ug/m3": "µg/m³", "1/cm3": "1/cm³"}.get(unit, unit))


def as_given(words: Words, value: float) -> str:
    """Return a figure of a record with the digits that it was given with."""
    return number(value, 6, words, plain=True)
