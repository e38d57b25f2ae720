"""The sentence that a comparison begins with answers what its figure is about."""

from __future__ import annotations

from typing import Any

import pytest

from sitegen.findings.views import ComparisonFinding
from sitegen.model import Comparison
from sitegen.pages.comparison_lead import lead_sentence
from sitegen.pages.comparison_sentence import sentence
from sitegen.pages.words import ENGLISH
from tests.findings.builders import row
from tests.pages.builders import SITE

ROWS = (
    row("a.f.s", cadr_m3h=300.0, sound_dba=55.0, ownership_cost=900.0, currency="EUR"),
    row("b.f.s", cadr_m3h=200.0, sound_dba=40.0, ownership_cost=400.0, currency="EUR"),
    row("c.f.s", cadr_m3h=180.0, sound_dba=45.0, ownership_cost=250.0, currency="EUR"),
    row("d.f.s", cadr_m3h=100.0, sound_dba=30.0, ownership_cost=None),
)
NAMES = {each.configuration: each.device.upper() for each in ROWS}


def _said(*, rows: Any = ROWS, mixed: bool = False, **asked: Any) -> str:
    record = Comparison.model_validate(
        {
            "id": "one",
            "title": "One",
            "question": "Which?",
            "configurations": [each.configuration for each in ROWS],
            **asked,
        }
    )
    finding = ComparisonFinding(rows, (), (), mixed_methods=mixed)
    return lead_sentence(ENGLISH, SITE, record, finding, NAMES)


def test_cost_is_answered_by_cost() -> None:
    """The cheapest are named with their amounts, then the dearest."""
    assert _said(figure="ranked", y="ownership_cost") == (
        "Of 3 configurations the lowest cost of ownership: C, €250.00, B, €400.00 and "
        "A, €900.00; the highest: A, €900.00."
    )


def test_what_may_be_nought_is_not_the_best() -> None:
    """A row that is not told from zero is counted, and never called unbeaten."""
    hazy = row("d.f.s", cadr_m3h=900.0, sound_dba=30.0, flags=("CADR_ZERO",))
    said = _said(rows=(*ROWS[:3], hazy), figure="scatter", x="sound_dba", y="cadr_m3h")
    assert said.startswith("Of 4 configurations 2 are beaten by no other")
    assert "900" not in said


def test_two_quantities_are_answered_by_what_nothing_beats() -> None:
    """C is beaten by B, which is quieter and cleans more; the others are not beaten."""
    said = _said(figure="scatter", x="sound_dba", y="cadr_m3h")
    assert said.startswith(
        "Of 4 configurations 3 are beaten by no other on both sound level and CADR: "
        "from D, 30.0 dB(A) with 100 m³/h to A, 55.0 dB(A) with 300 m³/h."
    )


@pytest.mark.parametrize(
    "asked",
    [
        {"figure": "ranked"},
        {"figure": "ranked", "y": "cadr_m3h"},
        {"figure": "decay"},
        {"figure": "scatter", "x": "sound_dba", "y": "cadr_m3h", "mixed": True},
    ],
)
def test_clean_air_is_answered_by_what_can_be_told_apart(asked: dict[str, Any]) -> None:
    """For clean air, and where methods may not be compared, it is that sentence."""
    mixed = bool(asked.pop("mixed", False))
    finding = ComparisonFinding(ROWS, (), (), mixed_methods=mixed)
    assert _said(mixed=mixed, **asked) == sentence(ENGLISH, finding, NAMES)


def test_what_may_be_as_good_is_named() -> None:
    """C is beaten by B, but their intervals meet: C may be as good."""
    rows = (
        row("b.f.s", cadr_m3h=200.0, cadr_low=180.0, cadr_high=220.0, sound_dba=40.0),
        row("c.f.s", cadr_m3h=190.0, cadr_low=170.0, cadr_high=210.0, sound_dba=45.0),
    )
    said = _said(rows=rows, figure="scatter", x="sound_dba", y="cadr_m3h")
    assert said.endswith("As far as the intervals tell, C may be as good.")
    many = (
        *rows,
        *(
            row(
                f"{n}.f.s",
                cadr_m3h=190.0,
                cadr_low=170.0,
                cadr_high=210.0,
                sound_dba=45.0,
            )
            for n in "dea"
        ),
    )
    said = _said(rows=many, figure="scatter", x="sound_dba", y="cadr_m3h")
    assert said.endswith("Another 4 may be as good as far as the intervals tell.")
