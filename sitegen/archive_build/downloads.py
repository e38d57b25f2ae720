"""What is published beside the pages: data, feed, sitemap; the list of all of it."""

from __future__ import annotations

from sitegen.archive_build.citing import newest
from sitegen.archive_build.codecs import typed_codec
from sitegen.archive_build.linked import target_links
from sitegen.archive_build.media import media_targets
from sitegen.archive_build.shelf_pages import FUNDING_TEXT
from sitegen.archive_build.summaries import RunSummary
from sitegen.archive_build.texts import page_output
from sitegen.pages import addresses
from sitegen.pages.addresses import data_file, of_record, series_bundle
from sitegen.pages.datafiles import (
    inert_series,
    readings_csv,
    results_csv,
    results_json,
    runs_csv,
    series_zip,
)
from sitegen.pages.datapackage import FileFacts, datapackage_json, file_facts
from sitegen.pages.dictionary import DictionaryGiven, dictionary_page
from sitegen.pages.feeds import FeedEntry, changes_atom
from sitegen.pages.moved import not_found_page
from sitegen.pages.sitemap import robots_txt, sitemap_xml
from sitegen.rebuild import Ask, Output, Step, bytes_codec, json_codec

Outputs = tuple[Output, ...]

# Natural decays belong to the room, not to a device; their series are one bundle.
NATURAL = "natural"


# Data


def _results_csv(ask: Ask) -> bytes:
    each = ask.all([("device_lines", name) for name in ask("shown", "device")])
    return results_csv(()) + b"".join(each)


def _runs_csv(ask: Ask) -> bytes:
    names = ask("decay_run_ids")
    found: list[RunSummary] = ask.all([("run_summary", name) for name in names])
    return runs_csv(()) + "".join(each.csv for each in found).encode()


def _readings_csv(ask: Ask) -> bytes:
    names = [e.id for e in ask("entries") if e.kind in {"sound", "power"}]
    each = ask.all([("reading_rows", name) for name in names])
    return readings_csv([row for rows in each for row in rows])


def _results_json(ask: Ask) -> bytes:
    return results_json(ask("all_rows"), ask("site"))


def _data_files(ask: Ask) -> Outputs:
    return tuple(
        Output(data_file(name).file, ask(step))
        for name, step in (
            ("results.csv", "results_csv"),
            ("results.json", "results_json"),
            ("runs.csv", "runs_csv"),
            ("readings.csv", "readings_csv"),
            ("datapackage.json", "datapackage"),
            ("CITATION.cff", "citation_cff"),
            ("citation.bib", "citation_bib"),
        )
    )


def _datapackage(ask: Ask) -> bytes:
    return datapackage_json(
        ask("site"),
        file_facts("results.csv", ask("results_csv")),
        file_facts("runs.csv", ask("runs_csv")),
        file_facts("readings.csv", ask("readings_csv")),
        (
            file_facts("results.json", ask("results_json")),
            *ask.all([("bundle_facts", name) for name in ask("bundles")]),
        ),
        newest(ask("released")),
        words=ask("words"),
    )


def _bundles(ask: Ask) -> list[str]:
    """Names of the zipped series: devices with decay runs, and the natural decays."""
    found = {e.device for e in ask("entries") if e.kind == "decay"}
    if ask("naturals"):
        found.add(NATURAL)
    return sorted(found)


def _bundle(ask: Ask, name: str) -> Outputs:
    return (Output(series_bundle(name).file, ask("bundle_bytes", name)),)


def _bundle_facts(ask: Ask, name: str) -> FileFacts:
    return file_facts(f"series/{name}.zip", ask("bundle_bytes", name))


def _bundle_bytes(ask: Ask, name: str) -> bytes:
    if name == NATURAL:
        entries = ask("naturals")
    else:
        entries = [e for e in ask("entries_of", name) if e.kind == "decay"]
    series = sorted(
        run.series for run in ask.all([("bare_run", e.id) for e in entries])
    )
    files = [
        (
            f"{one}.csv",
            inert_series(ask.file(f"archive:{ask('series_path', one)}")),
        )
        for one in series
    ]
    return series_zip(files)


def _dictionary(ask: Ask) -> Outputs:
    given = DictionaryGiven(
        bundles=tuple(ask("bundles")),
        names=tuple((labels.id, labels.name) for labels in ask("all_labels")),
        released=newest(ask("released")),
        changed=newest(sorted(day for _, day in _change_heads(ask))),
    )
    return (page_output(ask, dictionary_page(ask("site"), ask("words"), given)),)


# Feed, sitemap, addresses


def _change_head(ask: Ask, change_id: str) -> list[str]:
    return [change_id, ask("record", "change", change_id).date.isoformat()]


def _change_heads(ask: Ask) -> list[list[str]]:
    return ask.all([("change_head", name) for name in ask("shown", "change")])


def _feed(ask: Ask) -> Outputs:
    entries = []
    for name in ask("shown", "change"):
        change = ask("record", "change", name)
        links, _ = target_links(ask, change.affects)
        entries.append(
            FeedEntry(
                id=name,
                date=change.date.isoformat(),
                kind=change.kind,
                text=change.text,
                affects=links,
                closed=change.closed.isoformat() if change.closed else "",
            )
        )
    data = changes_atom(ask("site"), ask("words"), tuple(entries))
    return (Output(addresses.FEED.file, data),)


def _listed(ask: Ask) -> list[str]:
    """Paths of all pages that search engines should know."""
    fixed = (
        addresses.HOME,
        addresses.DEVICES,
        addresses.RUNS,
        addresses.TABLES,
        addresses.COMPARE,
        addresses.COMPARISONS,
        addresses.VIDEOS,
        addresses.BENCH,
        addresses.METHODS,
        addresses.FILTERS,
        addresses.CHANGES,
        addresses.FUNDING,
        addresses.DATA,
    )
    paths = [address.path for address in fixed]
    for kind in ("device", "run", "table", "comparison", "filter", "method", "prose"):
        paths += [of_record(kind, name).path for name in ask("shown", kind)]
    for name in ask("shown", "edition"):
        record = ask("record", "edition", name)
        day = record.pinned.isoformat()
        paths.append(addresses.edition(record.comparison, day).path)
    return sorted(set(paths))


def _sitemap(ask: Ask) -> Outputs:
    base = ask("canonical_base")
    paths = tuple(addresses.Address(path) for path in ask("listed"))
    return (
        Output(addresses.SITEMAP.file, sitemap_xml(base, paths)),
        Output(addresses.ROBOTS.file, robots_txt(base)),
    )


def _not_found(ask: Ask) -> Outputs:
    return (page_output(ask, not_found_page(ask("site"), ask("words"))),)


# Everything


def _site_targets(ask: Ask) -> list[list[str]]:
    """Every output of the site, by the step that writes it, and what is costly."""
    single = (
        "home_page",
        "finder_rows",
        "devices_page",
        "runs_page",
        "tables_page",
        "compare_page",
        "comparisons_page",
        "videos_page",
        "bench_page",
        "methods_page",
        "filters_page",
        "changes_page",
        "funding_page",
        "dictionary_page",
        "data_files",
        "feed",
        "sitemap",
        "departed",
        "not_found",
        "styles",
        "scripts",
        "icons",
        "place_dots",
        "runtime",
    )
    decays = ask("decay_run_ids")
    drawn = [
        [["run_figure", name], ["residual_figure", name], ["run_page", name]]
        for name in decays
    ]
    for kind in ("device", "comparison", "edition"):
        drawn += [
            [[f"{kind}_{part}", name] for part in ("figure", "card", "picture", "page")]
            for name in ask("shown", kind)
        ]
    known = set(decays)
    light = [[name] for name in single]
    light += [["run_page", name] for name in ask("shown", "run") if name not in known]
    for kind in ("table", "filter", "method", "prose"):
        light += [
            [f"{kind}_page", name]
            for name in ask("shown", kind)
            if (kind, name) != ("prose", FUNDING_TEXT)
        ]
    light += [["device_curves", name] for name in ask("shown", "device")]
    light += [["bundle", name] for name in ask("bundles")]
    light += media_targets(ask)
    # Fits first, side by side; then what is drawn in other processes, between which
    # stands what this one does alone, so that neither waits for the other.
    targets = [["fit", name] for name in decays]
    for at, group in enumerate(drawn):
        targets += group
        targets += light[
            at * len(light) // len(drawn) : (at + 1) * len(light) // len(drawn)
        ]
    if not drawn:
        targets += light
    return targets


def download_steps() -> tuple[Step, ...]:
    """Return the steps that write what stands beside the pages."""
    return (
        Step("results_csv", _results_csv, bytes_codec),
        Step("results_json", _results_json, bytes_codec),
        Step("runs_csv", _runs_csv, bytes_codec),
        Step("readings_csv", _readings_csv, bytes_codec),
        Step("datapackage", _datapackage, bytes_codec),
        Step("data_files", _data_files, writes=True),
        Step("bundles", _bundles, json_codec),
        Step("bundle_bytes", _bundle_bytes, bytes_codec),
        Step("bundle", _bundle, writes=True),
        Step("bundle_facts", _bundle_facts, typed_codec(FileFacts)),
        Step("dictionary_page", _dictionary, writes=True),
        Step("change_head", _change_head, json_codec),
        Step("feed", _feed, writes=True),
        Step("listed", _listed, json_codec),
        Step("sitemap", _sitemap, writes=True),
        Step("not_found", _not_found, writes=True),
        Step("targets", _site_targets, json_codec),
    )
