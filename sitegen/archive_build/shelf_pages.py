"""Pages of methods, the bench, filters, videos, changes and prose."""

from __future__ import annotations

from dataclasses import replace

from sitegen.archive_build.correcting import change_entries, marked
from sitegen.archive_build.departing import former_on
from sitegen.archive_build.linked import link_to, links_to, method_names, names_of
from sitegen.archive_build.texts import (
    block_on,
    blocks_on,
    cautions_for,
    hrefs_on,
    output_in_both_units,
    page_output,
)
from sitegen.findings.repeatability import RepeatabilityFinding
from sitegen.model import DecayMethod, Device, Filter
from sitegen.pages import addresses
from sitegen.pages.addresses import of_record
from sitegen.pages.bench import BenchGiven, bench_page
from sitegen.pages.cautions import for_bench, for_filter
from sitegen.pages.changes import ChangesGiven, changes_page
from sitegen.pages.filter import FilterGiven, FilterUseEntry, filter_page
from sitegen.pages.filters import FilterEntry, FiltersGiven, filters_page
from sitegen.pages.frame import Block, Linked, Page, Site
from sitegen.pages.funding import FundingGiven, funding_page
from sitegen.pages.markdown import Prose, linked
from sitegen.pages.method import MethodGiven, method_page
from sitegen.pages.methods import MethodEntry, MethodsGiven, methods_page
from sitegen.pages.prose import EmbeddedComparison, ProseGiven, prose_page
from sitegen.pages.result_table import result_table
from sitegen.pages.videos import VideoEntry, VideosGiven, videos_page
from sitegen.rebuild import Ask, Output, Step

# The prose page of this id is part of a page that every archive has.
FUNDING_TEXT = "funding"
FILTER_COLUMNS = ("cadr_m3h", "clearance_min", "sound_dba", "power_w")

Outputs = tuple[Output, ...]


def _methods_by(ask: Ask) -> dict[str, list[str]]:
    """Methods by the room and the instruments that they use."""
    used: dict[str, list[str]] = {}
    for name in ask("shown", "method"):
        method = ask("bare_method", name)
        if isinstance(method, DecayMethod):
            used.setdefault(f"room:{method.room}", []).append(name)
            instruments: tuple[str, ...] = method.instruments
        else:
            instruments = (method.instrument,)
        for instrument in instruments:
            used.setdefault(f"instrument:{instrument}", []).append(name)
    return used


def _bench(ask: Ask) -> Outputs:
    rooms = ask.all([("record", "room", name) for name in ask("shown", "room")])
    instruments = ask.all(
        [("record", "instrument", name) for name in ask("shown", "instrument")]
    )
    texts: dict[str, str | None] = {}
    for room in rooms:
        texts[f"room:{room.id}:mixing"] = room.mixing
        texts[f"room:{room.id}:note"] = room.note
    for instrument in instruments:
        texts[f"instrument:{instrument.id}:note"] = instrument.note
    codes = ask.all([("method_cautions", name) for name in ask("shown", "method")])
    given = BenchGiven(
        rooms=tuple(rooms),
        instruments=tuple(instruments),
        texts=blocks_on(ask, addresses.BENCH, texts),
        used={
            key: links_to(ask, "method", names)
            for key, names in _methods_by(ask).items()
        },
        cautions=cautions_for(ask, for_bench(codes)),
    )
    words, former = ask("words"), former_on(ask, addresses.BENCH)

    def make(site: Site) -> Page:
        return replace(bench_page(site, words, given), former=former)

    return (output_in_both_units(ask, make),)


def _comparable(ask: Ask, method_id: str) -> list[str]:
    """Other decay methods of the same family."""
    families = ask("families")
    return [
        name
        for name, family in families.items()
        if name != method_id and family == families.get(method_id)
    ]


def _runs_under(ask: Ask, method_id: str) -> int:
    return sum(entry.method == method_id for entry in ask("entries"))


def _unit_of(ask: Ask, method: DecayMethod) -> str:
    for name in method.instruments:
        fractions = ask("record", "instrument", name).fractions
        if method.primary_fraction in fractions:
            return str(fractions[method.primary_fraction].unit)
    return "ug/m3"


def _method(ask: Ask, method_id: str) -> Outputs:
    method = ask("record", "method", method_id)
    page = of_record("method", method_id)
    decay = isinstance(method, DecayMethod)
    names = method.instruments if decay else (method.instrument,)
    others = ask.all([("bare_method", name) for name in ask("shown", "method")])
    replaces = [other.id for other in others if other.replaced_by == method_id]
    results = sum(
        method_id in {row.method, row.sound_method, row.power_method}
        for row in ask("all_rows")
    )
    replaced = links_to(ask, "method", [method.replaced_by or ""])
    found = ask("repeatability", method_id) if decay else None
    given = MethodGiven(
        method=method,
        text=block_on(ask, page, method.text) or Block(""),
        room=link_to(ask, "room", method.room) if decay else None,
        instruments=tuple(link_to(ask, "instrument", name) for name in names),
        unit=_unit_of(ask, method) if decay else "",
        comparable=links_to(ask, "method", _comparable(ask, method_id)),
        replaced_by=replaced[0] if replaced else None,
        replaces=links_to(ask, "method", replaces),
        runs=_runs_under(ask, method_id),
        results=results,
        cautions=cautions_for(ask, tuple(ask("method_cautions", method_id))),
        repeatability=found,
        names=names_of(ask, _varying(found)),
    )
    words = ask("words")

    def make(site: Site) -> Page:
        return marked(ask, method_page(site, words, given), ("method", method_id))

    return (output_in_both_units(ask, make),)


def _varying(found: RepeatabilityFinding | None) -> list[str]:
    """Devices with a setting that scatters more than the rest."""
    if found is None or found.current is None:
        return []
    return [name.partition(".")[0] for name in found.current.variable]


def _methods(ask: Ask) -> Outputs:
    entries = []
    for name in ask("shown", "method"):
        method = ask("record", "method", name)
        replaced = links_to(ask, "method", [method.replaced_by or ""])
        entries.append(
            MethodEntry(
                id=name,
                kind=method.kind,
                name=method.name,
                version=method.version,
                since=method.since.isoformat(),
                replaced_by=replaced[0] if replaced else None,
                comparable=links_to(ask, "method", _comparable(ask, name)),
                runs=_runs_under(ask, name),
                held=ask("is_held", "method", name),
            )
        )
    page = methods_page(ask("site"), ask("words"), MethodsGiven(tuple(entries)))
    return (page_output(ask, page),)


def _filter(ask: Ask, filter_id: str) -> Outputs:
    record: Filter = ask("record", "filter", filter_id)
    uses: list[FilterUseEntry] = []
    rows = []
    for labels in ask("all_labels"):
        if filter_id not in {name for name, _ in labels.filters}:
            continue
        device: Device = ask("bare_device", labels.id)
        use = next(use for use in device.filters if use.id == filter_id)
        uses.append(
            FilterUseEntry(
                device=Linked(labels.name, of_record("device", labels.id)),
                maker=labels.maker,
                pieces=use.pieces,
                included=use.included,
            )
        )
        own = ask("current_rows", labels.id)
        rows += [row for row in own if row.filter == filter_id]
    words, families = ask("words"), ask("families")
    names = names_of(ask, [row.device for row in rows])
    methods = dict(method_names(ask, rows))
    note = block_on(ask, of_record("filter", filter_id), record.note)
    cautions = cautions_for(ask, for_filter(record))
    shown = [("device", row.device) for row in rows]

    def make(site: Site) -> Page:
        results = None
        if rows:
            results = result_table(
                words,
                site,
                tuple(rows),
                names,
                FILTER_COLUMNS,
                methods=methods,
                families=families,
            )
        given = FilterGiven(record, note, tuple(uses), results, cautions)
        page = filter_page(site, words, given)
        return marked(ask, page, ("filter", filter_id), *shown)

    return (output_in_both_units(ask, make),)


def _filters(ask: Ask) -> Outputs:
    takes: dict[str, list[Linked]] = {}
    for labels in ask("all_labels"):
        for name, _ in labels.filters:
            device = Linked(labels.name, of_record("device", labels.id))
            takes.setdefault(name, []).append(device)
    names = ask("shown", "filter")
    records = ask.all([("bare_filter", name) for name in names])
    given = FiltersGiven(
        filters=tuple(
            FilterEntry(
                record,
                tuple(takes.get(record.id, ())),
                held=ask("is_held", "filter", record.id),
            )
            for record in records
        ),
        cautions=cautions_for(ask, for_filter(records[0]) if records else ()),
    )
    words = ask("words")
    return (output_in_both_units(ask, lambda site: filters_page(site, words, given)),)


def _videos(ask: Ask) -> Outputs:
    entries = []
    for name in ask("shown", "video"):
        video = ask("record", "video", name)
        entries.append(
            VideoEntry(
                id=name,
                title=video.title,
                url=video.url,
                date=video.date.isoformat(),
                chapters=tuple((c.at, c.title) for c in video.chapters),
                devices=links_to(ask, "device", video.devices),
                comparisons=links_to(ask, "comparison", video.comparisons),
                disclosure=video.disclosure or "",
                text=block_on(ask, addresses.VIDEOS, video.text),
                held=ask("is_held", "video", name),
            )
        )
    page = videos_page(ask("site"), ask("words"), VideosGiven(tuple(entries)))
    page = marked(ask, page, *(("video", name) for name in ask("shown", "video")))
    former = former_on(ask, addresses.VIDEOS)
    return (page_output(ask, replace(page, former=former)),)


def _changes(ask: Ask) -> Outputs:
    page = addresses.CHANGES
    entries = change_entries(ask, ask("shown", "change"), page)
    made = changes_page(ask("site"), ask("words"), ChangesGiven(entries))
    return (page_output(ask, replace(made, former=former_on(ask, page))),)


def _prose_page(ask: Ask, name: str) -> Outputs:
    prose: Prose = ask("prose", name)
    page = of_record("prose", name)
    parts: list[Block | EmbeddedComparison] = []
    embedded = []
    for part in linked(prose, hrefs_on(ask, page)):
        if not part.comparison:
            parts.append(Block(part.html))
            continue
        compared = ask("id_now", "comparison", part.comparison)
        if ask("has_page", "comparison", compared):
            parts.append(_embedded(ask, compared, part.caption))
            embedded.append(("comparison", compared))
    given = ProseGiven(name, prose.title, prose.summary, tuple(parts))
    made = marked(ask, prose_page(ask("site"), ask("words"), given), *embedded)
    return (page_output(ask, made),)


def _funding(ask: Ask) -> Outputs:
    page = addresses.FUNDING
    archive = ask("archive")
    title, text = "", None
    if FUNDING_TEXT in ask("ids", "prose"):
        prose: Prose = ask("prose", FUNDING_TEXT)
        title = prose.title
        text = Block("".join(part.html for part in linked(prose, hrefs_on(ask, page))))
    names = ask("shown", "device")
    given = FundingGiven(
        funding=block_on(ask, page, archive.funding) or Block(""),
        title=title,
        text=text,
        devices=tuple(ask.all([("record", "device", name) for name in names])),
    )
    return (page_output(ask, funding_page(ask("site"), ask("words"), given)),)


def _embedded(ask: Ask, comparison_id: str, caption: str) -> EmbeddedComparison:
    from sitegen.archive_build.choice_pages import (
        comparison_figure,
        comparison_sentence_of,
        comparison_table,
    )

    return EmbeddedComparison(
        title=ask("record_title", "comparison", comparison_id),
        caption=caption,
        sentence=comparison_sentence_of(ask, comparison_id),
        to=of_record("comparison", comparison_id),
        figure=comparison_figure(ask, comparison_id),
        table=comparison_table(ask, comparison_id),
    )


def shelf_steps() -> tuple[Step, ...]:
    """Return the steps that write these pages."""
    return (
        Step("bench_page", _bench, writes=True),
        Step("method_page", _method, writes=True),
        Step("methods_page", _methods, writes=True),
        Step("filter_page", _filter, writes=True),
        Step("filters_page", _filters, writes=True),
        Step("videos_page", _videos, writes=True),
        Step("changes_page", _changes, writes=True),
        Step("prose_page", _prose_page, writes=True),
        Step("funding_page", _funding, writes=True),
    )
