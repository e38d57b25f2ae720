"""The section on repeatability of a method's page."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sitegen.findings.repeatability import (
    AdoptedRepeatability,
    CurrentRepeatability,
    RepeatabilityFinding,
)
from sitegen.findings.views import Labels
from sitegen.pages.repeatability import RepeatabilityShown, repeatability_shown
from sitegen.pages.words import ENGLISH

CURRENT = CurrentRepeatability(
    cv=0.0477,
    degrees=84.0,
    configurations=72,
    runs=156,
    limit=0.1414,
    bartlett_p=0.0036,
    cochran_p=0.000005,
    variable=("alder.fine.high",),
    steady_cv=0.0414,
    apart=5,
)
ADOPTED = AdoptedRepeatability(0.036, 58.0, "2026-06-30", 0.105)
NAMES = {
    "alder": Labels(
        "alder",
        "Alder",
        "Quillmoor",
        "portable",
        (("high", "2"),),
        (("fine", "Fine"),),
        held=False,
        withdrawn=False,
    )
}


def shown(
    adopted: AdoptedRepeatability | None,
    current: CurrentRepeatability | None,
    *,
    differ: bool = False,
) -> RepeatabilityShown:
    both = adopted is not None and current is not None
    found = RepeatabilityFinding(
        "decay-a",
        "pm2_5",
        adopted,
        current,
        1.327 if both else None,
        0.024 if both else None,
        differ,
    )
    return repeatability_shown(ENGLISH, found, NAMES)


def test_side_by_side() -> None:
    """Figure, limit and degrees of freedom of both stand in one table."""
    assert shown(ADOPTED, CURRENT).rows == (
        ("Coefficient of variation", "3.6 %", "4.8 %"),
        ("Repeatability limit", "10 %", "14 %"),
        ("Degrees of freedom", "58", "84"),
    )


@pytest.mark.parametrize(
    ("differ", "said"),
    [
        (True, "they differ by more than chance explains (F test, p = 0.024)"),
        (False, "no more than chance explains (F test, p = 0.024)"),
    ],
)
def test_whether_they_differ(differ: bool, said: str) -> None:
    """The ratio and the test's outcome are told, and what the adopted limit means."""
    text = " ".join(shown(ADOPTED, CURRENT, differ=differ).said)
    assert "Two runs of one setting differ by less than 10 % in 95 % of cases." in text
    assert "The current one is 1.33 times the adopted" in text
    assert said in text


def test_too_few_to_be_adopted() -> None:
    """Below eight degrees of freedom none should be adopted yet."""
    few = replace(CURRENT, degrees=7.0)
    text = " ".join(shown(None, few).said)
    assert "None should be adopted yet" in text
    assert "less than 14 %" in text
    enough = " ".join(shown(None, replace(CURRENT, degrees=8.0)).said)
    assert "None is adopted" in enough


def test_no_repeats() -> None:
    """Without repeats it is said that there is nothing; an adopted one still holds."""
    assert shown(None, None).said == (
        "Nothing has been repeated yet, so that none can be given.",
    )
    kept = shown(ADOPTED, None)
    assert kept.rows[0] == ("Coefficient of variation", "3.6 %", "")
    assert len(kept.said) == 1


def test_what_it_rests_on_and_which_scatter_more() -> None:
    """Runs, settings, the tests' outcome and those that scatter more are named."""
    made = shown(ADOPTED, CURRENT)
    text = " ".join(made.rests)
    assert "Adopted on 30 June 2026." in text
    assert "The current one rests on 156 runs of 72 settings." in text
    assert "(Bartlett, p = 0.004; Cochran, p below 0.001)" in text
    assert "Without those named below the current one would be 4.1 %" in text
    assert "takes 5 runs of each." in text
    assert [link.to.path for link in made.variable] == ["devices/alder/"]


def test_alike_and_not_tested() -> None:
    """Settings that scatter alike are said to, and what cannot be tested is told."""
    alike = replace(
        CURRENT, bartlett_p=0.34, cochran_p=0.89, variable=(), steady_cv=None
    )
    assert "The settings scatter alike" in " ".join(shown(None, alike).rests)
    untested = replace(alike, bartlett_p=None, cochran_p=None, apart=None)
    text = " ".join(shown(None, untested).rests)
    assert "Whether settings scatter alike cannot be tested yet." in text
    assert "To tell two" not in text
