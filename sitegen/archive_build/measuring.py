"""Steps from records and series to findings.

Each step asks for no more than it needs. Steps named ``bare_…`` and ``…_of`` are
firewalls: they pass on a part of a record or of a list, so that what changes beside
that part stops there.
"""

from __future__ import annotations

from typing import Any

from sitegen.archive_build.codecs import record_codec, typed_codec
from sitegen.findings.cards import card_of, labels_of
from sitegen.findings.claims import claim_views
from sitegen.findings.comparisons import (
    Repeats,
    Scatter,
    compare,
    current_scatter,
    with_rank,
)
from sitegen.findings.costs import CostBasis, cost_view, device_price
from sitegen.findings.families import method_families
from sitegen.findings.fitted import FitSetup, RunFound, fit_series, fit_setup
from sitegen.findings.index import RunEntry, entry_of, natural_ids
from sitegen.findings.picks import current_rows, finder_answer
from sitegen.findings.ranks import (
    PLACED,
    RankCase,
    place_in,
    rank_case,
    ranks_of,
    row_key,
)
from sitegen.findings.readings import (
    power_draw,
    reading_rows,
    sound_level,
    standby_power,
)
from sitegen.findings.reports import (
    DecayCase,
    RoomFigures,
    decay_report,
    natural_report,
)
from sitegen.findings.results import Pooled, PooledRun, pool
from sitegen.findings.select import facts_of, matches
from sitegen.findings.views import (
    Card,
    ClaimView,
    ComparisonFinding,
    CostView,
    DecayReport,
    FinderAnswer,
    Labels,
    Place,
    ReadingRow,
    ResultRow,
)
from sitegen.load import read_series
from sitegen.measure.repeatability import Repeatability
from sitegen.model import (
    Configuration,
    DecayMethod,
    DecayRun,
    Device,
    NaturalDecayRun,
    PowerRun,
    SoundMethod,
    SoundRun,
    parse_configuration,
)
from sitegen.pages.addresses import of_record
from sitegen.rebuild import Ask, Step, json_codec

FINDER_AREAS_M2 = (10.0, 16.0, 25.0, 40.0, 60.0)


# Runs


def _fit_setup(ask: Ask, run_id: str) -> FitSetup:
    run = ask("bare_run", run_id)
    method = ask("bare_method", run.method)
    wanted = [("record", "instrument", name) for name in method.instruments]
    instruments = {record.id: record for record in ask.all(wanted)}
    return fit_setup(run, method, instruments)


def _gather_fit(ask: Ask, run_id: str) -> tuple[FitSetup, bytes, str]:
    run = ask("bare_run", run_id)
    path = ask("series_path", run.series)
    return ask("fit_setup", run_id), ask.file(f"archive:{path}"), path


def fit_work(payload: tuple[FitSetup, bytes, str]) -> RunFound:
    """Parse and fit one series; pure, so that another process may do it."""
    setup, data, path = payload
    loaded = read_series(data, path, setup.units)
    if loaded.series is None:
        return RunFound("series_faulty", "", "", (), (), ())
    return fit_series(setup, loaded.series)


def _found(ask: Ask, run_id: str) -> RunFound:
    found: RunFound = ask("fit", run_id)
    return found.without_curves()


def _bare_run(ask: Ask, run_id: str) -> Any:  # noqa: ANN401 - any kind of run
    run = ask("record", "run", run_id)
    return run.model_copy(update={"note": None, "decision": None})


def _entry(ask: Ask, run_id: str) -> RunEntry:
    return entry_of(ask("bare_run", run_id))


def _entries(ask: Ask) -> tuple[RunEntry, ...]:
    return tuple(ask.all([("entry", name) for name in ask("shown", "run")]))


def _entries_of(ask: Ask, device_id: str) -> tuple[RunEntry, ...]:
    return tuple(e for e in ask("entries") if e.device == device_id)


def _naturals(ask: Ask) -> tuple[RunEntry, ...]:
    return tuple(e for e in ask("entries") if e.kind == "natural-decay")


def _natural_ids(ask: Ask, run_id: str) -> list[str]:
    run: DecayRun = ask("bare_run", run_id)
    days = ask("bare_method", run.method).natural_valid_days
    entry = ask("entry", run_id)
    return list(natural_ids(entry, run.natural, ask("naturals"), days))


def _decided(ask: Ask, run_id: str) -> bool:
    return ask("record", "run", run_id).decision is not None


def _bare_method(ask: Ask, method_id: str) -> Any:  # noqa: ANN401 - any kind of method
    method = ask("record", "method", method_id)
    return method.model_copy(update={"text": "-", "name": "-"})


def _figures(ask: Ask, method_id: str) -> RoomFigures:
    method: DecayMethod = ask("bare_method", method_id)
    room = ask("record", "room", method.room)
    return RoomFigures(
        volume_m3=room.volume_m3.value,
        volume_u_m3=room.volume_m3.u,
        linearity_u=method.linearity_u,
        natural_valid_days=method.natural_valid_days,
        primary_fraction=method.primary_fraction,
    )


def _report(ask: Ask, run_id: str) -> DecayReport:
    run = ask("bare_run", run_id)
    entry = ask("entry", run_id)
    found = ask("found", run_id)
    figures = ask("figures", run.method)
    decided = ask("decided", run_id)
    if isinstance(run, NaturalDecayRun):
        return natural_report(entry, found, figures.primary_fraction, decided=decided)
    names = ask("natural_ids", run_id)
    naturals = zip(
        ask.all([("entry", name) for name in names]),
        ask.all([("found", name) for name in names]),
        strict=True,
    )
    return decay_report(
        DecayCase(entry, found, tuple(naturals), figures, decided, run.airflow_m3h)
    )


# Devices


def _bare_device(ask: Ask, device_id: str) -> Device:
    device: Device = ask("record", "device", device_id)
    return device.model_copy(
        update={"verdict": None, "responses": (), "note": None, "links": ()}
    )


def _bare_filter(ask: Ask, filter_id: str) -> Any:  # noqa: ANN401 - a filter record
    return ask("record", "filter", filter_id).model_copy(update={"note": None})


def _pooled(ask: Ask, device_id: str) -> tuple[Pooled, ...]:
    entries = [e for e in ask("entries_of", device_id) if e.kind == "decay"]
    reports = ask.all([("report", e.id) for e in entries])
    founds = ask.all([("found", e.id) for e in entries])
    runs = [PooledRun(*each) for each in zip(entries, founds, reports, strict=True)]
    names = sorted({name for report in reports for name in report.natural_runs})
    natural_entries = ask.all([("entry", name) for name in names])
    natural_founds = ask.all([("found", name) for name in names])
    naturals = {
        entry.id: (entry, found)
        for entry, found in zip(natural_entries, natural_founds, strict=True)
    }
    groups: dict[tuple[str, str, str], list[PooledRun]] = {}
    for run in runs:
        key = (run.entry.filter, run.entry.speed, run.entry.method)
        groups.setdefault(key, []).append(run)
    pooled: list[Pooled] = []
    for (_, _, method_id), group in sorted(groups.items()):
        method: DecayMethod = ask("bare_method", method_id)
        figures = ask("figures", method_id)
        kept = method.repeatability
        adopted = Repeatability(kept.cv, kept.degrees_of_freedom) if kept else None
        fractions = dict.fromkeys(
            [method.primary_fraction]
            + [checks.fraction for run in group for checks in run.found.checks]
        )
        pooled += [
            pool(group, naturals, name, figures, adopted, method.clearance_target)
            for name in fractions
        ]
    return tuple(pooled)


def _newest_method(ask: Ask, methods: set[str]) -> str:
    """Return the method to take where a configuration was measured under several."""
    records = ask.all([("bare_method", name) for name in sorted(methods)])
    newest = max(records, key=lambda m: (m.replaced_by is None, m.since, m.id))
    return str(newest.id)


def _cost_basis(ask: Ask) -> CostBasis:
    archive = ask("archive")
    return CostBasis(archive.currency, archive.assumptions, archive.rates)


def _device_runs(ask: Ask, device_id: str) -> dict[str, list[Any]]:
    """Return the accepted sound and power runs of a device, by kind."""
    names = [
        e.id
        for e in ask("entries_of", device_id)
        if e.counts and e.kind in {"sound", "power"}
    ]
    runs = ask.all([("bare_run", name) for name in names])
    return {
        "sound": [run for run in runs if isinstance(run, SoundRun)],
        "power": [run for run in runs if isinstance(run, PowerRun)],
    }


def _configurations(ask: Ask, device_id: str) -> list[Configuration]:
    """Return every configuration of a device that has any run, in its own order."""
    device: Device = ask("bare_device", device_id)
    speeds = {speed.id: at for at, speed in enumerate(device.speeds)}
    filters = {use.id: at for at, use in enumerate(device.filters)}
    found = {
        Configuration(device_id, e.filter, e.speed)
        for e in ask("entries_of", device_id)
    }
    return sorted(
        found,
        key=lambda c: (filters.get(c.filter, len(filters)), speeds.get(c.speed, 99), c),
    )


def _costs(ask: Ask, device_id: str) -> tuple[CostView, ...]:
    device: Device = ask("bare_device", device_id)
    basis = ask("cost_basis")
    filters = {
        record.id: record
        for record in ask.all([("bare_filter", use.id) for use in device.filters])
    }
    runs = _device_runs(ask, device_id)["power"]
    standby = standby_power(runs)
    cadrs = _cadr_by_configuration(ask, device_id)
    views = []
    for configuration in _configurations(ask, device_id):
        own = [r for r in runs if (r.filter, r.speed) == configuration[1:]]
        newest = _newest_method(ask, {r.method for r in own}) if own else ""
        power = power_draw([r for r in own if r.method == newest])
        cadr = cadrs.get(str(configuration))
        views.append(
            cost_view(device, configuration, filters, power, standby, cadr, basis)
        )
    return tuple(views)


def _cadr_by_configuration(ask: Ask, device_id: str) -> dict[str, float]:
    fraction = ask("primary_fraction")
    return {
        item.row.configuration: item.row.cadr_m3h
        for item in ask("pooled", device_id)
        if item.row.fraction == fraction and item.row.cadr_m3h is not None
    }


def _plain_rows(ask: Ask, device_id: str) -> tuple[ResultRow, ...]:
    """Rows with sound, power and costs, before ranks are known."""
    from dataclasses import replace  # noqa: PLC0415 - used here only

    runs = _device_runs(ask, device_id)
    costs = {view.configuration: view for view in ask("costs", device_id)}
    currency = ask("cost_basis").currency
    sounds = {
        str(c): _sound_of(ask, runs["sound"], c)
        for c in _configurations(ask, device_id)
    }
    powers = {
        str(c): _power_of(ask, runs["power"], c)
        for c in _configurations(ask, device_id)
    }
    base = ask("canonical_base")
    address = of_record("device", device_id).canonical(base)
    rows = []
    for item in ask("pooled", device_id):
        row = item.row
        sound, power = sounds.get(row.configuration), powers.get(row.configuration)
        cost = costs.get(row.configuration)
        row = replace(row, currency=currency, address=address)
        if sound is not None:
            row = replace(
                row,
                sound_dba=sound.level_dba,
                sound_low=sound.low_dba,
                sound_high=sound.high_dba,
                sound_limit=sound.limit,
                sound_method=sound.method,
            )
        if power is not None:
            each = None
            if row.cadr_m3h is not None and power.power_w > 0:
                each = row.cadr_m3h / power.power_w
            row = replace(
                row,
                power_w=power.power_w,
                power_sd=power.sd_w,
                power_method=power.method,
                cadr_per_w=each,
            )
        if cost is not None:
            row = replace(
                row,
                energy_kwh_year=cost.energy_kwh_year,
                energy_cost_year=cost.energy_cost_year,
                filter_cost_year=cost.filter_cost_year,
                running_cost_year=cost.running_cost_year,
                ownership_cost=cost.ownership_cost,
            )
        rows.append(row)
    return tuple(rows)


def _sound_of(ask: Ask, runs: list[SoundRun], c: Configuration) -> Any:  # noqa: ANN401
    own = [r for r in runs if (r.filter, r.speed) == (c.filter, c.speed)]
    if not own:
        return None
    newest = _newest_method(ask, {r.method for r in own})
    method: SoundMethod = ask("bare_method", newest)
    meter = ask("record", "instrument", method.instrument)
    return sound_level([r for r in own if r.method == newest], meter.uncertainty_db)


def _power_of(ask: Ask, runs: list[PowerRun], c: Configuration) -> Any:  # noqa: ANN401
    own = [r for r in runs if (r.filter, r.speed) == (c.filter, c.speed)]
    if not own:
        return None
    newest = _newest_method(ask, {r.method for r in own})
    return power_draw([r for r in own if r.method == newest])


def _families(ask: Ask) -> dict[str, str]:
    methods = ask.all([("bare_method", name) for name in ask("shown", "method")])
    return method_families(
        {m.id: m.comparable_with for m in methods if m.kind == "decay"}
    )


def _replaced(ask: Ask) -> list[str]:
    methods = ask.all([("bare_method", name) for name in ask("shown", "method")])
    return [m.id for m in methods if m.replaced_by is not None]


def _rank_cases(ask: Ask, device_id: str) -> tuple[RankCase, ...]:
    families = ask("families")
    cases = [
        rank_case(item, families.get(item.row.method, item.row.method))
        for item in ask("pooled", device_id)
    ]
    return tuple(case for case in cases if case is not None)


def _ranks(ask: Ask) -> dict[str, list[int]]:
    each = ask.all([("rank_cases", name) for name in ask("shown", "device")])
    found = ranks_of([case for cases in each for case in cases])
    return {key: list(rank) for key, rank in found.items()}


def _ranks_of(ask: Ask, device_id: str) -> dict[str, list[int]]:
    start = f"{device_id}."
    return {key: rank for key, rank in ask("ranks").items() if key.startswith(start)}


def _rows(ask: Ask, device_id: str) -> tuple[ResultRow, ...]:
    ranks = ask("ranks_of", device_id)
    rows = []
    for row in ask("plain_rows", device_id):
        rank = ranks.get(row_key(row))
        rows.append(with_rank(row, (rank[0], rank[1], rank[2]) if rank else None))
    return tuple(rows)


def _all_rows(ask: Ask) -> tuple[ResultRow, ...]:
    each = ask.all([("rows", name) for name in ask("shown", "device")])
    return tuple(row for rows in each for row in rows)


def _repeats(ask: Ask, device_id: str) -> tuple[Repeats, ...]:
    return tuple(
        Repeats(
            item.row.configuration, item.row.method, item.row.fraction, item.each_m3h
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


def _labels(ask: Ask, device_id: str) -> Labels:
    device: Device = ask("bare_device", device_id)
    filters = ask.all([("bare_filter", use.id) for use in device.filters])
    names = {record.id: record.name for record in filters}
    return labels_of(device, names, held=ask("is_held", "device", device_id))


def _all_labels(ask: Ask) -> tuple[Labels, ...]:
    return tuple(ask.all([("labels", name) for name in ask("shown", "device")]))


def _price(ask: Ask, device_id: str) -> float | None:
    price, _ = device_price(ask("bare_device", device_id), ask("cost_basis"))
    return price


def _current_rows(ask: Ask, device_id: str) -> tuple[ResultRow, ...]:
    return current_rows(
        ask("rows", device_id), ask("primary_fraction"), ask("replaced_methods")
    )


def _card(ask: Ask, device_id: str) -> Card:
    days = [e.day for e in ask("entries_of", device_id)]
    return card_of(
        ask("card_record", device_id),
        ask("labels", device_id),
        ask("current_rows", device_id),
        ask("cost_basis").assumptions.quiet_cap_dba,
        ask("price", device_id),
        max(days, default=""),
    )


def _card_record(ask: Ask, device_id: str) -> Device:
    """Pass on a device with no more of its verdict than the standing."""
    device: Device = ask("record", "device", device_id)
    verdict = device.verdict
    if verdict is not None:
        verdict = verdict.model_copy(
            update={
                "text": "-",
                "likes": (),
                "dislikes": (),
                "suits": (),
                "does_not_suit": (),
            }
        )
    return device.model_copy(
        update={"verdict": verdict, "responses": (), "note": None, "links": ()}
    )


def _placed_values(ask: Ask) -> dict[str, list[float]]:
    """All values of the placed quantities under current methods, ascending."""
    each = ask.all([("current_rows", name) for name in ask("shown", "device")])
    rows = [row for rows in each for row in rows]
    return {
        name: sorted(value for row in rows if (value := getattr(row, name)) is not None)
        for name in PLACED
    }


def _places(ask: Ask, device_id: str) -> tuple[Place, ...]:
    card: Card = ask("card", device_id)
    values = ask("placed_values")
    row = card.headline
    if row is None:
        return ()
    better = {"cadr_m3h": "up"}
    places = []
    for name in PLACED:
        value = getattr(row, name)
        if value is None:
            continue
        place = place_in(name, value, values[name], better.get(name, "down"))
        if name == "cadr_m3h" and row.rank_low is not None:
            from dataclasses import replace  # noqa: PLC0415 - used here only

            place = replace(
                place,
                low=row.rank_low,
                high=row.rank_high or row.rank_low,
                of=row.ranked_of or place.of,
            )
        places.append(place)
    return tuple(places)


def _claims(ask: Ask, device_id: str) -> tuple[ClaimView, ...]:
    rows = ask("rows", device_id)
    methods = {row.method for row in rows}
    aerosols = {m: ask("bare_method", m).aerosol_kind for m in sorted(methods)}
    return claim_views(ask("bare_device", device_id), rows, aerosols)


# Comparisons and tables


def _chosen_rows(ask: Ask, kind: str, record_id: str) -> tuple[ResultRow, ...]:
    """Rows that the conditions of a table or a comparison choose."""
    record = ask("choice", kind, record_id)
    listed = getattr(record, "configurations", ())
    if listed:
        devices = dict.fromkeys(
            c.device for text in listed if (c := parse_configuration(text))
        )
        shown = set(ask("shown", "device"))
        each = ask.all([("current_rows", d) for d in devices if d in shown])
        by_name: dict[str, list[ResultRow]] = {}
        for row in (row for rows in each for row in rows):
            by_name.setdefault(row.configuration, []).append(row)
        return tuple(row for text in listed for row in by_name.get(text, ()))
    labels = {item.id: item for item in ask("all_labels")}
    names = ask("shown", "device")
    each = ask.all([("current_rows", name) for name in names])
    prices = ask.all([("price", name) for name in names])
    chosen: list[ResultRow] = []
    for name, rows, price in zip(names, each, prices, strict=True):
        facts = facts_of(labels[name], price)
        chosen += [row for row in rows if matches(row, facts, record.where)]
    return tuple(chosen)


def _choice(ask: Ask, kind: str, record_id: str) -> Any:  # noqa: ANN401 - either kind
    record = ask("record", kind, record_id)
    blank = {"intro": None, "caption": None} if kind == "table" else {"text": None}
    return record.model_copy(update={"title": "-", **blank})


def _comparison(ask: Ask, comparison_id: str) -> ComparisonFinding:
    record = ask("choice", "comparison", comparison_id)
    rows = ask("chosen_rows", "comparison", comparison_id)
    devices = dict.fromkeys(row.device for row in rows)
    each = ask.all([("repeats", name) for name in devices])
    repeats = {
        f"{item.configuration} {item.method} {item.fraction}": item
        for items in each
        for item in items
    }
    found = {row.configuration for row in rows}
    dropped = [text for text in record.configurations if text not in found]
    return compare(rows, dropped, repeats, ask("scatter"), ask("families"))


def _finder(ask: Ask) -> tuple[FinderAnswer, ...]:
    assumed = ask("cost_basis").assumptions
    labels = {item.id: item for item in ask("all_labels")}
    names = [name for name in ask("shown", "device") if not labels[name].withdrawn]
    each = ask.all([("current_rows", name) for name in names])
    known = zip(names, ask.all([("price", name) for name in names]), strict=True)
    prices = {name: price for name, price in known if price is not None}
    rows = [row for rows in each for row in rows]
    return tuple(
        finder_answer(
            area,
            assumed.ceiling_m,
            assumed.target_ach_per_h,
            assumed.quiet_cap_dba,
            rows,
            prices,
        )
        for area in FINDER_AREAS_M2
    )


def _reading_rows(ask: Ask, run_id: str) -> tuple[ReadingRow, ...]:
    return reading_rows(ask("bare_run", run_id))


def measuring_steps() -> tuple[Step, ...]:
    """Return the steps from records to findings."""
    rows = typed_codec(tuple[ResultRow, ...])
    entries = typed_codec(tuple[RunEntry, ...])
    return (
        Step("bare_run", _bare_run, record_codec),
        Step("bare_method", _bare_method, record_codec),
        Step("bare_device", _bare_device, record_codec),
        Step("bare_filter", _bare_filter, record_codec),
        Step("card_record", _card_record, record_codec),
        Step("choice", _choice, record_codec),
        Step("decided", _decided, json_codec),
        Step("entry", _entry, typed_codec(RunEntry)),
        Step("entries", _entries, entries),
        Step("entries_of", _entries_of, entries),
        Step("naturals", _naturals, entries),
        Step("natural_ids", _natural_ids, json_codec),
        Step("fit_setup", _fit_setup, typed_codec(FitSetup)),
        Step("fit", _gather_fit, typed_codec(RunFound), work=fit_work),
        Step("found", _found, typed_codec(RunFound)),
        Step("figures", _figures, typed_codec(RoomFigures)),
        Step("report", _report, typed_codec(DecayReport)),
        Step("pooled", _pooled, typed_codec(tuple[Pooled, ...])),
        Step("cost_basis", _cost_basis, typed_codec(CostBasis)),
        Step("costs", _costs, typed_codec(tuple[CostView, ...])),
        Step("plain_rows", _plain_rows, rows),
        Step("families", _families, json_codec),
        Step("replaced_methods", _replaced, json_codec),
        Step("rank_cases", _rank_cases, typed_codec(tuple[RankCase, ...])),
        Step("ranks", _ranks, json_codec),
        Step("ranks_of", _ranks_of, json_codec),
        Step("rows", _rows, rows),
        Step("all_rows", _all_rows, rows),
        Step("current_rows", _current_rows, rows),
        Step("repeats", _repeats, typed_codec(tuple[Repeats, ...])),
        Step("scatter", _scatter, typed_codec(dict[str, Scatter])),
        Step("labels", _labels, typed_codec(Labels)),
        Step("all_labels", _all_labels, typed_codec(tuple[Labels, ...])),
        Step("price", _price, json_codec),
        Step("card", _card, typed_codec(Card)),
        Step("placed_values", _placed_values, json_codec),
        Step("places", _places, typed_codec(tuple[Place, ...])),
        Step("claims", _claims, typed_codec(tuple[ClaimView, ...])),
        Step("chosen_rows", _chosen_rows, rows),
        Step("comparison", _comparison, typed_codec(ComparisonFinding)),
        Step("finder", _finder, typed_codec(tuple[FinderAnswer, ...])),
        Step("reading_rows", _reading_rows, typed_codec(tuple[ReadingRow, ...])),
    )
