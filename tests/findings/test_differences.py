"""Which differences from an edition matter."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.findings.differences import Difference, differences
from tests.findings.builders import row

SHOWN = ("cadr_m3h", "power_w", "running_cost_year")


def _told(
    then: dict[str, Any], now: dict[str, Any], **more: Any
) -> list[tuple[str, str]]:
    found = differences(
        [row(**then)], [row(**now)], SHOWN, more.pop("families", {}), **more
    )
    return [(each.quantity, each.why) for each in found]


def _cadr(value: float, low: float, high: float) -> dict[str, float]:
    return {"cadr_m3h": value, "cadr_low": low, "cadr_high": high}


@pytest.mark.parametrize(
    ("then", "now", "told"),
    [
        # Each inside the other's interval.
        (_cadr(100, 95, 105), _cadr(104, 99, 109), []),
        # The new one outside the old one's interval, though the intervals overlap.
        (_cadr(100, 95, 105), _cadr(107, 99, 115), [("cadr_m3h", "beyond")]),
        # The old one outside the new one's, which is narrower now.
        (_cadr(100, 90, 110), _cadr(104, 102, 106), [("cadr_m3h", "beyond")]),
        ({}, _cadr(104, 99, 109), [("cadr_m3h", "found")]),
        (_cadr(100, 95, 105), {}, [("cadr_m3h", "lost")]),
        ({"power_w": 40.0}, {"power_w": 40.3}, []),
        ({"power_w": 40.0}, {"power_w": 40.5}, [("power_w", "share")]),
        ({"running_cost_year": 50.0}, {"running_cost_year": 50.0}, []),
    ],
)
def test_a_difference_within_uncertainty_is_none(
    then: dict[str, Any], now: dict[str, Any], told: list[tuple[str, str]]
) -> None:
    """A number is listed only where one lies outside the other's interval."""
    assert _told(then, now) == told


def test_after_a_correction_small_differences_are_told() -> None:
    """A difference within uncertainty is listed where a correction speaks of it."""
    then, now = _cadr(100, 95, 105), _cadr(101, 96, 106)
    assert _told(then, now, corrected={"alder.fine.high"}) == [
        ("cadr_m3h", "correction")
    ]
    assert _told(then, then, corrected={"alder.fine.high"}) == []


def test_costs_under_other_assumptions_say_so() -> None:
    """A cost that changed with the tariff is not put down to a correction."""
    then, now = {"running_cost_year": 50.0}, {"running_cost_year": 55.0}
    corrected = {"alder.fine.high"}
    assert _told(then, now, corrected=corrected, assumed=True) == [
        ("running_cost_year", "assumed")
    ]
    assert _told(then, now) == [("running_cost_year", "share")]


def test_numbers_of_methods_that_are_not_comparable_are_not_compared() -> None:
    """Another method makes one line, unless both are of one family."""
    then = {**_cadr(100, 95, 105), "method": "decay-a"}
    now = {**_cadr(150, 140, 160), "method": "decay-b"}
    assert _told(then, now) == [("", "method")]
    families = {"decay-a": "decay-b", "decay-b": "decay-b"}
    assert _told(then, now, families=families) == [("cadr_m3h", "beyond")]


def test_what_joined_and_what_left_is_told() -> None:
    """A configuration that is new, and one that is there no more, are listed whole."""
    old, new = row("alder.fine.high"), row("birch.fine.high")
    assert differences([old], [new], SHOWN, {}) == (
        Difference("birch.fine.high", "", "joined", None, new),
        Difference("alder.fine.high", "", "left", old, None),
    )
