"""Steps that set results side by side: ranks, repeatability, all rows."""

from __future__ import annotations

from dataclasses import replace

from sitegen.archive_build.codecs import typed_codec
from sitegen.findings.comparisons import (
    Repeats,
    Scatter,
    current_scatter,
    with_rank,
)
from sitegen.findings.families import family_of, method_families
from sitegen.findings.ranks import (
    RankCase,
    rank_case,
    ranks_of,
)
from sitegen.findings.repeatability import (
    RepeatabilityFinding,
    repeatability_finding,
)
from sitegen.findings.views import (
    ResultRow,
)
from sitegen.model import DecayMethod
from sitegen.rebuild import Ask, Step, json_codec


def _families(ask: Ask) -> dict[str, str]:
    methods = ask.all([("bare_method", name) for name in ask("shown", "method")])
    return method_families({m.id: m.comparable_with for m in methods})


def _replaced(ask: Ask) -> list[str]:
    methods = ask.all([("bare_method", name) for name in ask("shown", "method")])
    return [m.id for m in methods if m.replaced_by is not None]


def _rank_cases(ask: Ask, device_id: str) -> tuple[RankCase, ...]:
    families = ask("families")
    cases = [
        rank_case(item, family_of(item.row.method, families))
        for item in ask("pooled", device_id)
    ]
    return tuple(case for case in cases if case is not None)


def _ranks(ask: Ask) -> dict[str, dict[str, list[int]]]:
    """Rank from, rank to and number ranked by device and row."""
    each = ask.all([("rank_cases", name) for name in ask("shown", "device")])
    found = ranks_of([case for cases in each for case in cases])
    by_device: dict[str, dict[str, list[int]]] = {}
    for key, rank in found.items():
        by_device.setdefault(key.partition(".")[0], {})[key] = list(rank)
    return by_device


def _ranks_of(ask: Ask, device_id: str) -> dict[str, list[int]]:
    ranks: dict[str, list[int]] = ask("ranks").get(device_id, {})
    return ranks


def _rows(ask: Ask, device_id: str) -> tuple[ResultRow, ...]:
    ranks = ask("ranks_of", device_id)
    rows = []
    for row in ask("plain_rows", device_id):
        rank = ranks.get(row.key)
        rows.append(with_rank(row, (rank[0], rank[1], rank[2]) if rank else None))
    return tuple(rows)


def _all_rows(ask: Ask) -> tuple[ResultRow, ...]:
    each = ask.all([("rows", name) for name in ask("shown", "device")])
    return tuple(row for rows in each for row in rows)


def _repeats(ask: Ask, device_id: str) -> tuple[Repeats, ...]:
    return tuple(
        Repeats(
            item.row.configuration,
            item.row.method,
            item.row.fraction,
            item.each_m3h,
            item.natural,
            item.told,
        )
        for item in ask("pooled", device_id)
        if item.each_m3h
    )


def _scatter(ask: Ask) -> dict[str, Scatter]:
    """Repeatability by method and fraction: the adopted, else what repeats give now."""
    each = ask.all([("repeats", name) for name in ask("shown", "device")])
    groups: dict[tuple[str, str], list[Repeats]] = {}
    for item in (item for items in each for item in items):
        groups.setdefault((item.method, item.fraction), []).append(item)
    found: dict[str, Scatter] = {}
    for (method_id, fraction), items in sorted(groups.items()):
        kept = ask("bare_method", method_id).repeatability
        scatter = (
            Scatter(kept.cv, float(kept.degrees_of_freedom), adopted=True)
            if kept
            else current_scatter(items)
        )
        if scatter is not None:
            found[f"{method_id} {fraction}"] = scatter
    return found


def _decay_methods(ask: Ask) -> dict[str, str]:
    """The decay methods' records, by id."""
    methods = ask.all([("bare_method", name) for name in ask("ids", "method")])
    return {
        method.id: ask("record_path", "method", method.id)
        for method in methods
        if method.kind == "decay"
    }


def _scatter_of(ask: Ask, method_id: str) -> dict[str, Scatter]:
    """Pass on one method's repeatability, to three digits: plans need no more."""
    start = f"{method_id} "
    return {
        key: replace(found, s_r=float(f"{found.s_r:.3g}"))
        for key, found in ask("scatter").items()
        if key.startswith(start)
    }


def _repeatability(ask: Ask, method_id: str) -> RepeatabilityFinding:
    """Repeatability of a decay method's primary fraction, adopted and current."""
    method: DecayMethod = ask("bare_method", method_id)
    each = ask.all([("repeats", name) for name in ask("shown", "device")])
    kept = method.repeatability
    return repeatability_finding(
        method_id,
        method.primary_fraction,
        (kept.cv, float(kept.degrees_of_freedom), kept.adopted.isoformat())
        if kept
        else None,
        [
            item
            for items in each
            for item in items
            if (item.method, item.fraction) == (method_id, method.primary_fraction)
        ],
    )


def rank_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (
        Step("families", _families, json_codec),
        Step("replaced_methods", _replaced, json_codec),
        Step("rank_cases", _rank_cases, typed_codec(tuple[RankCase, ...])),
        Step("ranks", _ranks, json_codec),
        Step("ranks_of", _ranks_of, json_codec),
        Step("rows", _rows, typed_codec(tuple[ResultRow, ...])),
        Step("all_rows", _all_rows, typed_codec(tuple[ResultRow, ...])),
        Step("repeats", _repeats, typed_codec(tuple[Repeats, ...])),
        Step("decay_methods", _decay_methods, json_codec),
        Step("scatter_of", _scatter_of, typed_codec(dict[str, Scatter])),
        Step("repeatability", _repeatability, typed_codec(RepeatabilityFinding)),
        Step("scatter", _scatter, typed_codec(dict[str, Scatter])),
    )
