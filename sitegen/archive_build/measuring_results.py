"""Steps from a device's runs to its results and costs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from sitegen.archive_build.codecs import record_codec, typed_codec
from sitegen.findings.costs import CostBasis, cost_view
from sitegen.findings.readings import (
    PowerDraw,
    SoundLevel,
    power_draw,
    sound_level,
    standby_power,
)
from sitegen.findings.results import Pooled, PooledRun, pool
from sitegen.findings.views import (
    CostView,
    Interval,
    ResultRow,
)
from sitegen.measure.energy import cadr_per_watt
from sitegen.measure.repeatability import Repeatability
from sitegen.model import (
    Configuration,
    DecayMethod,
    Device,
    PowerRun,
    SoundMethod,
    SoundRun,
)
from sitegen.pages.addresses import of_record
from sitegen.rebuild import Ask, Step, json_codec


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
    decided = ask.all([("decided", e.id) for e in entries])
    runs = [
        PooledRun(*each) for each in zip(entries, founds, reports, decided, strict=True)
    ]
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
    return CostBasis(
        archive.currency,
        archive.assumptions,
        archive.rates,
        archive.rates_valid_days,
    )


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
    standby = standby_power(runs, _resolution_w(ask, runs))
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


def _resolution_w(ask: Ask, runs: list[PowerRun]) -> float | None:
    """Return the coarsest resolution of the meters that read the power when off."""
    methods = sorted({run.method for run in runs if run.standby_w})
    meters = [
        ask("record", "instrument", ask("bare_method", name).instrument).resolution_w
        for name in methods
    ]
    return max((each for each in meters if each is not None), default=None)


def _cadr_by_configuration(ask: Ask, device_id: str) -> dict[str, Interval]:
    fraction = ask("primary_fraction")
    found = {}
    for item in ask("pooled", device_id):
        row = item.row
        if row.fraction == fraction and row.cadr_m3h is not None:
            low = row.cadr_m3h if row.cadr_low is None else row.cadr_low
            high = row.cadr_m3h if row.cadr_high is None else row.cadr_high
            found[row.configuration] = Interval(row.cadr_m3h, low, high)
    return found


def _plain_rows(ask: Ask, device_id: str) -> tuple[ResultRow, ...]:
    """Rows with sound, power and costs, before ranks are known."""
    return _filled(ask, device_id, [item.row for item in ask("pooled", device_id)])


def _loose_rows(ask: Ask, device_id: str) -> tuple[ResultRow, ...]:
    """Rows of configurations with sound or power and no decay run; in no data file."""
    decayed = {item.row.configuration for item in ask("pooled", device_id)}
    fraction = ask("primary_fraction")
    bare = [
        ResultRow(c.device, c.filter, c.speed, "", fraction, 0, (), "rated", ())
        for c in _configurations(ask, device_id)
        if str(c) not in decayed
    ]
    rows = _filled(ask, device_id, bare) if bare else ()
    return tuple(r for r in rows if (r.sound_dba, r.power_w) != (None, None))


def _sound_grades(ask: Ask, device_id: str) -> dict[str, str]:
    """How the background was treated, by configuration with a level."""
    runs = _device_runs(ask, device_id)["sound"]
    found = {str(c): _sound_of(ask, runs, c) for c in _configurations(ask, device_id)}
    return {name: sound.grade for name, sound in found.items() if sound is not None}


def _filled(ask: Ask, device_id: str, bare: list[ResultRow]) -> tuple[ResultRow, ...]:
    """Return rows with sound, power, costs and address."""
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
    return tuple(
        _with_costs(
            _with_power(
                _with_sound(
                    replace(row, currency=currency, address=address),
                    sounds.get(row.configuration),
                ),
                powers.get(row.configuration),
            ),
            costs.get(row.configuration),
        )
        for row in bare
    )


def _with_sound(row: ResultRow, sound: SoundLevel | None) -> ResultRow:
    if sound is None:
        return row
    return replace(
        row,
        sound_dba=sound.level_dba,
        sound_low=sound.low_dba,
        sound_high=sound.high_dba,
        sound_limit=sound.limit,
        sound_method=sound.method,
    )


def _with_power(row: ResultRow, power: PowerDraw | None) -> ResultRow:
    if power is None:
        return row
    # Clean air that cannot be told from none has no meaning for each watt.
    told = row.cadr_m3h is not None and "CADR_ZERO" not in row.flags
    each = cadr_per_watt(row.cadr_m3h or 0.0, power.power_w) if told else None
    return replace(
        row,
        power_w=power.power_w,
        power_sd=power.sd_w,
        power_method=power.method,
        cadr_per_w=each,
    )


def _with_costs(row: ResultRow, cost: CostView | None) -> ResultRow:
    if cost is None:
        return row
    return replace(
        row,
        energy_kwh_year=cost.energy_kwh_year,
        energy_cost_year=cost.energy_cost_year,
        filter_cost_year=cost.filter_cost_year,
        running_cost_year=cost.running_cost_year,
        ownership_cost=cost.ownership_cost,
    )


def _sound_of(ask: Ask, runs: list[SoundRun], c: Configuration) -> SoundLevel | None:
    own = [r for r in runs if (r.filter, r.speed) == (c.filter, c.speed)]
    if not own:
        return None
    newest = _newest_method(ask, {r.method for r in own})
    method: SoundMethod = ask("bare_method", newest)
    meter = ask("record", "instrument", method.instrument)
    return sound_level([r for r in own if r.method == newest], meter.uncertainty_db)


def _power_of(ask: Ask, runs: list[PowerRun], c: Configuration) -> PowerDraw | None:
    own = [r for r in runs if (r.filter, r.speed) == (c.filter, c.speed)]
    if not own:
        return None
    newest = _newest_method(ask, {r.method for r in own})
    return power_draw([r for r in own if r.method == newest])


def result_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (
        Step("bare_device", _bare_device, record_codec),
        Step("bare_filter", _bare_filter, record_codec),
        Step("pooled", _pooled, typed_codec(tuple[Pooled, ...])),
        Step("cost_basis", _cost_basis, typed_codec(CostBasis)),
        Step("costs", _costs, typed_codec(tuple[CostView, ...])),
        Step("loose_rows", _loose_rows, typed_codec(tuple[ResultRow, ...])),
        Step("sound_grades", _sound_grades, json_codec),
        Step("plain_rows", _plain_rows, typed_codec(tuple[ResultRow, ...])),
    )
