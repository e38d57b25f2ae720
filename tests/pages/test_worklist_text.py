"""The worklist in words."""

from __future__ import annotations

from sitegen.findings.settle import Settling
from sitegen.findings.worklist import WorkItem
from sitegen.pages.worklist_text import work_groups, worklist_text

ITEMS = (
    WorkItem(
        "undecided", "run:r1", "alder.fine.high", codes=("STEP", "SENSOR"), runs=0
    ),
    WorkItem(
        "outlier",
        "run:r2",
        "alder.fine.low",
        settling=Settling("outlier", "decide", run="r2"),
    ),
    WorkItem(
        "repeatability-differs",
        "method:decay-a",
        method="decay-a",
        old=0.036,
        new=0.0477,
        degrees=84,
    ),
    WorkItem(
        "wide",
        "device:alder",
        "alder.fine.high",
        settling=Settling("wide", "runs", 2, 1, share=0.09),
        share=0.13,
    ),
    WorkItem(
        "natural-old",
        "run:n1",
        method="decay-a",
        day="2026-10-01",
        days=50,
        valid_days=30,
    ),
    WorkItem("sound-missing", "device:alder", "alder.fine.low"),
    WorkItem("claim-unanswered", "device:alder", text="180 m³/h"),
)
EXPECTED = """\
May be wrong until somebody has looked (3)
  r1 (alder.fine.high): not yet decided: a step in the decay; sensors disagree. \
Look for a door or a fan at that moment. Look which instrument is off, and at its \
calibration. Record what was found as its decision.
  r2 (alder.fine.low): run r2 stands off from its repeats. Look at its log and notes, \
then record what was found as its decision.
  decay-a: the adopted repeatability is 3.6 %, its repeats give 4.8 % now (84 degrees \
of freedom). Look at the settings whose runs differ most, then: sitegen adopt decay-a

Too vague to choose by (2)
  alder.fine.high: the interval reaches 13 % either way. 2 more runs and 1 more \
natural decay would narrow the interval to about 9 % either way.
  decay-a: its newest natural decay is 50 days old; the method allows 30. Measure a \
natural decay, better two, with the next runs.

Not there yet (2)
  alder.fine.low: clean air is measured, sound is not. Measure its sound level.
  alder: the claim “180 m³/h” stands unanswered. Measure what it is about."""


def test_list_as_text() -> None:
    """Every kind of item says what is the matter and what to do, under its weight."""
    assert worklist_text(ITEMS) == EXPECTED


def test_nothing_left() -> None:
    """An empty list says so."""
    assert worklist_text(()) == "Nothing is left to do."
    assert work_groups(()) == ()


def test_groups_keep_the_order() -> None:
    """The page shows the same lines as the terminal, by weight and in order."""
    groups = work_groups(ITEMS)
    assert [len(group.lines) for group in groups] == [3, 2, 2]
    shown = [f"  {x.name}: {x.what} {x.remedy}" for g in groups for x in g.lines]
    assert [line for line in EXPECTED.splitlines() if line.startswith(" ")] == shown
