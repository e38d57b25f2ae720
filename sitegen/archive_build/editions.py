"""What an edition keeps of a comparison, and what changed since its newest one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sitegen.archive_build.correcting import corrections_of, rows_rest_on
from sitegen.archive_build.drawing import chosen_figure
from sitegen.archive_build.linked import names_of
from sitegen.figures.from_frozen import frozen_lines
from sitegen.findings.differences import differences
from sitegen.findings.frozen import FROZEN, frozen
from sitegen.findings.views import ComparisonFinding, ResultRow
from sitegen.model import QUANTITIES, Comparison, Edition, FrozenFigure
from sitegen.pages.addresses import of_record
from sitegen.pages.changes import Correction
from sitegen.pages.comparison import comparison_columns
from sitegen.pages.comparison_lead import lead_sentence
from sitegen.pages.configuration_names import capital, names_in
from sitegen.pages.edition import edition_rows, shown_columns
from sitegen.pages.edition_words import assumption_texts
from sitegen.pages.since import SinceGiven
from sitegen.rebuild import Ask, Step, json_codec

_OF_COSTS = ("tariff", "tariff_per_kwh", "hours_per_day", "years", "discount_pct")


def _freezable(ask: Ask, comparison_id: str) -> dict[str, Any]:
    """Everything that an edition of today would keep, but its date."""
    record: Comparison = ask("record", "comparison", comparison_id)
    finding: ComparisonFinding = ask("comparison", comparison_id)
    words, site = ask("words"), ask("site")
    names = names_of(ask, [row.device for row in finding.rows])
    known_as = names_in(words, finding, names)
    named = [(capital(known_as[row.configuration]), row) for row in finding.rows]
    chosen = chosen_figure(ask, record, finding, named)
    figure = None
    if chosen is not None:
        targets = {line.curve.target for line in chosen.lines}
        figure = FrozenFigure(
            kind=chosen.kind,
            x=chosen.x if chosen.kind == "scatter" else None,
            y=chosen.y if chosen.kind != "decay" else None,
            target=targets.pop() if len(targets) == 1 else None,
            sets=chosen.sets,
            lines=frozen_lines(chosen.lines),
        ).model_dump(mode="json", exclude_defaults=True)
    methods = {
        method
        for row in finding.rows
        for method in (row.method, row.sound_method, row.power_method)
        if method
    }
    return {
        "title": record.title,
        "question": record.question,
        "answer": lead_sentence(words, site, record, finding, known_as),
        "columns": FROZEN,
        "shown": comparison_columns(record),
        "rows": [frozen(row) for row in finding.rows],
        "names": {row.configuration: name for name, row in named},
        "methods": {name: ask("record_title", "method", name) for name in methods},
        "units": site.units,
        "figure": figure,
        "assumptions": assumption_texts(ask("cost_basis").assumptions, site.currency),
    }


def _editions_of(ask: Ask, comparison_id: str) -> list[list[str]]:
    """Id and day of a comparison's editions, the newest first."""
    found = []
    for name in ask("shown", "edition"):
        record: Edition = ask("record", "edition", name)
        if record.comparison == comparison_id:
            found.append([record.pinned.isoformat(), name])
    return [[name, day] for day, name in sorted(found, reverse=True)]


def since_given(ask: Ask, comparison_id: str) -> SinceGiven | None:
    """Return what is known of the time since a comparison's newest edition."""
    editions = ask("editions_of", comparison_id)
    if not editions:
        return None
    edition_id, day = editions[0]
    record: Edition = ask("record", "edition", edition_id)
    finding: ComparisonFinding = ask("comparison", comparison_id)
    words, site = ask("words"), ask("site")
    frozen_rows = edition_rows(record, site.currency)
    then = [row_now(ask, row) for row in frozen_rows]
    now = finding.rows
    corrections = corrections_since(ask, [*then, *now], comparison_id, edition_id, day)
    shown = shown_columns(record)
    numbers = [name for name in shown if QUANTITIES[name].holds != "text"]
    of_today = [row for row in now if row.device in ask("shown", "device")]
    names = names_in(words, finding, names_of(ask, [row.device for row in of_today]))
    kept = {
        row.configuration: record.names.get(old.configuration, row.configuration)
        for old, row in zip(frozen_rows, then, strict=True)
    }
    known = {row.method for row in now} & set(ask("shown", "method"))
    methods = {name: ask("record_title", "method", name) for name in sorted(known)}
    assumed = _assumed(ask, record, numbers)
    both = [*then, *now]
    return SinceGiven(
        pinned=day,
        to=of_record("edition", edition_id),
        differences=differences(
            then,
            now,
            numbers,
            ask("families"),
            _corrected(ask, both, corrections),
            assumed=bool(assumed),
        ),
        names={**kept, **names},
        assumptions=assumed,
        corrections=corrections,
        methods={**record.methods, **methods},
    )


def row_now(ask: Ask, row: ResultRow) -> ResultRow:
    """Return a result of an edition under the ids of now."""

    def now(kind: str, record_id: str) -> str:
        return str(ask("id_now", kind, record_id)) if record_id else ""

    return replace(
        row,
        device=now("device", row.device),
        filter=now("filter", row.filter),
        method=now("method", row.method),
        sound_method=now("method", row.sound_method),
        power_method=now("method", row.power_method),
        run_ids=tuple(now("run", name) for name in row.run_ids),
    )


def corrections_since(
    ask: Ask,
    rows: Sequence[ResultRow],
    comparison_id: str,
    edition_id: str,
    day: str,
) -> tuple[Correction, ...]:
    """Return the corrections since an edition that speak of what it rests on.

    One that was open on that day counts as well.
    """
    if not rows or not ask("corrections"):
        return ()
    both = dict.fromkeys(
        (
            *corrections_of(ask, "edition", edition_id),
            *corrections_of(ask, "comparison", comparison_id),
        )
    )
    return tuple(
        each
        for each in both
        if each.date >= day or not each.closed or each.closed >= day
    )


def _corrected(
    ask: Ask, rows: Sequence[ResultRow], corrections: Sequence[Correction]
) -> set[str]:
    """Configurations of which the corrections speak."""
    ids = {each.id for each in corrections}
    targets = {
        target
        for name, _, _, _, *named in ask("corrections")
        if name in ids
        for target in named
    }
    if not targets:
        return set()
    here = set(ask("shown", "device"))
    return {
        row.configuration
        for row in rows
        if row.device in here and targets.intersection(rows_rest_on(ask, [row]))
    }


def _assumed(
    ask: Ask, record: Edition, quantities: Sequence[str]
) -> tuple[tuple[str, str, str], ...]:
    """Assumptions behind costs that are others than in the edition."""
    if not any(QUANTITIES[name].holds == "money" for name in quantities):
        return ()
    site = ask("site")
    now = assumption_texts(ask("cost_basis").assumptions, site.currency)
    now["tariff"] = now["tariff_per_kwh"]
    return tuple(
        (name, then, now[name])
        for name, then in record.assumptions.items()
        if name in _OF_COSTS and now[name] != then
    )


def frozen_steps() -> tuple[Step, ...]:
    """Return the steps that editions rest on."""
    return (
        Step("freezable", _freezable, json_codec),
        Step("editions_of", _editions_of, json_codec),
    )
