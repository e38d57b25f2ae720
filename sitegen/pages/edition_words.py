"""The assumptions that an edition keeps: their names, and how they are written."""

from __future__ import annotations

from sitegen.model.archive import Assumptions
from sitegen.model.rounding import significant_text
from sitegen.pages.words import Words

ASSUMED = (
    "tariff_per_kwh",
    "hours_per_day",
    "years",
    "discount_pct",
    "ceiling_m",
    "target_ach_per_h",
    "quiet_cap_dba",
)
"""Names of assumptions, in the order in which editions keep them."""


def assumption_texts(assumed: Assumptions, currency: str) -> dict[str, str]:
    """Return the assumptions as an edition keeps them, by name."""
    tariff = significant_text(assumed.tariff.per_kwh)
    return {
        "tariff_per_kwh": f"{tariff} {currency}",
        "hours_per_day": significant_text(assumed.hours_per_day),
        "ceiling_m": significant_text(assumed.ceiling_m),
        "quiet_cap_dba": significant_text(assumed.quiet_cap_dba),
        "years": str(assumed.years),
        "target_ach_per_h": significant_text(assumed.target_ach_per_h),
        "discount_pct": significant_text(assumed.discount_pct),
    }


def assumption_label(words: Words, name: str) -> str:
    """Return the name of an assumption, for readers."""
    return {
        "tariff": words("Price of electricity"),
        "tariff_per_kwh": words("Price of electricity, per kWh"),
        "hours_per_day": words("Hours a day"),
        "ceiling_m": words("Ceiling height, m"),
        "quiet_cap_dba": words("Quiet cap, dB(A)"),
        "years": words("Years of ownership"),
        "target_ach_per_h": words("Air changes per hour wanted"),
        "discount_pct": words("Discount rate a year, per cent"),
        "currency": words("Currency"),
    }.get(name, name)
