"""Pages of runs: the evidence."""

from __future__ import annotations

from typing import Any

from sitegen.archive_build.correcting import marked
from sitegen.archive_build.drawing import figure_of
from sitegen.archive_build.linked import link_to, links_to
from sitegen.archive_build.summaries import RunSummary
from sitegen.archive_build.texts import (
    blocks_on,
    cautions_for,
    output_in_both_units,
)
from sitegen.findings.index import RunEntry
from sitegen.model import NaturalDecayRun, PowerRun, SoundRun
from sitegen.pages.addresses import data_file, of_record, series_bundle
from sitegen.pages.cautions import for_run
from sitegen.pages.citation import citation
from sitegen.pages.frame import Linked, Page, Site
from sitegen.pages.run import RunGiven, run_page
from sitegen.pages.runs import RunListEntry, RunsGiven, runs_page
from sitegen.rebuild import Ask, Output, Step, json_codec

Outputs = tuple[Output, ...]


def _rests_on(ask: Ask) -> dict[str, list[str]]:
    """Decay runs by the natural decays that are subtracted from them."""
    found: dict[str, list[str]] = {}
    for entry in ask("entries"):
        if entry.kind == "decay":
            for name in ask("natural_ids", entry.id):
                found.setdefault(name, []).append(entry.id)
    return found


def _rests_on_run(ask: Ask, run_id: str) -> list[str]:
    return list(ask("rests_on").get(run_id, []))


def _downloads(ask: Ask, run: Any) -> tuple[Linked, ...]:
    words = ask("words")
    if isinstance(run, SoundRun | PowerRun):
        return (Linked("readings.csv", data_file("readings.csv")),)
    links = [Linked("runs.csv", data_file("runs.csv"))]
    bundle = "natural" if isinstance(run, NaturalDecayRun) else run.device
    links.append(
        Linked(words("Series, zipped"), series_bundle(bundle), f"{run.series}.csv")
    )
    return tuple(links)


def _run(ask: Ask, run_id: str) -> Outputs:
    run = ask("record", "run", run_id)
    site, words = ask("site"), ask("words")
    entry: RunEntry = ask("entry", run_id)
    page = of_record("run", run_id)
    method = ask("bare_method", run.method)
    decays = entry.kind in {"decay", "natural-decay"}
    figures = []
    if decays:
        for kind in ("run_figure", "residual_figure"):
            figure = figure_of(ask, kind, run_id)
            figures += [figure] if figure is not None else []
    window = getattr(run, "window_min", None)
    texts = {
        "note": run.note,
        "decision": run.decision.text if run.decision else None,
        "window": window.reason if window else None,
        "places": run.conditions.places,
    }
    names = method.instruments if decays else (method.instrument,)
    codes = tuple(ask("device_cautions", entry.device)) if entry.device else ()
    rests = ask("rests_on_run", run_id) if entry.kind == "natural-decay" else []
    naturals = ask("natural_ids", run_id) if entry.kind == "decay" else []
    given = RunGiven(
        run=run,
        labels=ask("labels", entry.device) if entry.device else None,
        entry=entry,
        report=ask("report", run_id) if decays else None,
        figures=tuple(figures),
        naturals=links_to(ask, "run", naturals),
        rests=links_to(ask, "run", rests),
        method=link_to(ask, "method", run.method),
        room=link_to(ask, "room", method.room) if decays else None,
        instruments=tuple(link_to(ask, "instrument", name) for name in names),
        texts=blocks_on(ask, page, texts),
        cautions=cautions_for(
            ask, for_run(tuple(ask("method_cautions", run.method)), codes)
        ),
        readings=() if decays else ask("reading_rows", run_id),
        downloads=_downloads(ask, run),
        cite=citation(
            site, words("Run {run}", run=run_id), page, entry.day, words
        ).text,
        superseded_by=_superseded_by(ask, run),
        resolution_w=ask("record", "instrument", names[0]).resolution_w
        if entry.kind == "power"
        else None,
    )

    def make(site: Site) -> Page:
        return marked(ask, run_page(site, words, given), ("run", run_id))

    return (output_in_both_units(ask, make),)


def _superseded_by(ask: Ask, run: Any) -> Linked | None:  # noqa: ANN401 - any kind
    links = links_to(ask, "run", [run.superseded_by or ""])
    return links[0] if links else None


def _runs(ask: Ask) -> Outputs:
    names = {labels.id: labels for labels in ask("all_labels")}
    decays = ask("decay_run_ids")
    found = ask.all([("run_summary", name) for name in decays])
    summaries: dict[str, RunSummary] = dict(zip(decays, found, strict=True))

    def listed(entry: RunEntry) -> RunListEntry:
        summary = summaries.get(entry.id)
        return RunListEntry(
            entry=entry,
            labels=names.get(entry.device),
            cadr=summary.cadr if summary is not None else None,
            validity=summary.validity if summary is not None else "",
        )

    given = RunsGiven(tuple(map(listed, ask("entries"))))
    words, shown = ask("words"), [("run", entry.id) for entry in ask("entries")]

    def make(site: Site) -> Page:
        return marked(ask, runs_page(site, words, given), *shown)

    return (output_in_both_units(ask, make),)


def run_steps() -> tuple[Step, ...]:
    """Return the steps that write these pages."""
    return (
        Step("rests_on", _rests_on, json_codec),
        Step("rests_on_run", _rests_on_run, json_codec),
        Step("run_page", _run, writes=True),
        Step("runs_page", _runs, writes=True),
    )
