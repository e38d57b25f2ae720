"""The page of a run: the evidence that results rest on, whatever became of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sitegen.findings.index import AnyRun, RunEntry
from sitegen.findings.views import DecayReport, Labels, ReadingRow
from sitegen.model import PowerRun, SoundRun
from sitegen.model.run import DeviceRunBase, SeriesPart
from sitegen.pages.addresses import RUNS, of_record
from sitegen.pages.code_words import (
    CAUSES,
    END_RULES,
    START_RULES,
    STATUSES,
    VALIDITY,
    word,
)
from sitegen.pages.configuration_names import setting_name
from sitegen.pages.flag_words import flags_line
from sitegen.pages.formats import (
    date_text,
    moment_text,
    temperature,
    unit_text,
    with_unit,
)
from sitegen.pages.fractions import as_given
from sitegen.pages.frame import Block, Caution, DrawnFigure, Linked, Page, Site
from sitegen.pages.page_scripts import address_scripts
from sitegen.pages.run_evidence import (
    CheckShown,
    EventShown,
    FitRow,
    checks_shown,
    events_shown,
    fit_rows,
    headed_row,
    reading_lines,
    window_text,
)
from sitegen.pages.run_numbers import (
    NumberShown,
    decay_numbers,
    power_numbers,
    sound_numbers,
)
from sitegen.pages.run_words import FIT_ERRORS, KIND_TITLES
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class RunGiven:
    """What the page shows.

    Attributes:
        run: the run's record.
        labels: names of its device, or nothing for a natural decay.
        entry: the run in short.
        report: what was found in a decay or natural decay, or nothing.
        figures: its figures: readings, residuals.
        naturals: natural decays that are taken off.
        rests: runs that this natural decay is taken off from.
        method: the method followed.
        room: the room, or nothing.
        instruments: instruments of the method.
        texts: Markdown of the record: ``note``, ``decision``, ``window``, ``places``.
        cautions: cautions that follow from method and device.
        readings: single readings of a sound or power run.
        downloads: files that hold its numbers.
        cite: how to cite it.
        superseded_by: the run that takes its place, if it has a page.
        resolution_w: smallest step of a power run's meter, W, or nothing.
    """

    run: AnyRun
    labels: Labels | None
    entry: RunEntry
    report: DecayReport | None
    figures: tuple[DrawnFigure, ...]
    naturals: tuple[Linked, ...]
    rests: tuple[Linked, ...]
    method: Linked
    room: Linked | None
    instruments: tuple[Linked, ...]
    texts: Mapping[str, Block]
    cautions: tuple[Caution, ...]
    readings: tuple[ReadingRow, ...]
    downloads: tuple[Linked, ...]
    cite: str
    superseded_by: Linked | None = None
    resolution_w: float | None = None


@dataclass(frozen=True, slots=True)
class StandingShown:
    """Whether the run counts, and who says so.

    Attributes:
        status: the tester's word on it.
        counts: whether it enters a result.
        checks: what the checks make of it, or ``""`` where there are none.
        noted: names of the raised checks in one line, or ``""``.
        undecided: names of the checks that wait for a decision, or ``""``.
        cause: cause of the decision, or ``""``.
        decided: who decided, and when, or ``""``.
        reason: the reason, or nothing.
        replaced: that another run takes its place, or ``""``.
    """

    status: str
    counts: bool
    checks: str = ""
    noted: str = ""
    undecided: str = ""
    cause: str = ""
    decided: str = ""
    reason: Block | None = None
    replaced: str = ""


@dataclass(frozen=True, slots=True)
class RunContext:
    """What the layout shows.

    Attributes:
        given: what is shown as it was given: links, texts, figures, cautions.
        kind: its kind, for readers.
        day: day on which it was made, for readers.
        device: its device, or nothing.
        setting: speed and filter, or ``""``.
        standing: whether it counts.
        numbers: the numbers that head it.
        decays: whether it is a decay or a natural decay.
        failure: why nothing could be fitted, or ``""``.
        fits: the fits, all instruments together first.
        flow_unit: unit of a flow.
        window: label and value on the fitted part.
        checks: every check, the raised ones first.
        readings: single readings: what, position, value.
        facts: label and value on how it was run.
        events: what happened during it.
        raw: name and digest of each raw log.
        address: its permanent address.
    """

    given: RunGiven
    kind: str
    day: str
    device: Linked | None
    setting: str
    standing: StandingShown
    numbers: tuple[NumberShown, ...]
    decays: bool
    failure: str
    fits: tuple[FitRow, ...]
    flow_unit: str
    window: tuple[tuple[str, str], ...]
    checks: tuple[CheckShown, ...]
    readings: tuple[tuple[str, ...], ...]
    facts: tuple[tuple[str, str], ...]
    events: tuple[EventShown, ...]
    raw: tuple[tuple[str, str], ...]
    address: str


def run_page(site: Site, words: Words, given: RunGiven) -> Page:
    """Return the page of a run."""
    run, labels = given.run, given.labels
    address = of_record("run", run.id)
    title = words("Run {run}", run=run.id)
    summary = words(
        "Natural decay of {date}: readings, fit, checks, conditions.",
        date=date_text(given.entry.day, words),
    )
    if labels is not None:
        title = words("Run {run}: {name}", run=run.id, name=labels.name)
        summary = words(
            "One test of {name} on {date}: what was read, how it was reckoned, what "
            "was checked, and whether it counts.",
            name=labels.name,
            date=date_text(given.entry.day, words),
        )
    return Page(
        address=address,
        layout="run.html",
        title=title,
        summary=summary,
        context=_context(site, words, given, address.canonical(site.base)),
        section=RUNS,
        trail=((words("All runs"), RUNS),),
        held=run.held,
        scripts=address_scripts(*given.figures),
    )


def _context(site: Site, words: Words, given: RunGiven, address: str) -> RunContext:
    run, labels, report = given.run, given.labels, given.report
    names = {
        known.to.fragment.removeprefix("instrument-"): known.text
        for known in given.instruments
    }
    series = run if isinstance(run, SeriesPart) else None
    device = None
    if labels is not None:
        device = Linked(labels.name, of_record("device", labels.id), labels.maker)
    return RunContext(
        given=given,
        kind=word(words, KIND_TITLES, run.kind),
        day=date_text(given.entry.day, words),
        device=device,
        setting=_setting(words, given),
        standing=_standing(words, given),
        numbers=_numbers(site, words, given),
        decays=series is not None,
        failure=_failure(words, report),
        fits=fit_rows(words, site.units, report.rows, names) if report else (),
        flow_unit=unit_text("cadr_m3h", site.units, site.currency, words),
        window=tuple(_window(words, report)) if report else (),
        checks=checks_shown(words, site.units, report.flags, names) if report else (),
        readings=reading_lines(words, given.readings),
        facts=tuple(_facts(site, words, given)),
        events=events_shown(words, series.events) if series else (),
        raw=tuple((log.name, log.digest) for log in series.raw) if series else (),
        address=address,
    )


def _setting(words: Words, given: RunGiven) -> str:
    labels, entry = given.labels, given.entry
    if labels is None:
        return ""
    return setting_name(words, labels, entry.filter, entry.speed)


def _numbers(site: Site, words: Words, given: RunGiven) -> tuple[NumberShown, ...]:
    if isinstance(given.run, SoundRun):
        return sound_numbers(words, given.run)
    if isinstance(given.run, PowerRun):
        return power_numbers(words, given.run, given.resolution_w)
    return decay_numbers(site, words, given.report) if given.report else ()


def _failure(words: Words, report: DecayReport | None) -> str:
    if report is None or (not report.error and headed_row(report) is not None):
        return ""
    unknown = words("The readings do not allow a fit.")
    known = FIT_ERRORS.get(report.error, "")
    return words(known) if known else unknown


def _standing(words: Words, given: RunGiven) -> StandingShown:
    run, report = given.run, given.report
    decision = run.decision
    raised = [flag for flag in report.flags if flag.raised] if report else []
    waiting = [flag.code for flag in raised if flag.decide and not flag.decided]
    replaced = ""
    if run.superseded_by and given.superseded_by is None:
        replaced = words("Run {run} takes its place.", run=run.superseded_by)
    decided = ""
    if decision is not None:
        decided = words(
            "Decided by {who} on {date}",
            who=decision.by,
            date=date_text(decision.on.isoformat(), words),
        )
    unrated = report is not None and report.validity == "not_rated"
    return StandingShown(
        status=word(words, STATUSES, run.status),
        counts=run.status == "accepted" and not unrated,
        checks=word(words, VALIDITY, report.validity) if report else "",
        noted=flags_line(words, [flag.code for flag in raised]),
        undecided=flags_line(words, waiting),
        cause=word(words, CAUSES, decision.cause) if decision else "",
        decided=decided,
        reason=given.texts.get("decision"),
        replaced=replaced,
    )


def _window(words: Words, report: DecayReport) -> Iterator[tuple[str, str]]:
    row = headed_row(report)
    if row is None:
        return
    fitted = words("{span} min", span=window_text(words, row))
    yield words("Fitted part"), fitted
    if report.window_start_rule:
        start = word(words, START_RULES, report.window_start_rule)
        yield words("It starts when"), start
    if report.window_end_rule:
        yield words("It ends when"), word(words, END_RULES, report.window_end_rule)


def _facts(site: Site, words: Words, given: RunGiven) -> Iterator[tuple[str, str]]:
    run = given.run
    yield words("Started"), moment_text(run.started.isoformat(), words)
    if isinstance(run, DeviceRunBase):
        yield words("Unit tested"), run.specimen
        hours = words("not recorded")
        if run.filter_hours is not None:
            hours = words("{n} h", n=as_given(words, run.filter_hours))
        yield words("Filter had run before"), hours
    airflow = getattr(run, "airflow_m3h", None)
    if airflow is not None:
        label = words("Airflow measured at this setting")
        yield label, with_unit(airflow, "m³/h", site.units, words)
    if isinstance(run, SoundRun) and run.tonal:
        yield words("Hum, whistle or rattle"), run.tonal
    conditions = run.conditions
    missing = words("not recorded")
    warm, damp = conditions.temperature_c, conditions.humidity_pct
    yield (
        words("Air temperature"),
        missing if warm is None else temperature(warm, site.units, words),
    )
    if conditions.temperature_change_k is not None:
        change = as_given(words, conditions.temperature_change_k)
        yield words("Temperature changed by"), words("{n} K", n=change)
    yield (
        words("Relative humidity"),
        missing if damp is None else words("{n} %", n=as_given(words, damp)),
    )
    opened = conditions.door == "opened"
    yield words("Door"), words("was opened") if opened else words("stayed closed")
