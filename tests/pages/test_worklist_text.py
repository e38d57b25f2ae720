"""The worklist in words."""

from __future__ import annotations

from sitegen.findings.settle import Settling
from sitegen.findings.worklist import WorkItem
from sitegen.pages.worklist_text import work_groups, work_line

ITEMS = (
    WorkItem(
        "correction-open",
        "change:2026-09-12-odd",
        text="run:r9, device:alder",
        day="2026-09-12",
        days=1,
    ),
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
    WorkItem("speed-missing", "device:alder", "alder.fine.mid", comparisons=2),
    WorkItem("cadr-missing", "device:alder", "alder.fine.top", comparisons=1),
    WorkItem(
        "halved-by-one",
        "device:alder",
        "alder.fine.low",
        method="decay-a",
        settling=Settling("wide", "runs", 1, share=0.06),
        share=0.12,
    ),
    WorkItem(
        "wide",
        "device:alder",
        "alder.fine.high",
        method="decay-a",
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
    WorkItem("claim-unanswered", "device:alder", text="180 m³/h", quantity="cadr"),
    WorkItem("claim-unanswered", "device:alder", text="38 W", quantity="power"),
)
EXPECTED = """\
May be wrong until somebody has looked
  2026-09-12-odd: this correction has been open for 1 day, and marks every page that \
rests on run:r9, device:alder. Put right what it names, then close it.
      closed: DATE   (in records/changes/2026-09-12-odd.yaml)
  r1 (alder.fine.high): not yet decided: a step in the decay; sensors disagree. \
Look for a door or a fan at that moment. Look which instrument is off, and at its \
calibration. Record what was found as its decision.
      sitegen run r1 --decide STEP "WHAT WAS FOUND"
  r2 (alder.fine.low): run r2 stands off from its repeats. Look at its log and notes, \
then record what was found as its decision.
      sitegen run r2 --decide OUTLIER "WHAT WAS FOUND"
  decay-a: the adopted repeatability is 3.6 %, its repeats give 4.8 % now (84 degrees \
of freedom). Look at the settings whose runs differ most, then adopt the current one.
      sitegen adopt decay-a

Asked for by a comparison, and not there
  alder.fine.mid: its other speeds stand in a comparison, this one was not measured. \
Run a decay test and measure its sound level.
      sitegen intake LOG --of alder.fine.mid
  alder.fine.top: sound is measured, clean air is not. Run a decay test.
      sitegen intake LOG --of alder.fine.top

Too vague to choose by
  alder.fine.low: the interval reaches 12 % either way. 1 more run would halve it.
      sitegen intake LOG --of alder.fine.low --method decay-a
  alder.fine.high: the interval reaches 13 % either way. 2 more runs and 1 more \
natural decay would narrow the interval to about 9 % either way.
      sitegen intake LOG --of alder.fine.high --method decay-a
  decay-a: its newest natural decay is 50 days old; the method allows 30. Measure a \
natural decay, better two, with the next runs.
      sitegen intake LOG --natural --method decay-a

Not there yet, and no comparison asks for it
  alder.fine.low: clean air is measured, sound is not. Measure its sound level.
      kind: sound, device: alder, filter: fine, speed: low   (a new record in \
records/runs)
  alder: the claim “180 m³/h” stands unanswered. Measure what it is about.
      sitegen intake LOG --of alder.FILTER.SPEED
  alder: the claim “38 W” stands unanswered. Measure what it is about.
      kind: power, device: alder, filter: FILTER, speed: SPEED   (a new record in \
records/runs)"""


def test_list_in_words() -> None:
    """Every kind of item says why it is there, what to do, and what settles it."""
    blocks = []
    for group in work_groups(ITEMS):
        lines = [group.heading]
        for one in group.lines:
            lines.append(f"  {one.name}: {one.what} {one.remedy}")
            lines.append(f"      {one.settled_by}")
        blocks.append("\n".join(lines))
    assert "\n\n".join(blocks) == EXPECTED


def test_what_no_run_settles_names_no_command() -> None:
    """Where neither a command nor a record would help, none is named."""
    item = WorkItem(
        "wide", "device:alder", "alder.fine.low", settling=Settling("wide", "room")
    )
    assert work_line(item).settled_by == ""


def test_nothing_left() -> None:
    """An empty list has no groups."""
    assert work_groups(()) == ()
