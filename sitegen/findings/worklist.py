"""The worklist: what to look at, repeat, renew or test next, and why.

The order is by value to readers: wrong before wanted before doubtful before missing.

1. *Wrong*: a number that stands on the site may be false until the tester has looked:
   corrections that are not closed, checks marked for a decision, runs that stand off
   from their repeats, and an adopted repeatability that differs from the current one,
   which makes every interval under its method too narrow or too wide.
2. *Wanted*: a named comparison, which readers are led to, lacks it: a speed of a device
   that was never measured, sound or clean air of a configuration that stands there.
3. *Doubtful*: the number is as good as the data, but too vague to choose by: results
   whose repeats differ, that cannot be told from zero, that rest on a single run, that
   leave a claim open, that one more run would halve, that are wide; a method whose
   repeats would allow narrower intervals once adopted; natural decays that are out of
   date for the next run.
4. *Missing*: a number that is not there and that no comparison asks for: sound for a
   configuration with clean air, clean air for one with sound, a claim that could be
   held against a measurement and is not.

Within a kind what is asked for most comes first (each named comparison, and each video
that links one), then what has waited longest, then what fewer further runs settle, then
by name. Today's date is asked for only when the list is made.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from sitegen.findings.open_state import (
    ArchiveState,
    DeviceState,
    NaturalState,
    UndecidedRun,
)
from sitegen.findings.repeatability import RepeatabilityFinding
from sitegen.findings.settle import Settling

Kind = Literal[
    "correction-open",
    "undecided",
    "outlier",
    "repeatability-differs",
    "speed-missing",
    "variable",
    "zero",
    "single",
    "claim-open",
    "halved-by-one",
    "wide",
    "repeatability-missing",
    "natural-old",
    "sound-missing",
    "cadr-missing",
    "claim-unanswered",
]
Weight = Literal["wrong", "wanted", "doubtful", "missing"]

ORDER: tuple[Kind, ...] = get_args(Kind)
WEIGHTS: tuple[Weight, ...] = get_args(Weight)
_WRONG = ORDER[:4]
_MISSING = ORDER[13:]
_IN_PART: tuple[Kind, ...] = ("sound-missing", "cadr-missing")
_OF_GAP: Mapping[str, Kind] = {
    "sound": "sound-missing",
    "cadr": "cadr-missing",
    "both": "speed-missing",
}
_OF_REASON: Mapping[str, Kind] = {
    "outlier": "outlier",
    "variable": "variable",
    "zero": "zero",
    "single": "single",
    "claim": "claim-open",
    "wide": "wide",
}


@dataclass(frozen=True, slots=True)
class WorkItem:
    """One thing to do.

    Attributes:
        kind: what sort of thing.
        subject: the record concerned, ``KIND:ID``.
        configuration: ``DEVICE.FILTER.SPEED``, or ``""``.
        method: id of the method, or ``""``.
        comparisons: how often the configuration is asked for: once for each named
            comparison that it stands in, and once more for each video that links that;
            for a missing speed the same of its device and filter.
        codes: for undecided checks: their codes.
        settling: for a result that is not settled: reason and remedy, or nothing.
        share: half-width of the result's interval as a share of its CADR, or nothing.
        runs: runs that the result has now.
        text: for a claim: as written.
        old: the adopted coefficient of variation, or nothing.
        new: the current one, or nothing.
        degrees: degrees of freedom of the current one.
        quantity: for a claim: what is claimed.
        day: for a natural decay or a correction: its ISO date, or ``""``.
        days: how many days ago that was, or nothing.
        valid_days: how many the method allows.
    """

    kind: Kind
    subject: str
    configuration: str = ""
    method: str = ""
    comparisons: int = 0
    codes: tuple[str, ...] = ()
    settling: Settling | None = None
    share: float | None = None
    runs: int = 0
    text: str = ""
    quantity: str = ""
    old: float | None = None
    new: float | None = None
    degrees: int = 0
    day: str = ""
    days: int | None = None
    valid_days: int = 0

    @property
    def weight(self) -> Weight:
        """What it does to a reader: wrong, wanted, doubtful or missing."""
        if self.kind in _WRONG:
            return "wrong"
        if self.kind == "speed-missing" or (self.kind in _IN_PART and self.comparisons):
            return "wanted"
        return "missing" if self.kind in _MISSING else "doubtful"


def worklist(state: ArchiveState, today: dt.date) -> tuple[WorkItem, ...]:
    """Return what there is to do, the most valuable to readers first.

    Args:
        state: what is open.
        today: the day against which natural decays and corrections are held.
    """
    compared = dict(state.compared)
    items = [
        *_of_corrections(state, today),
        *(_undecided(run, compared) for run in _runs(state)),
        *_of_repeatability(state.repeatability),
        *_of_results(state.devices, compared),
        *_of_naturals(state.newest_natural, today),
        *_of_gaps(state),
    ]
    return tuple(sorted(items, key=_place))


def _place(item: WorkItem) -> tuple[int, int, int, int, int, str, str, str]:
    step = item.settling
    more = step.more + step.more_natural if step is not None else 0
    # What no further run settles comes after what some do.
    effort = more or 99
    return (
        WEIGHTS.index(item.weight),
        ORDER.index(item.kind),
        -item.comparisons,
        -(item.days or 0),
        effort,
        item.configuration,
        item.subject,
        item.text,
    )


def _of_corrections(state: ArchiveState, today: dt.date) -> Iterator[WorkItem]:
    for found in state.corrections:
        days = (today - dt.date.fromisoformat(found.day)).days
        if days >= 0:
            yield WorkItem(
                "correction-open",
                f"change:{found.change}",
                text=", ".join(found.affects),
                day=found.day,
                days=days,
            )


def _runs(state: ArchiveState) -> Iterator[UndecidedRun]:
    for device in state.devices:
        yield from device.undecided
    yield from state.naturals


def _undecided(run: UndecidedRun, compared: Mapping[str, int]) -> WorkItem:
    return WorkItem(
        "undecided",
        f"run:{run.run}",
        run.configuration,
        run.method,
        compared.get(run.configuration, 0),
        codes=run.codes,
    )


def _of_repeatability(findings: Sequence[RepeatabilityFinding]) -> Iterator[WorkItem]:
    for found in findings:
        current = found.current
        if current is None:
            continue
        kind: Kind
        if found.adopted is not None and found.differ:
            kind = "repeatability-differs"
        elif found.adopted is None and current.good:
            kind = "repeatability-missing"
        else:
            continue
        yield WorkItem(
            kind,
            f"method:{found.method}",
            method=found.method,
            old=found.adopted.cv if found.adopted else None,
            new=current.cv,
            degrees=round(current.degrees),
        )


def _of_results(
    devices: Sequence[DeviceState], compared: Mapping[str, int]
) -> Iterator[WorkItem]:
    for found in (found for device in devices for found in device.surprises):
        for step in found.steps:
            halved = found.halved
            by_one = (
                step.reason == "wide"
                and halved is not None
                and halved.more + halved.more_natural == 1
            )
            yield WorkItem(
                "halved-by-one" if by_one else _OF_REASON[step.reason],
                f"run:{step.run}" if step.run else f"device:{found.device}",
                found.configuration,
                found.method,
                compared.get(found.configuration, 0),
                settling=halved if by_one else step,
                share=found.share,
                runs=found.runs,
                text=step.claim,
            )


def _of_naturals(states: Sequence[NaturalState], today: dt.date) -> Iterator[WorkItem]:
    for state in states:
        days = None
        if state.day:
            days = (today - dt.date.fromisoformat(state.day)).days
        if days is None or days > state.valid_days:
            yield WorkItem(
                "natural-old",
                f"run:{state.run}" if state.run else f"method:{state.method}",
                method=state.method,
                day=state.day,
                days=days,
                valid_days=state.valid_days,
            )


def _of_gaps(state: ArchiveState) -> Iterator[WorkItem]:
    compared, filters = dict(state.compared), dict(state.compared_filters)
    for device in state.devices:
        for gap in device.gaps:
            asked = compared.get(gap.configuration, 0)
            if gap.lacks == "both":
                asked = filters.get(gap.configuration.rpartition(".")[0], 0)
                # Not every speed of every filter is worth a test.
                if not asked:
                    continue
            yield WorkItem(
                _OF_GAP[gap.lacks],
                f"device:{gap.configuration.partition('.')[0]}",
                gap.configuration,
                comparisons=asked,
            )
        for claim in device.claims:
            yield WorkItem(
                "claim-unanswered",
                f"device:{claim.device}",
                text=claim.text,
                quantity=claim.quantity,
            )
