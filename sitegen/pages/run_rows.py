"""The runs of a device: repeats, rejected ones with their reasons, what is noted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from sitegen.findings.views import Interval, Labels
from sitegen.pages.addresses import Address, of_record
from sitegen.pages.code_words import CAUSES, RUN_KINDS, STATUSES, VALIDITY, word
from sitegen.pages.configuration_names import capital, setting_name, speed_label
from sitegen.pages.flag_words import FlagWord, flag_words, flags_line
from sitegen.pages.formats import (
    date_text,
    in_units,
    interval_text,
    number,
    sound_text,
)
from sitegen.pages.frame import Block, Site
from sitegen.pages.words import Words

_OUTLIER = "OUTLIER"
_KINDS = ("decay", "sound", "power", "natural-decay")


@dataclass(frozen=True, slots=True)
class RunBrief:
    """A run, as far as a page of something else shows it.

    Attributes:
        id: its id.
        kind: ``decay``, ``natural-decay``, ``sound`` or ``power``.
        day: ISO date on which it was made.
        status: ``accepted``, ``rejected`` or ``superseded``.
        filter: id of the filter, or ``""``.
        speed: id of the fan speed, or ``""``.
        method: id of the method.
        specimen: which unit, or ``""``.
        cadr: its CADR of the primary fraction, m³/h, or nothing.
        mean: mean of a sound or power run's readings with the device, or nothing.
        unit: unit of that mean.
        validity: ``rated``, ``notes``, ``not_rated``, or ``""`` for runs unfitted.
        flags: codes of raised checks.
        undecided: those among them that await the tester's decision.
        cause: code of the cause that a decision names, or ``""``.
        reason: the decision's text, or nothing.
    """

    id: str
    kind: str
    day: str
    status: str
    filter: str = ""
    speed: str = ""
    method: str = ""
    specimen: str = ""
    cadr: Interval | None = None
    mean: float | None = None
    unit: str = ""
    validity: str = ""
    flags: tuple[str, ...] = ()
    undecided: tuple[str, ...] = ()
    cause: str = ""
    reason: Block | None = None


@dataclass(frozen=True, slots=True)
class RunRow:
    """A run in a list.

    Attributes:
        id: its id.
        to: its page.
        day: date in words.
        setting: speed and filter, or ``""``.
        unit: which specimen, or ``""``.
        cadr: its CADR, or ``""``.
        interval: its interval, or ``""``.
        read: mean of its readings with the unit, or ``""``.
        status: whether it counts, in words.
        notes: what is to be noted, or ``""``.
        undecided: what the tester has not decided yet, or ``""``.
        cause: cause of a decision, or ``""``.
        reason: its text, or nothing.
        set_back: whether it does not count.
    """

    id: str
    to: Address
    day: str
    setting: str
    unit: str
    cadr: str
    interval: str
    read: str
    status: str
    notes: str
    undecided: str
    cause: str
    reason: Block | None
    set_back: bool


@dataclass(frozen=True, slots=True)
class RunGroup:
    """Runs of one kind.

    Attributes:
        kind: code of the kind.
        label: the kind in words.
        rows: the runs: by setting, then by day.
    """

    kind: str
    label: str
    rows: tuple[RunRow, ...]


@dataclass(frozen=True, slots=True)
class RunList:
    """All runs of a device.

    Attributes:
        groups: one a kind.
        sentence: how many there are, and how many do not count.
        unit: unit of CADR.
        several_units: whether more than one specimen was tested.
        meanings: the checks that were raised, explained.
    """

    groups: tuple[RunGroup, ...]
    sentence: str
    unit: str
    several_units: bool
    meanings: tuple[FlagWord, ...]


def run_list(
    words: Words,
    site: Site,
    labels: Labels,
    runs: Sequence[RunBrief],
    noted: Iterable[str] = (),
    standing_off: Mapping[str, bool] | None = None,
) -> RunList:
    """Return the runs of a device, ready for its page.

    Args:
        words: the interface's words.
        site: units.
        labels: names of the device's parts.
        runs: the runs.
        noted: codes of checks raised on results, to be explained too.
        standing_off: runs that stand off from their repeats, and whether the tester
            has decided on each.
    """
    off = standing_off or {}
    runs = [_with_flag(run, off[run.id]) if run.id in off else run for run in runs]
    several = len({run.specimen for run in runs if run.specimen}) > 1
    speeds = {name: at for at, (name, _) in enumerate(labels.speeds)}
    ordered = sorted(
        runs, key=lambda r: (-speeds.get(r.speed, -1), r.filter, r.day, r.id)
    )
    kinds = [*_KINDS, *sorted({run.kind for run in runs} - set(_KINDS))]
    groups = [
        RunGroup(
            kind,
            words("Runs: {kind}", kind=word(words, RUN_KINDS, kind)),
            tuple(
                _row(words, site, labels, run, several=several)
                for run in ordered
                if run.kind == kind
            ),
        )
        for kind in kinds
    ]
    raised = [*noted, *(code for run in runs for code in run.flags)]
    return RunList(
        groups=tuple(group for group in groups if group.rows),
        sentence=_sentence(words, runs),
        unit=in_units(0.0, "m³/h", site.units)[1],
        several_units=several,
        meanings=flag_words(words, raised),
    )


def _with_flag(run: RunBrief, decided: bool) -> RunBrief:
    """Return a run with the flag that its result raised for it."""
    waiting = run.undecided if decided else (*run.undecided, _OUTLIER)
    return replace(run, flags=(*run.flags, _OUTLIER), undecided=waiting)


def _sentence(words: Words, runs: Sequence[RunBrief]) -> str:
    rejected = sum(run.status == "rejected" for run in runs)
    replaced = sum(run.status == "superseded" for run in runs)
    said = [words.plural("{n} run in all.", "{n} runs in all.", len(runs))]
    if rejected:
        said.append(
            words.plural(
                "{n} was rejected and is shown with its reason.",
                "{n} were rejected and are shown with their reasons.",
                rejected,
            )
        )
    if replaced:
        said.append(
            words.plural("{n} was superseded.", "{n} were superseded.", replaced)
        )
    return " ".join(said)


def _row(
    words: Words, site: Site, labels: Labels, run: RunBrief, *, several: bool
) -> RunRow:
    cadr = interval = ""
    if run.cadr is not None:
        low, mid, high = (
            in_units(value, "m³/h", site.units)[0]
            for value in (run.cadr.low, run.cadr.value, run.cadr.high)
        )
        cadr, interval = interval_text(Interval(mid, low, high), words)
    setting = ""
    if run.speed:
        several_filters = run.filter and len(labels.filters) != 1
        setting = (
            setting_name(words, labels, run.filter, run.speed)
            if several_filters
            else speed_label(words, labels, run.speed)
        )
    notes = _flags(words, run.flags)
    if run.validity == "not_rated":
        rated = word(words, VALIDITY, "not_rated")
        notes = words("{what}: {why}", what=rated, why=notes) if notes else rated
    cause = word(words, CAUSES, run.cause) if run.cause else ""
    return RunRow(
        id=run.id,
        to=of_record("run", run.id),
        day=date_text(run.day, words),
        setting=capital(setting),
        unit=run.specimen if several else "",
        cadr=cadr,
        interval=interval,
        read=_read(words, run),
        status=word(words, STATUSES, run.status),
        notes=notes,
        undecided=_flags(words, run.undecided),
        cause=cause,
        reason=run.reason,
        set_back=run.status != "accepted" or run.validity == "not_rated",
    )


def _flags(words: Words, codes: Sequence[str]) -> str:
    """Return the flags of a run in words; OUTLIER is then said of this run."""
    line = flags_line(words, [code for code in codes if code != _OUTLIER])
    if _OUTLIER not in codes:
        return line
    off = words("stands off from its repeats")
    return f"{line}; {off}" if line else off


def _read(words: Words, run: RunBrief) -> str:
    """Return the mean of a run's readings as read, background and all."""
    if run.mean is None:
        return ""
    if run.kind == "sound":
        shown = sound_text(run.mean, None, None, words=words).value
    else:
        shown = number(run.mean, 3, words)
    return f"{shown} {run.unit}"
