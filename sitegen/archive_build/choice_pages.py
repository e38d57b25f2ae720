"""Pages of tables and comparisons, and the page to make one's own."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.archive_build.correcting import marked
from sitegen.archive_build.drawing import figure_of
from sitegen.archive_build.editions import since_given
from sitegen.archive_build.linked import links_to, method_names, names_of
from sitegen.archive_build.measuring_cards import classes_of
from sitegen.archive_build.texts import block_on, cautions_for, page_output
from sitegen.findings.select import ordered
from sitegen.findings.views import ComparisonFinding, ResultRow
from sitegen.model import Comparison, Table
from sitegen.pages.addresses import edition as edition_address
from sitegen.pages.addresses import of_record
from sitegen.pages.cautions import for_devices
from sitegen.pages.citation import citation
from sitegen.pages.compare import CompareGiven, compare_page
from sitegen.pages.comparison import (
    ComparisonGiven,
    comparison_columns,
    comparison_page,
)
from sitegen.pages.comparison_lead import lead_sentence
from sitegen.pages.comparisons import (
    ComparisonEntry,
    ComparisonsGiven,
    comparisons_page,
)
from sitegen.pages.configuration_names import names_in
from sitegen.pages.formats import date_text
from sitegen.pages.frame import Caution, DrawnFigure, Linked
from sitegen.pages.qr import qr_svg
from sitegen.pages.reading_tools import Reckoning
from sitegen.pages.result_table import ResultTable, result_table
from sitegen.pages.table import TableGiven, table_page
from sitegen.pages.tables import TableEntry, TablesGiven, tables_page
from sitegen.rebuild import Ask, Output, Step

Outputs = tuple[Output, ...]


def comparison_figure(ask: Ask, comparison_id: str) -> DrawnFigure | None:
    """Return the figure of a comparison, or nothing."""
    return figure_of(ask, "comparison_figure", comparison_id)


def comparison_sentence_of(ask: Ask, comparison_id: str) -> str:
    """Return the generated sentence of a comparison."""
    finding: ComparisonFinding = ask("comparison", comparison_id)
    words = ask("words")
    record: Comparison = ask("record", "comparison", comparison_id)
    known = names_in(words, finding, names_of(ask, _devices_in(finding)))
    return lead_sentence(words, ask("site"), record, finding, known)


def _devices_in(finding: ComparisonFinding) -> list[str]:
    """Devices of which a comparison speaks, those without a result too."""
    asked = [text.partition(".")[0] for text in finding.dropped]
    return list(dict.fromkeys([*(row.device for row in finding.rows), *asked]))


def comparison_table(ask: Ask, comparison_id: str) -> ResultTable:
    """Return the table of a comparison."""
    finding: ComparisonFinding = ask("comparison", comparison_id)
    names = names_of(ask, [row.device for row in finding.rows])
    record: Comparison = ask("record", "comparison", comparison_id)
    columns = comparison_columns(record)
    return result_table(
        ask("words"),
        ask("site"),
        finding.rows,
        names,
        columns,
        label=record.title,
        methods=dict(method_names(ask, finding.rows)),
        families=ask("families"),
    )


def _cautions(ask: Ask, devices: list[str]) -> tuple[Caution, ...]:
    codes = [tuple(ask("device_cautions", name)) for name in dict.fromkeys(devices)]
    return cautions_for(ask, for_devices(codes))


def _comparison(ask: Ask, comparison_id: str) -> Outputs:
    record: Comparison = ask("record", "comparison", comparison_id)
    finding: ComparisonFinding = ask("comparison", comparison_id)
    site, words = ask("site"), ask("words")
    page = of_record("comparison", comparison_id)
    devices = _devices_in(finding)
    days = [e.day for name in devices for e in ask("entries_of", name)]
    videos = links_to(ask, "video", [record.video or ""])
    given = ComparisonGiven(
        comparison=record,
        finding=finding,
        names=names_of(ask, devices),
        figure=comparison_figure(ask, comparison_id),
        text=block_on(ask, page, record.text),
        video=videos[0] if videos else None,
        devices=links_to(ask, "device", devices),
        methods=links_to(
            ask, "method", [name for name, _ in method_names(ask, finding.rows)]
        ),
        editions=_editions_of(ask, comparison_id),
        since=since_given(ask, comparison_id),
        cautions=_cautions(ask, devices),
        qr=qr_svg(page.canonical(site.base), words),
        cite=citation(site, record.title, page, max(days, default=""), words).text,
        reckoning=reckoning_of(ask, devices),
    )
    made = comparison_page(site, words, given)
    made = marked(ask, made, ("comparison", comparison_id))
    return (page_output(ask, made),)


def _editions_of(ask: Ask, comparison_id: str) -> tuple[Linked, ...]:
    words = ask("words")
    return tuple(
        Linked(date_text(day, words), edition_address(comparison_id, day))
        for _, day in ask("editions_of", comparison_id)
    )


def _comparisons(ask: Ask) -> Outputs:
    entries = []
    for name in ask("shown", "comparison"):
        record: Comparison = ask("record", "comparison", name)
        entries.append(
            ComparisonEntry(
                id=name,
                title=record.title,
                question=record.question,
                sentence=comparison_sentence_of(ask, name),
                held=ask("is_held", "comparison", name),
            )
        )
    given = ComparisonsGiven(tuple(entries))
    return (page_output(ask, comparisons_page(ask("site"), ask("words"), given)),)


def reckoning_of(ask: Ask, devices: Sequence[str]) -> Reckoning:
    """Return what the costs of some devices were reckoned from."""
    costs = ask.all([("costs", name) for name in devices])
    fitted = {view.configuration.split(".")[1] for views in costs for view in views}
    return Reckoning(
        costs=tuple(view for views in costs for view in views),
        assumptions=ask("cost_basis").assumptions,
        families=dict(ask("families")),
        moves=ask("moves"),
        classes=classes_of(ask, fitted),
    )


def _table(ask: Ask, table_id: str) -> Outputs:
    record: Table = ask("record", "table", table_id)
    found: tuple[ResultRow, ...] = ask("chosen_rows", "table", table_id)
    reckoning = reckoning_of(ask, sorted({row.device for row in found}))
    rows = ordered(found, record.order, reckoning.facts().by_name())
    devices = [row.device for row in rows]
    given = TableGiven(
        table=record,
        rows=rows,
        names=names_of(ask, devices),
        intro=block_on(ask, of_record("table", table_id), record.intro),
        cautions=_cautions(ask, devices),
        methods=dict(method_names(ask, rows)),
        reckoning=reckoning,
    )
    made = table_page(ask("site"), ask("words"), given)
    return (page_output(ask, marked(ask, made, ("table", table_id))),)


def _tables(ask: Ask) -> Outputs:
    entries = []
    for name in ask("shown", "table"):
        record: Table = ask("record", "table", name)
        entries.append(
            TableEntry(
                id=name,
                title=record.title,
                rows=len(ask("chosen_rows", "table", name)),
                held=ask("is_held", "table", name),
            )
        )
    given = TablesGiven(tuple(entries))
    return (page_output(ask, tables_page(ask("site"), ask("words"), given)),)


def _compare(ask: Ask) -> Outputs:
    names = ask("shown", "device")
    each = ask.all([("current_rows", name) for name in names])
    rows = tuple(row for rows in each for row in rows)
    devices = [row.device for row in rows]
    given = CompareGiven(
        rows=ordered(rows, "-cadr_m3h"),
        names=names_of(ask, devices),
        cautions=_cautions(ask, devices),
        reckoning=reckoning_of(ask, names),
        methods=method_names(ask, rows),
    )
    made = compare_page(ask("site"), ask("words"), given)
    made = marked(ask, made, *(("device", name) for name in names))
    return (page_output(ask, made),)


def choice_steps() -> tuple[Step, ...]:
    """Return the steps that write these pages."""
    return (
        Step("comparison_page", _comparison, writes=True),
        Step("comparisons_page", _comparisons, writes=True),
        Step("table_page", _table, writes=True),
        Step("tables_page", _tables, writes=True),
        Step("compare_page", _compare, writes=True),
    )
