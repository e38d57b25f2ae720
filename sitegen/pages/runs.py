"""The list of all runs, accepted or not, by month, the newest first."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from sitegen.findings.index import RunEntry
from sitegen.findings.views import Interval, Labels
from sitegen.pages.addresses import RUNS, of_record
from sitegen.pages.code_words import RUN_KINDS, STATUSES, VALIDITY, word
from sitegen.pages.configuration_names import setting_name
from sitegen.pages.formats import Shown, date_text, month_text, unit_text
from sitegen.pages.frame import Linked, Page, Site
from sitegen.pages.result_table import LONG
from sitegen.pages.run_evidence import flow_text
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class RunListEntry:
    """A run, as the list needs it.

    Attributes:
        entry: the run in short.
        labels: names of its device, or nothing for a natural decay.
        cadr: its CADR of the primary fraction, m³/h, or nothing.
        validity: what its checks make of it, or ``""`` where there are none.
    """

    entry: RunEntry
    labels: Labels | None
    cadr: Interval | None
    validity: str


@dataclass(frozen=True, slots=True)
class RunsGiven:
    """What the page shows.

    Attributes:
        entries: every run, in any order.
    """

    entries: tuple[RunListEntry, ...]


@dataclass(frozen=True, slots=True)
class RunShown:
    """A row of the list.

    Attributes:
        run: the run.
        day: its day, for readers.
        iso: the same, ISO.
        device: its device, or nothing.
        setting: speed and filter, or ``""``.
        kind: its kind.
        status: the tester's word on it.
        checks: what the checks make of it, or ``""``.
        counts: whether it enters a result.
        held: whether it is held (preview only).
        cadr: its CADR in the reader's units.
    """

    run: Linked
    day: str
    iso: str
    device: Linked | None
    setting: str
    kind: str
    status: str
    checks: str
    counts: bool
    held: bool
    cadr: Shown


@dataclass(frozen=True, slots=True)
class Month:
    """The runs of a month.

    Attributes:
        id: year and month, ``2026-03``; its anchor.
        name: for readers, ``March 2026``.
        runs: its runs, the newest first.
    """

    id: str
    name: str
    runs: tuple[RunShown, ...]


@dataclass(frozen=True, slots=True)
class RunsContext:
    """What the layout loops over.

    Attributes:
        months: months with runs, the newest first.
        count: how many runs there are.
        left_out: how many of them enter no result.
        flow_unit: unit of the CADR.
        long: whether rows out of sight are left out of layout.
    """

    months: tuple[Month, ...]
    count: int
    left_out: int
    flow_unit: str
    long: bool


def runs_page(site: Site, words: Words, given: RunsGiven) -> Page:
    """Return the list of all runs."""
    by_id = sorted(given.entries, key=lambda listed: listed.entry.id)
    newest = sorted(by_id, key=lambda listed: listed.entry.day, reverse=True)
    shown = [_shown(site, words, listed) for listed in newest]
    months = tuple(
        Month(month, month_text(month, words), tuple(runs))
        for month, runs in groupby(shown, key=lambda run: run.iso[:7])
    )
    return Page(
        address=RUNS,
        layout="runs.html",
        title=words("All runs"),
        summary=words(
            "Every run of {site}, also those that were rejected or do not count: the "
            "evidence behind each number.",
            site=site.name,
        ),
        context=RunsContext(
            months=months,
            count=len(shown),
            left_out=sum(not run.counts for run in shown),
            flow_unit=unit_text("cadr_m3h", site.units, site.currency, words),
            long=len(shown) > LONG,
        ),
        section=RUNS,
    )


def _shown(site: Site, words: Words, listed: RunListEntry) -> RunShown:
    entry, labels, cadr = listed.entry, listed.labels, listed.cadr
    device, setting = None, ""
    if labels is not None:
        device = Linked(labels.name, of_record("device", labels.id))
        setting = setting_name(words, labels, entry.filter, entry.speed)
    shown = Shown("", "")
    if cadr is not None:
        shown = flow_text(words, site.units, cadr.value, cadr.low, cadr.high)
    return RunShown(
        run=Linked(entry.id, of_record("run", entry.id)),
        day=date_text(entry.day, words),
        iso=entry.day,
        device=device,
        setting=setting,
        kind=word(words, RUN_KINDS, entry.kind),
        status=word(words, STATUSES, entry.status),
        checks=word(words, VALIDITY, listed.validity) if listed.validity else "",
        counts=entry.counts and listed.validity != "not_rated",
        held=entry.held,
        cadr=shown,
    )
