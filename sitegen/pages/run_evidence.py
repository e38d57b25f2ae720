"""The evidence of one run, ready for its page: fit, checks, readings, events."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitegen.findings.views import DecayReport, FlagView, ReadingRow, RunRow
from sitegen.measure.step_power import STEP_FALSE_FLAGS, STEP_POWER
from sitegen.model.run import Event
from sitegen.pages.code_words import VALIDITY, word
from sitegen.pages.flag_words import flag_word
from sitegen.pages.formats import (
    Shown,
    estimate_text,
    fixed,
    in_units,
    number,
    percent,
    span,
    whole,
    with_unit,
)
from sitegen.pages.fractions import as_given, fraction_text
from sitegen.pages.run_words import CASES, CHECK_UNITS, EVENTS, READ_WHAT
from sitegen.pages.words import Words

ALL = "all"


@dataclass(frozen=True, slots=True)
class FitRow:
    """What one instrument, or all together, say of one fraction.

    Attributes:
        instrument: its name, or that it is all together.
        fraction: the size fraction.
        points: how many readings were fitted.
        window: first and last minute of the fitted part.
        zero_offset: what was subtracted, or ``""``.
        decay: decay rate, 1/h.
        plain: rate by ordinary least squares, 1/h.
        plain_se: its standard error.
        r_squared: its coefficient of determination.
        natural: natural decay taken off, 1/h, or ``""``.
        cadr: the CADR in the reader's units.
        together: whether it is the row that results rest on.
    """

    instrument: str
    fraction: str
    points: str
    window: str
    zero_offset: str
    decay: Shown
    plain: str
    plain_se: str
    r_squared: str
    natural: str
    cadr: Shown
    together: bool


# Checks that are raised under their limit; all others above it.
LEAST = frozenset({"N_LOW", "RANGE", "FLOOR", "QUANT", "OFF", "NAT_NONE", "NAT_ONE"})


@dataclass(frozen=True, slots=True)
class CheckShown:
    """The outcome of one quality check.

    Attributes:
        code: its permanent code.
        short: its name.
        case: which case of it, which instrument and when, or ``""``.
        meaning: what it means when it is raised.
        value: what was measured, with its unit, or ``""`` where it does not apply.
        limit: what it is held against, or ``""``.
        outcome: passed, raised, or not applicable.
        effect: what a raised check does and whether it was decided, or ``""``.
        raised: whether it is raised.
        power: how often it finds what it looks for, or ``""`` where that is not known.
    """

    code: str
    short: str
    case: str
    meaning: str
    value: str
    limit: str
    outcome: str
    effect: str
    raised: bool
    power: str = ""


@dataclass(frozen=True, slots=True)
class EventShown:
    """Something that happened during the run.

    Attributes:
        at: when.
        what: what happened.
        note: a remark, or ``""``.
    """

    at: str
    what: str
    note: str


def flow_text(
    words: Words,
    units: str,
    value: float | None,
    low: float | None,
    high: float | None,
) -> Shown:
    """Return a flow, stored in m³/h, in the reader's units, without its unit."""
    there = [
        None if each is None else in_units(each, "m³/h", units)[0]
        for each in (value, low, high)
    ]
    return estimate_text(there[0], there[1], there[2], words)


def fit_rows(
    words: Words, units: str, rows: Sequence[RunRow], names: Mapping[str, str]
) -> tuple[FitRow, ...]:
    """Return the rows that hold a fit.

    Args:
        words: the interface's words.
        units: ``metric`` or ``us``.
        rows: rows of the run's report.
        names: names of instruments by id.
    """
    return tuple(
        _fit_row(words, units, row, names)
        for row in rows
        if row.decay_per_h is not None
    )


def _fit_row(words: Words, units: str, row: RunRow, names: Mapping[str, str]) -> FitRow:
    together = row.instrument == ALL
    return FitRow(
        instrument=words("All together")
        if together
        else names.get(row.instrument, row.instrument),
        fraction=fraction_text(words, row.fraction),
        points=whole(row.points, words),
        window=window_text(words, row),
        zero_offset=_plain(words, row.zero_offset),
        decay=estimate_text(row.decay_per_h, row.decay_low, row.decay_high, words),
        plain=_plain(words, row.plain_decay_per_h),
        plain_se=_plain(words, row.plain_se_per_h, 2),
        r_squared="" if row.r_squared is None else fixed(row.r_squared, 4, words),
        natural=_plain(words, row.natural_per_h),
        cadr=flow_text(words, units, row.cadr_m3h, row.cadr_low, row.cadr_high),
        together=together,
    )


def _plain(words: Words, value: float | None, digits: int = 3) -> str:
    return "" if value is None else number(value, digits, words)


def window_text(words: Words, row: RunRow) -> str:
    """Return the fitted part in minutes, ``12.5 to 48``, or ``""``."""
    if row.window_start_min is None or row.window_end_min is None:
        return ""
    return span(
        fixed(row.window_start_min, 1, words),
        fixed(row.window_end_min, 1, words),
        words,
    )


def headed_row(report: DecayReport, fraction: str = "") -> RunRow | None:
    """Return the row of all instruments that a run is headed by.

    The rows of the primary fraction come first in a report; where ``fraction`` is
    given it is that fraction's.
    """
    for row in report.rows:
        if (
            row.instrument == ALL
            and row.decay_per_h is not None
            and fraction in {"", row.fraction}
        ):
            return row
    return None


def checks_shown(
    words: Words, units: str, flags: Sequence[FlagView], names: Mapping[str, str]
) -> tuple[CheckShown, ...]:
    """Return every check, the raised ones first, otherwise in the order given."""
    in_order = sorted(flags, key=lambda flag: not flag.raised)
    return tuple(_check(words, units, flag, names) for flag in in_order)


def _check(
    words: Words, units: str, flag: FlagView, names: Mapping[str, str]
) -> CheckShown:
    named = flag_word(words, flag.code)
    case = [word(words, CASES, flag.about)] if flag.about else []
    if flag.instrument:
        case.append(names.get(flag.instrument, flag.instrument))
    if flag.at_min is not None and flag.raised:
        case.append(words("at {n} min", n=number(flag.at_min, 3, words)))
    if flag.raised:
        outcome = words("raised")
    elif flag.value is None:
        outcome = words("does not apply")
    else:
        outcome = words("passed")
    effect = []
    if flag.raised:
        effect.append(word(words, VALIDITY, flag.validity))
    if flag.raised and flag.decide:
        effect.append(words("decided") if flag.decided else words("not yet decided"))
    applies = flag.value is not None or flag.raised
    return CheckShown(
        code=flag.code,
        short=named.short,
        case=", ".join(case),
        meaning=named.meaning,
        value=_measured(words, units, flag.value, flag.unit),
        limit=_limit(words, units, flag) if applies else "",
        outcome=outcome,
        effect=", ".join(effect),
        raised=flag.raised,
        power=step_power_text(words) if flag.code == "STEP" else "",
    )


def step_power_text(words: Words) -> str:
    """Return how often the check for steps finds one, by simulation, and errs."""
    found = [
        words(
            "{low} to {high} of steps of {step}",
            low=percent(each.least, 3, words),
            high=percent(each.most, 3, words),
            step=percent(each.step, words=words),
        )
        for each in STEP_POWER
    ]
    return words(
        "By simulation, depending on the noise, it finds {shares}; it is raised in at "
        "most {wrong} of runs without one.",
        shares=", ".join(found),
        wrong=percent(STEP_FALSE_FLAGS, words=words),
    )


def _limit(words: Words, units: str, flag: FlagView) -> str:
    """Return the limit with its direction: a check is raised beyond it."""
    limit = _measured(words, units, flag.limit, flag.unit)
    if not limit:
        return ""
    if flag.code in LEAST:
        return words("at least {limit}", limit=limit)
    return words("at most {limit}", limit=limit)


def _measured(words: Words, units: str, value: float | None, unit: str) -> str:
    if value is None:
        return ""
    if not math.isfinite(value):
        return words("without limit")
    return with_unit(value, word(words, CHECK_UNITS, unit), units, words)


def events_shown(words: Words, events: Sequence[Event]) -> tuple[EventShown, ...]:
    """Return what happened, in the order of time."""
    return tuple(
        EventShown(
            at=words("{n} min", n=as_given(words, event.at_min)),
            what=word(words, EVENTS, event.what),
            note=event.note or "",
        )
        for event in sorted(events, key=lambda event: event.at_min)
    )


def reading_lines(
    words: Words, readings: Sequence[ReadingRow]
) -> tuple[tuple[str, ...], ...]:
    """Return single readings as rows: what, position, value with its unit."""
    return tuple(
        (
            word(words, READ_WHAT, row.what),
            whole(row.position, words),
            f"{as_given(words, row.value)} {row.unit}",
        )
        for row in readings
    )
