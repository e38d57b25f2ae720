"""The worklist in words: for the terminal and for the page of the preview alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from sitegen.findings.worklist import Weight, WorkItem
from sitegen.pages.configuration_names import capital
from sitegen.pages.flag_words import flags_line
from sitegen.pages.formats import percent
from sitegen.pages.unsettled import more_text, reason_text, remedy_text
from sitegen.pages.words import ENGLISH, Words, message
from sitegen.pages.worklist_settles import settled_by

_HEADINGS: Mapping[Weight, str] = MappingProxyType(
    {
        "wrong": message("May be wrong until somebody has looked"),
        "wanted": message("Asked for by a comparison, and not there"),
        "doubtful": message("Too vague to choose by"),
        "missing": message("Not there yet, and no comparison asks for it"),
    }
)
_LOOK: Mapping[str, str] = MappingProxyType(
    {
        "STEP": message("Look for a door or a fan at that moment."),
        "SENSOR": message("Look which instrument is off, and at its calibration."),
        "OFF": message("Look when the device was switched on."),
        "AIRFLOW": message("Look at the airflow's figure and at the filter."),
    }
)


@dataclass(frozen=True, slots=True)
class WorkLine:
    """One thing to do, in words.

    Attributes:
        subject: the record concerned, ``KIND:ID``.
        name: what is concerned: a run, a configuration, a method.
        what: why it is on the list.
        remedy: what to do.
        settled_by: the command or the record that settles it, or ``""``.
    """

    subject: str
    name: str
    what: str
    remedy: str
    settled_by: str


@dataclass(frozen=True, slots=True)
class WorkGroup:
    """Things of one weight.

    Attributes:
        heading: what they have in common.
        lines: the things, in order.
    """

    heading: str
    lines: tuple[WorkLine, ...]


def work_groups(
    items: Sequence[WorkItem], words: Words = ENGLISH
) -> tuple[WorkGroup, ...]:
    """Return the worklist by weight, empty groups left out."""
    groups = []
    for weight, heading in _HEADINGS.items():
        lines = tuple(work_line(item, words) for item in items if item.weight == weight)
        if lines:
            groups.append(WorkGroup(words(heading), lines))
    return tuple(groups)


def work_line(item: WorkItem, words: Words = ENGLISH) -> WorkLine:
    """Return one thing to do in words."""
    what, remedy = _said(words, item)
    name = _name(words, item)
    return WorkLine(item.subject, name, what, remedy, settled_by(item))


def _name(words: Words, item: WorkItem) -> str:
    kind, _, record = item.subject.partition(":")
    if item.kind == "natural-old":
        return item.method
    if kind == "run" and item.configuration:
        return words("{run} ({setting})", run=record, setting=item.configuration)
    return item.configuration or record


def _said(words: Words, item: WorkItem) -> tuple[str, str]:
    """Return why an item is on the list, and what to do about it."""
    if item.settling is not None:
        return _result(words, item)
    if item.kind == "correction-open":
        return _correction(words, item)
    if item.kind == "undecided":
        return _undecided(words, item)
    if item.kind in {"repeatability-differs", "repeatability-missing"}:
        return _repeatability(words, item)
    if item.kind == "natural-old":
        return _natural(words, item)
    return {
        "speed-missing": (
            words("its other speeds stand in a comparison, this one was not measured."),
            words("Run a decay test and measure its sound level."),
        ),
        "sound-missing": (
            words("clean air is measured, sound is not."),
            words("Measure its sound level."),
        ),
        "cadr-missing": (
            words("sound is measured, clean air is not."),
            words("Run a decay test."),
        ),
        "claim-unanswered": (
            words("the claim “{claim}” stands unanswered.", claim=item.text),
            words("Measure what it is about."),
        ),
    }[item.kind]


def _result(words: Words, item: WorkItem) -> tuple[str, str]:
    if item.settling is None:
        return "", ""
    remedy = remedy_text(words, item.settling)
    if item.kind == "halved-by-one":
        remedy = words(
            "{runs} would halve it.", runs=capital(more_text(words, item.settling))
        )
    if item.kind == "outlier":
        remedy = words(
            "Look at its log and notes, then record what was found as its decision."
        )
    return _small(reason_text(words, item.settling, item.share)), remedy


def _correction(words: Words, item: WorkItem) -> tuple[str, str]:
    what = words.plural(
        "this correction has been open for {n} day, and marks every page that rests on"
        " {records}.",
        "this correction has been open for {n} days, and marks every page that rests on"
        " {records}.",
        item.days or 0,
        records=item.text,
    )
    return what, words("Put right what it names, then close it.")


def _undecided(words: Words, item: WorkItem) -> tuple[str, str]:
    what = words("not yet decided: {checks}.", checks=flags_line(words, item.codes))
    looks = [words(_LOOK[code]) for code in item.codes if code in _LOOK]
    return what, " ".join([*looks, words("Record what was found as its decision.")])


def _repeatability(words: Words, item: WorkItem) -> tuple[str, str]:
    new = percent(item.new or 0.0, 2, words)
    if item.old is None:
        what = words(
            "no repeatability is adopted, though its repeats give {new} with {degrees} "
            "degrees of freedom.",
            new=new,
            degrees=item.degrees,
        )
    else:
        what = words(
            "the adopted repeatability is {old}, its repeats give {new} now ({degrees} "
            "degrees of freedom).",
            old=percent(item.old, 2, words),
            new=new,
            degrees=item.degrees,
        )
    look = words(
        "Look at the settings whose runs differ most, then adopt the current one."
    )
    return what, look


def _natural(words: Words, item: WorkItem) -> tuple[str, str]:
    remedy = words("Measure a natural decay, better two, with the next runs.")
    if item.days is None:
        return words("no natural decay is recorded under it."), remedy
    what = words.plural(
        "its newest natural decay is {n} day old; the method allows {most}.",
        "its newest natural decay is {n} days old; the method allows {most}.",
        item.days,
        most=item.valid_days,
    )
    return what, remedy


def _small(text: str) -> str:
    """Return a sentence as it goes on after a colon."""
    return f"{text[:1].lower()}{text[1:]}"
