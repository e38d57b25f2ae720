"""Why something was made anew, and from what: sentences for the tester."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from sitegen.rebuild import Cause, Difference, Hop, Key

# What each step makes, in the tester's words; {0} and {1} are its arguments.
STEPS: Mapping[str, str] = MappingProxyType(
    {
        # the archive's files
        "located": "the list of the archive's files",
        "ids": "the list of {0} records",
        "paths_by_share": "the list of the archive's files",
        "paths_in": "the list of the archive's files",
        "record_path": "the place of {0} {1}",
        "series_path": "the place of series {0}",
        "text_path": "the place of text {0}",
        "media": "the list of photographs and recordings",
        "parsed": "what the record of {0} {1} says",
        "record": "what the record of {0} {1} says",
        "facts": "what other records may ask of {0} {1}",
        "all_facts": "what records may ask of each other",
        "present": "the list of what there is",
        "problems": "what does not fit between records",
        "faults": "the list of faults",
        "visible": "the list of what may be shown",
        "shown": "the list of {0} records shown",
        "shown_by_share": "the list of {0} records shown",
        "shown_in": "the list of {0} records shown",
        "held": "the list of what is held",
        "is_held": "whether {0} {1} is held",
        "archive_parsed": "what archive.yaml says",
        "archive": "what archive.yaml says",
        "addresses_parsed": "what records/addresses.yaml says",
        "addresses": "the addresses moved or gone",
        "primary_fraction": "the primary fraction",
        "canonical_base": "the site's address",
        "instrument_fractions": "the fractions of the instruments",
        "series_faults": "the faults in series {0}",
        # runs
        "bare_run": "run {0} without its remarks",
        "bare_method": "method {0} without its text",
        "decided": "whether run {0} was decided on",
        "entry": "the entry of run {0}",
        "entries": "the list of all runs",
        "entries_by_device": "the list of all runs",
        "entries_of": "the list of the runs of {0}",
        "naturals": "the list of natural decays",
        "natural_ids": "the natural decays taken for run {0}",
        "fit_setup": "how run {0} is to be fitted",
        "fit": "the fit of run {0}",
        "found": "the numbers found in run {0}",
        "figures": "the room's and the method's figures for {0}",
        "report": "the report of run {0}",
        "reading_rows": "the readings of run {0}",
        # results
        "bare_device": "device {0} without its remarks",
        "bare_filter": "filter {0} without its remark",
        "pooled": "the pooled results of {0}",
        "cost_basis": "what costs are reckoned from",
        "costs": "the costs of {0}",
        "plain_rows": "the results of {0}, before ranks",
        "families": "which methods may be compared",
        "replaced_methods": "the list of replaced methods",
        "rank_cases": "what ranking takes from {0}",
        "ranks": "the ranks of all results",
        "ranks_of": "the ranks of {0}",
        "rows": "the results of {0}",
        "all_rows": "the results of all devices",
        "repeats": "the repeats of {0}",
        "scatter": "the repeatability of the methods",
        # what lists and tables show
        "card_record": "what lists show of the record of {0}",
        "choice": "what {0} {1} chooses",
        "labels": "the labels of {0}",
        "all_labels": "the labels of all devices",
        "price": "the price of {0}",
        "current_rows": "the results of {0} under current methods",
        "card": "what lists show of {0}",
        "placed": "the numbers of {0} that have a place among the others",
        "placed_values": "the numbers among which each has its place",
        "place_dots": "the pictures of all numbers of a quantity",
        "places": "the places of {0} among the others",
        "claims": "the claims about {0} against what was measured",
        "chosen_rows": "the results that {0} {1} chooses",
        "comparison": "what comparison {0} finds",
        "finder": "what the finder proposes",
        "numbers": "how much the archive holds",
        "run_summary": "what lists show of run {0}",
        "device_lines": "the lines of {0} in results.csv",
        # words, prose, layouts
        "language": "the language",
        "words": "the words of the interface",
        "prose": "the text {0}",
        "prose_faults": "the faults in text {0}",
        "link_targets": "the list of what texts may link to",
        "text_problems": "the faults in the texts of {0} {1}",
        "prose_head": "the title of text {0}",
        "has_page": "whether {0} {1} has a page",
        "caution": "the caution {0}",
        "site": "what every page shares",
        "layout_source": "the layout {0}",
        "layout_set": "the layout {0} with those that it uses",
        "record_title": "the title of {0} {1}",
        "device_cautions": "the cautions for {0}",
        "method_cautions": "the cautions for method {0}",
        "mentions": "where records are named",
        "choosers": "the list of tables and comparisons with what they list",
        "mentions_of": "where {0} is named",
        # figures
        "curve": "the curve of run {0}",
        "decay_run_ids": "the list of decay runs",
        "device_curves": "the curves of {0}",
        "device_figure": "the figure of {0}",
        "run_figure": "the figure of run {0}",
        "residual_figure": "the residuals of run {0}",
        "comparison_figure": "the figure of comparison {0}",
        "device_card": "the picture beside links to {0}",
        "comparison_card": "the picture beside links to comparison {0}",
        "comparison_still": "the picture of comparison {0} for a video",
        "device_picture": "the picture beside links to {0}",
        "comparison_picture": "the picture beside links to comparison {0}",
        "aerosols": "the aerosols of the methods",
        "airflows": "the airflows measured of {0}",
        "all_media_faults": "the faults in photographs and recordings",
        "archive_state": "what is open in the archive",
        "bundle_bytes": "the zipped series of {0}",
        "bundle_facts": "size and digest of the zipped series of {0}",
        "change_targets": "what the changes concern",
        "citation_bib": "the citation for BibTeX",
        "citation_cff": "the citation file",
        "corrections": "the open corrections",
        "corrections_of": "the corrections of {0} {1}",
        "decay_methods": "the list of decay methods",
        "departures": "what moved or is gone",
        "device_state": "what is open about {0}",
        "edition_card": "the picture beside links to edition {0}",
        "edition_figure": "the figure of edition {0}",
        "edition_picture": "the picture beside links to edition {0}",
        "editions_of": "the editions of comparison {0}",
        "finder_rows": "the numbers of the finder",
        "former": "the former addresses of {0} {1}",
        "freezable": "what an edition of {0} would keep",
        "funding_page": "the page of who pays",
        "history": "the history of {0}",
        "id_now": "what {0} {1} is called now",
        "loose_rows": "the settings of {0} without a decay run",
        "media_faults": "the faults in {0} {1}",
        "moves": "what was renamed",
        "page_rests_on": "what the page of {0} {1} rests on",
        "picture_sizes": "the sizes of the photograph {0}",
        "ratings": "the ratings of {0} against measurement",
        "released": "the newest release",
        "repeatability": "the repeatability of method {0}",
        "scatter_of": "how runs of method {0} scatter",
        "shown_sounds": "the list of recordings shown",
        "sound": "the recording {0}",
        "sound_grades": "how the background of levels of {0} was treated",
        "surprises": "what of {0} is not settled",
        # pages
        "device_page": "the page of {0}",
        "devices_page": "the list of devices",
        "home_page": "the home page",
        "rests_on": "which runs rest on which natural decays",
        "rests_on_run": "which runs rest on {0}",
        "run_page": "the page of run {0}",
        "runs_page": "the list of runs",
        "comparison_page": "the page of comparison {0}",
        "comparisons_page": "the list of comparisons",
        "edition_page": "the edition {0}",
        "table_page": "the table {0}",
        "tables_page": "the list of tables",
        "compare_page": "the page to compare on",
        "bench_page": "the page of the bench",
        "method_page": "the page of method {0}",
        "methods_page": "the list of methods",
        "filter_page": "the page of filter {0}",
        "filters_page": "the list of filters",
        "videos_page": "the list of videos",
        "changes_page": "the list of changes",
        "prose_page": "the page {0}",
        # downloads and the rest
        "results_csv": "results.csv",
        "results_json": "results.json",
        "runs_csv": "runs.csv",
        "readings_csv": "readings.csv",
        "datapackage": "datapackage.json",
        "data_files": "the data files",
        "bundles": "the list of zipped series",
        "bundle": "the zipped series of {0}",
        "dictionary_page": "the data dictionary",
        "change_head": "the date of change {0}",
        "feed": "the feed of changes",
        "listed": "the list of all pages",
        "sitemap": "the site map",
        "departed": "the pages at addresses moved or gone",
        "not_found": "the page for what is not found",
        "asset_bytes": "the asset {0}",
        "asset_file": "the published file {0}",
        "asset_name": "the published name of {0}",
        "styles": "the style sheet",
        "scripts": "the scripts",
        "icons": "the icons",
        "runtime": "the chart script",
        "shown_photos": "the list of photographs shown",
        "photo": "the photograph {0}",
        "targets": "the list of everything to make",
    }
)

_CAUSES: Mapping[str, str] = MappingProxyType(
    {
        "first_build": "it was made for the first time",
        "dep_changed": "{dep} changed",
        "dep_added": "{dep} is new",
        "dep_removed": "{dep} is gone",
        "dep_suspect": "{dep} may come out different",
        "version_changed": "the tool makes it in another way now",
        "tool_changed": "the tool itself, or a library that it uses, is another",
        "output_missing": "{path} was missing from the published folder",
        "output_edited": "{path} in the published folder was not as it was written",
        "failed_before": "it failed the last time",
    }
)


MOST_CHANGES = 3
"""So many changes in one value are told in a sentence."""


def said_key(key: Key) -> str:
    """Return what a step makes, or which file, listing or setting it is, in words."""
    if key.kind == "file":
        return _file(key.args[0])
    if key.kind == "listing":
        return f"the list of files in {_file(key.args[0]) or 'the archive'}"
    if key.kind == "setting":
        return f"the setting {key.args[0]}"
    phrase = STEPS.get(key.kind)
    return str(key) if phrase is None else phrase.format(*key.args, "", "")


def _file(spelled: str) -> str:
    """A file of the archive by its path in it, one of the tool's with a word on it."""
    root, _, path = spelled.partition(":")
    return path if root == "archive" else f"the tool's {root}/{path}".rstrip("/")


def said_cause(cause: Cause) -> str:
    """Return a cause in words, to follow "because"."""
    dep = said_key(cause.dep) if cause.dep is not None else ""
    return _CAUSES[cause.kind].format(dep=dep, path=cause.path)


def said_chain(hops: Sequence[Hop]) -> tuple[str, ...]:
    """Return a chain of causes, one sentence part a line, each to follow "because".

    What changed in a value is told beside the cause that names it. Steps that pass the
    same thing on are told once.
    """
    lines: dict[str, str] = {}
    for hop, after in zip(hops, [*hops[1:], None], strict=True):
        if hop.cause is not None:
            told = said_changes(after.changes) if after is not None else ""
            cause = said_cause(hop.cause)
            lines.setdefault(cause, f"{cause} ({told})" if told else cause)
    return tuple(lines.values())


def said_changes(changes: Iterable[Difference]) -> str:
    """Return what changed in a value: place, what stands there now, what stood."""
    told = list(map(_change, changes))
    more = len(told) - MOST_CHANGES
    return "; ".join([*told[:MOST_CHANGES], *(["and more"] if more > 0 else [])])


def _change(change: Difference) -> str:
    place = change.path
    for wrapping in ("record.", "data."):
        place = place.removeprefix(wrapping)
    if {change.old, change.new} == {"", "true"}:
        return f"{place} {'came' if change.new else 'went'}"
    old, new = _value(change.old), _value(change.new)
    return f"{place}: {new}, was {old}" if place else f"{new}, was {old}"


def _value(text: str) -> str:
    """A value in words: numbers as short as they may be, lists by how many."""
    if not text:
        return "nothing"
    if text[0] in "[{":
        return f"{text[1:-1]} entries"
    try:
        value = json.loads(text)
    except ValueError:
        return text  # cut short
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def last_cause(hops: Sequence[Hop]) -> str:
    """Return where a chain of causes begins, in words."""
    causes = [hop.cause for hop in hops if hop.cause is not None]
    return said_cause(causes[-1]) if causes else "nothing changed"
