"""What costs are reckoned from, for scripts that do it with a reader's own numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sitegen.findings.views import CostView
from sitegen.model.archive import Assumptions
from sitegen.model.rounding import significant_text
from sitegen.pages.own_words import own_said, own_words
from sitegen.pages.words import Words

COST_PARTS = ("standby_w", "price", "filter_change", "filter_months", "filter_hours")
"""Beside the power while running."""
END_PARTS = ("standby_below_w", "filter_least", "filter_most")
"""What the cheap and the dear end rest on, beside the scatter of the power."""
CLEAN_PARTS = ("clean", "clean_low", "clean_high")
"""Clean air with its interval, for the cost of 1,000 m³."""


def exact(value: float | None) -> float | None:
    """Return a number as it is published: 10 significant digits."""
    return None if value is None else float(significant_text(value))


def cost_parts(costs: CostView | None) -> Sequence[float | None]:
    """Return what a year's cost is reckoned from, as ``COST_PARTS`` names it."""
    if costs is None:
        return [None] * len(COST_PARTS)
    standby_w = costs.standby.power_w if costs.standby else None
    change: float | None = 0.0
    months: float | None = None
    running: float | None = None
    for part in costs.filters:
        change = part.piece.amount * part.pieces if part.piece else None
        running = part.life_h
        months = None if running is not None else part.interval_months
    return [exact(each) for each in (standby_w, costs.price, change, months, running)]


def end_parts(costs: CostView | None) -> Sequence[float | None]:
    """Return what the ends of costs are reckoned from, as ``END_PARTS`` names it."""
    if costs is None:
        return [None] * len(END_PARTS)
    below_w = costs.standby.below_w if costs.standby else None
    least: float | None = None
    most: float | None = None
    for part in costs.filters:
        least, most = part.life_range or (None, None)
    return [exact(each) for each in (below_w, least, most)]


def own_costs(
    words: Words, currency: str, views: Sequence[CostView], assumed: Assumptions
) -> dict[str, Any]:
    """Return what a device's costs are reckoned from, for its page's script.

    ``columns`` names the values of a row; an empty value is ``null``.

    Args:
        words: the interface's words.
        currency: of the archive, ISO 4217.
        views: the costs, in the order of their table.
        assumed: the archive's assumptions.
    """
    return {
        "locale": words.locale.replace("_", "-"),
        "currency": currency,
        "assumed": {
            "tariff": assumed.tariff.per_kwh,
            "hours": assumed.hours_per_day,
            "years": assumed.years,
            "discount": assumed.discount_pct,
        },
        "columns": ["power_w", "power_sd", *COST_PARTS, *END_PARTS, *CLEAN_PARTS],
        "rows": [
            [
                exact(view.power_w),
                exact(view.power_sd_w),
                *cost_parts(view),
                *end_parts(view),
                *_clean(view),
            ]
            for view in views
        ],
        "words": {
            **own_said(words),
            "own_line": own_words(words),
            "listed": words("The list under the table names the archive's own."),
            "unknown": words("not known"),
            "to": words("{low} to {high}"),
            "year": words.plural("{n} year", "{n} years", 1),
        },
    }


def _clean(view: CostView) -> Sequence[float | None]:
    if view.clean is None:
        return [None] * len(CLEAN_PARTS)
    return [exact(each) for each in (view.clean.value, view.clean.low, view.clean.high)]


def assumed_texts(assumed: Assumptions | None) -> Mapping[str, str]:
    """Return the archive's assumptions as a form takes them."""
    if assumed is None:
        return dict.fromkeys(
            ("tariff", "hours", "years", "discount", "ceiling", "cap"), ""
        )
    return {
        "tariff": significant_text(assumed.tariff.per_kwh),
        "hours": significant_text(assumed.hours_per_day),
        "years": str(assumed.years),
        "discount": significant_text(assumed.discount_pct),
        "ceiling": significant_text(assumed.ceiling_m),
        "cap": significant_text(assumed.quiet_cap_dba),
    }
