"""What is not settled, in the words of the device's page."""

from __future__ import annotations

import pytest

from sitegen.findings.results import Outlying, Pooled
from sitegen.findings.settle import Settling, Surprise
from sitegen.findings.views import Interval, Labels
from sitegen.pages.run_rows import RunBrief, run_list
from sitegen.pages.unsettled import outlying, sentences_of, unsettled
from sitegen.pages.words import ENGLISH
from tests.findings.builders import row
from tests.pages.builders import SITE

LABELS = Labels(
    "alder",
    "Alder",
    "Quillmoor",
    "portable",
    (("low", "1"), ("high", "2")),
    (("fine", "Fine filter"), ("coarse", "Coarse filter")),
    held=False,
    withdrawn=False,
)


def surprise(*steps: Settling, halved: Settling | None = None) -> Surprise:
    return Surprise("alder", "fine", "high", "decay-a", 2, 0.134, steps, halved)


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (
            Settling("wide", "runs", 2, share=0.10),
            "The interval reaches 13 % either way. 2 more runs would narrow the "
            "interval to about 10 % either way.",
        ),
        (
            Settling("wide", "runs", 0, 1, natural_limits=True, share=0.09),
            "The interval reaches 13 % either way. 1 more natural decay would narrow "
            "the interval to about 9 % either way. More runs with the device on alone "
            "would not.",
        ),
        (
            Settling("single", "second-run", 1),
            "It rests on a single run. One more run would show how far its runs "
            "differ.",
        ),
        (
            Settling("zero", "runs", 1, share=0.8),
            "Its clean air cannot be told from none. 1 more run would most likely tell "
            "it.",
        ),
        (
            Settling("claim", "room", claim="180 m³/h"),
            "The interval cannot tell whether the claim “180 m³/h” holds. More runs "
            "would not help: the volume of the room and the sensors' linearity set the "
            "limit.",
        ),
        (
            Settling("outlier", "decide", run="r9"),
            "Run r9 stands off from its repeats. What was found about it has not been "
            "recorded yet.",
        ),
    ],
)
def test_reason_and_remedy(step: Settling, said: str) -> None:
    """Each reason is a sentence, and the sentence after it says what settles it."""
    assert " ".join(sentences_of(ENGLISH, surprise(step))) == said


def test_halving_is_told_where_it_is_within_reach() -> None:
    """What would halve an interval is said unless it takes more than eight tests."""
    wide = Settling("wide", "runs", 1, share=0.09)
    near = surprise(wide, halved=Settling("wide", "runs", 4, 1, share=0.06))
    assert sentences_of(ENGLISH, near)[-1] == (
        "4 more runs and 1 more natural decay would halve it."
    )
    far = surprise(wide, halved=Settling("wide", "runs", 7, 2, share=0.06))
    assert len(sentences_of(ENGLISH, far)) == 2
    same = surprise(wide, halved=Settling("wide", "runs", 1, share=0.06))
    assert len(sentences_of(ENGLISH, same)) == 2


def test_one_remedy_for_several_reasons_is_said_once() -> None:
    """What settles two reasons alike stands once, after both."""
    steps = (
        Settling("wide", "new-method"),
        Settling("claim", "new-method", claim="180"),
    )
    said = sentences_of(ENGLISH, surprise(*steps))
    assert len(said) == 3
    assert said[2].startswith("Its method has been replaced")


def test_setting_is_named_with_its_filter_where_there_are_several() -> None:
    """A configuration is called by speed and filter, as elsewhere on the page."""
    (shown,) = unsettled(ENGLISH, LABELS, [surprise(Settling("zero", "limit-stands"))])
    assert shown.setting == "Speed 2, Fine filter"


def off(*, decided: bool) -> Outlying:
    return Outlying(
        "r9",
        "robust",
        4.0,
        3.5,
        Interval(196.0, 181.0, 211.0),
        Interval(182.5, 176.3, 188.9),
        decided,
    )


@pytest.mark.parametrize("decided", [True, False])
def test_both_means_and_whether_it_is_decided(decided: bool) -> None:
    """With the run and without it, each with its interval and the unit."""
    item = Pooled(row(), ("a",), (), None, None, 0.1, outlying=off(decided=decided))
    none = Pooled(row(), ("a",), (), None, None, 0.1)
    (shown,) = outlying(ENGLISH, SITE, LABELS, [none, item])
    assert (shown.run, shown.unit, shown.decided) == ("r9", "m³/h", decided)
    assert (shown.included, shown.included_interval) == ("196", "181 to 211")
    assert (shown.excluded, shown.excluded_interval) == ("182.5", "176.3 to 188.9")


@pytest.mark.parametrize("decided", [True, False])
def test_run_in_the_list_says_that_it_stands_off(decided: bool) -> None:
    """The run's row carries the note, and asks for a decision until there is one."""
    runs = [
        RunBrief("r9", "decay", "2026-01-02", "accepted", flags=("CURV",)),
        RunBrief("r8", "decay", "2026-01-01", "accepted"),
    ]
    listed = run_list(ENGLISH, SITE, LABELS, runs, (), {"r9": decided})
    rows = {one.id: one for one in listed.groups[0].rows}
    assert rows["r9"].notes == "decay bends; stands off from its repeats"
    assert rows["r9"].undecided == ("" if decided else "stands off from its repeats")
    assert (rows["r8"].notes, rows["r8"].undecided) == ("", "")
    assert "OUTLIER" in {meaning.code for meaning in listed.meanings}
