"""How size fractions, units of readings and figures of a record are written."""

from __future__ import annotations

from sitegen.pages.formats import number
from sitegen.pages.words import Words


def fraction_text(words: Words, fraction: str) -> str:
    """Return a size fraction as it is printed, for example ``PM2.5``."""
    if fraction == "count":
        return words("Particle count")
    return fraction.replace("pm", "PM").replace("_", ".")


def reading_unit_text(unit: str) -> str:
    """Return a unit of particle readings as it is printed."""
    return {"ug/m3": "µg/m³", "1/cm3": "1/cm³"}.get(unit, unit)


def as_given(words: Words, value: float) -> str:
    """Return a figure of a record with the digits that it was given with."""
    return number(value, 6, words, plain=True)
