"""The few numbers that head the page of a run."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.findings.views import Clearance, DecayReport, RunRow
from sitegen.measure.energy import mean_power
from sitegen.measure.sound import measured_level
from sitegen.model import PowerRun, SoundRun
from sitegen.pages.code_words import CLEARANCE_BASES, word
from sitegen.pages.formats import (
    Shown,
    estimate_text,
    number,
    percent,
    sound_text,
    unit_text,
)
from sitegen.pages.frame import Site
from sitegen.pages.run_evidence import flow_text, headed_row
from sitegen.pages.run_words import BACKGROUNDS
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class NumberShown:
    """One number of the strip.

    Attributes:
        label: what it is.
        value: the number, or why there is none.
        unit: its unit, or ``""``.
        interval: its 95 % interval, or ``""``.
        note: where it comes from, or ``""``.
        missing: whether there is no number.
    """

    label: str
    value: str
    unit: str = ""
    interval: str = ""
    note: str = ""
    missing: bool = False


def decay_numbers(
    site: Site, words: Words, report: DecayReport
) -> tuple[NumberShown, ...]:
    """Return CADR, decay rates and clearance time of a run; none without a fit."""
    row = headed_row(report)
    if row is None:
        return ()
    decay = estimate_text(row.decay_per_h, row.decay_low, row.decay_high, words)
    if report.kind == "natural-decay":
        return (_shown(words("Natural decay rate"), decay, "1/h"),)
    shown = [
        _cadr(site, words, row),
        _shown(words("Decay rate, device on"), decay, "1/h"),
        _natural(words, row),
    ]
    if report.clearance is not None:
        shown.append(_clearance(words, report.clearance))
    return tuple(shown)


def _shown(label: str, shown: Shown, unit: str, note: str = "") -> NumberShown:
    return NumberShown(label, shown.value, unit, shown.interval, note)


def _cadr(site: Site, words: Words, row: RunRow) -> NumberShown:
    label = words("Clean air delivered (CADR), this run alone")
    shown = flow_text(words, site.units, row.cadr_m3h, row.cadr_low, row.cadr_high)
    if not shown.value:
        missing = words("none: no natural decay to take off")
        return NumberShown(label, missing, missing=True)
    return _shown(label, shown, unit_text("cadr_m3h", site.units, site.currency, words))


def _natural(words: Words, row: RunRow) -> NumberShown:
    label = words("Natural decay rate, taken off")
    if row.natural_per_h is None:
        return NumberShown(label, words("not measured"), missing=True)
    return NumberShown(label, number(row.natural_per_h, 3, words), "1/h")


def _clearance(words: Words, found: Clearance) -> NumberShown:
    label = words("Clearance time")
    basis = word(words, CLEARANCE_BASES, found.basis)
    if found.minutes is not None:
        shown = estimate_text(found.minutes, found.low, found.high, words)
        return _shown(label, shown, "min", basis)
    note = ""
    if found.within_min is not None and found.lowest is not None:
        note = words(
            "{share} of the start level was left after {n} min",
            share=percent(found.lowest, 2, words),
            n=number(found.within_min, 3, words, plain=True),
        )
    return NumberShown(label, basis, note=note, missing=True)


def sound_numbers(words: Words, run: SoundRun) -> tuple[NumberShown, ...]:
    """Return the level of a sound run, with the background taken off where it may be.

    The interval depends on the meter; it stands with the result, on the device's page.
    """
    if not run.readings_dba:
        return ()
    found = measured_level(run.readings_dba, run.background_dba or None)
    shown = sound_text(found.level_dba, None, None, found.limit, words)
    note = ""
    if found.background is not None:
        note = word(words, BACKGROUNDS, found.background.grade)
    numbers = [_shown(words("Sound level"), shown, "dB(A)", note)]
    if run.background_dba:
        base = measured_level(run.background_dba).level_dba
        shown = sound_text(base, None, None, words=words)
        numbers.append(_shown(words("Background, device off"), shown, "dB(A)"))
    else:
        missing = words("not measured")
        numbers.append(
            NumberShown(words("Background, device off"), missing, missing=True)
        )
    return tuple(numbers)


def power_numbers(
    words: Words, run: PowerRun, resolution_w: float | None = None
) -> tuple[NumberShown, ...]:
    """Return the mean power of a power run, running and off.

    Args:
        words: the interface's words.
        run: the run.
        resolution_w: smallest step of the meter, W; a mean off under it is said to be
            below it.
    """
    shown = []
    for label, readings in (
        (words("Power, running"), run.readings_w),
        (words("Power, switched off"), run.standby_w),
    ):
        if readings:
            watts = mean_power(readings).watts
            mean = number(watts, 3, words)
            if resolution_w is not None and watts < resolution_w:
                least = number(resolution_w, 3, words, plain=True)
                mean = words("below {n}", n=least)
            note = words.plural("{n} reading", "{n} readings", len(readings))
            shown.append(NumberShown(label, mean, "W", note=note))
    return tuple(shown)
