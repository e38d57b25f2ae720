"""What of a result is not settled, and what would settle it, in plain words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from sitegen.findings.results import Pooled
from sitegen.findings.settle import Settling, Surprise
from sitegen.findings.views import Interval, Labels
from sitegen.pages.addresses import Address, of_record
from sitegen.pages.configuration_names import capital, setting_name, speed_label
from sitegen.pages.formats import estimate_text, in_units, percent
from sitegen.pages.frame import Site
from sitegen.pages.words import Words, message

MOST_TO_HALVE = 8
"""More further runs than this to halve an interval are not worth a sentence."""

_SETTLED_BY: Mapping[str, str] = MappingProxyType(
    {
        "second-run": message("One more run would show how far its runs differ."),
        "look": message(
            "Its interval is narrow all the same; what differed between the runs is "
            "still to be found."
        ),
        "room": message(
            "More runs would not help: the volume of the room and the sensors' "
            "linearity set the limit."
        ),
        "not-by-runs": message("No sensible number of runs would settle it."),
        "limit-stands": message(
            "More runs would only lower the upper limit, which is all that can be said."
        ),
        "measure-again": message("Another measurement of the power would tell."),
        "new-method": message(
            "Its method has been replaced: a test under the present one would tell "
            "more than a repeat."
        ),
        "decide": message("What was found about it has not been recorded yet."),
    }
)


@dataclass(frozen=True, slots=True)
class UnsettledShown:
    """A configuration that is not settled.

    Attributes:
        setting: its speed and filter.
        sentences: why, and what would settle it.
    """

    setting: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OutlyingShown:
    """A run that stands off from the other repeats, with both means.

    Attributes:
        run: its id.
        to: its page.
        setting: speed and filter.
        included: CADR with it, as published.
        included_interval: its 95 % interval.
        excluded: CADR without it.
        excluded_interval: its interval.
        unit: unit of both.
        decided: whether a decision is recorded.
    """

    run: str
    to: Address
    setting: str
    included: str
    included_interval: str
    excluded: str
    excluded_interval: str
    unit: str
    decided: bool


def reason_text(words: Words, step: Settling, share: float | None) -> str:
    """Return why a result is not settled, in a sentence.

    Args:
        words: the interface's words.
        step: the reason.
        share: half-width of the interval now, as a share of the CADR.
    """
    if step.reason == "outlier":
        return words("Run {run} stands off from its repeats.", run=step.run)
    if step.reason == "claim":
        return words(
            "The interval cannot tell whether the claim “{claim}” holds.",
            claim=step.claim,
        )
    if step.reason == "wide" and share is not None:
        return words(
            "The interval reaches {share} either way.", share=percent(share, 2, words)
        )
    return {
        "variable": words("Its runs differ by more than this method's repeatability."),
        "zero": words("Its clean air cannot be told from none."),
        "single": words("It rests on a single run."),
    }.get(step.reason, "")


def remedy_text(words: Words, step: Settling) -> str:
    """Return what would settle it, in a sentence."""
    if step.remedy != "runs":
        return words(_SETTLED_BY[step.remedy])
    if step.reason == "zero":
        return words("{runs} would most likely tell it.", runs=more_text(words, step))
    if step.reason == "claim":
        return words("{runs} would most likely tell.", runs=more_text(words, step))
    narrowed = words(
        "{runs} would narrow the interval to about {share} either way.",
        runs=more_text(words, step),
        share=percent(step.share or 0.0, 2, words),
    )
    if not step.natural_limits:
        return narrowed
    return words(
        "{narrowed} More runs with the device on alone would not.", narrowed=narrowed
    )


def more_text(words: Words, step: Settling) -> str:
    """Return ``2 more runs`` or ``1 more run and 2 more natural decays``."""
    runs = words.plural("{n} more run", "{n} more runs", step.more)
    naturals = words.plural(
        "{n} more natural decay", "{n} more natural decays", step.more_natural
    )
    if not step.more_natural:
        return runs
    if not step.more:
        return naturals
    return words("{runs} and {naturals}", runs=runs, naturals=naturals)


def sentences_of(words: Words, found: Surprise) -> tuple[str, ...]:
    """Return all that is said of a result that is not settled."""
    said: list[str] = []
    for at, step in enumerate(found.steps):
        said.append(reason_text(words, step, found.share))
        # What settles several reasons alike is said once, after the last of them.
        remedy = remedy_text(words, step)
        if all(remedy_text(words, later) != remedy for later in found.steps[at + 1 :]):
            said.append(remedy)
    halved = found.halved
    if (
        halved is not None
        and any(step.reason in {"wide", "variable"} for step in found.steps)
        and halved.more + halved.more_natural <= MOST_TO_HALVE
        and not any(_same(step, halved) for step in found.steps)
    ):
        said.append(
            words("{runs} would halve it.", runs=capital(more_text(words, halved)))
        )
    return tuple(said)


def _same(step: Settling, halved: Settling) -> bool:
    return (step.more, step.more_natural) == (halved.more, halved.more_natural)


def unsettled(
    words: Words, labels: Labels, surprises: Sequence[Surprise]
) -> tuple[UnsettledShown, ...]:
    """Return the configurations of a device that are not settled, as given."""
    return tuple(
        UnsettledShown(
            _setting(words, labels, found.filter, found.speed),
            sentences_of(words, found),
        )
        for found in surprises
    )


def outlying(
    words: Words, site: Site, labels: Labels, pooled: Sequence[Pooled]
) -> tuple[OutlyingShown, ...]:
    """Return the runs that stand off, with the means with and without each."""
    shown = []
    for item in pooled:
        off = item.outlying
        if off is None:
            continue
        included, excluded = (
            _flow(words, site, each) for each in (off.included, off.excluded)
        )
        shown.append(
            OutlyingShown(
                run=off.run,
                to=of_record("run", off.run),
                setting=_setting(words, labels, item.row.filter, item.row.speed),
                included=included[0],
                included_interval=included[1],
                excluded=excluded[0],
                excluded_interval=excluded[1],
                unit=in_units(0.0, "m³/h", site.units)[1],
                decided=off.decided,
            )
        )
    return tuple(shown)


def _flow(words: Words, site: Site, flow: Interval) -> tuple[str, str]:
    low, value, high = (
        in_units(each, "m³/h", site.units)[0]
        for each in (flow.low, flow.value, flow.high)
    )
    shown = estimate_text(value, low, high, words)
    return shown.value, shown.interval


def _setting(words: Words, labels: Labels, filter_id: str, speed: str) -> str:
    if len(labels.filters) == 1:
        return capital(speed_label(words, labels, speed))
    return capital(setting_name(words, labels, filter_id, speed))
