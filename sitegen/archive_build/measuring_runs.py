"""Steps from runs and series to what was found in each.

Steps named ``bare_…`` are firewalls: they pass on a record without its remarks, so
that what changes beside that part stops there.
"""

from __future__ import annotations

from typing import Any

from sitegen.archive_build.codecs import record_codec, typed_codec
from sitegen.findings.fitted import FitSetup, RunFound, fit_series, fit_setup
from sitegen.findings.index import RunEntry, entry_of, natural_ids
from sitegen.findings.readings import (
    reading_rows,
)
from sitegen.findings.reports import (
    DecayCase,
    RoomFigures,
    decay_report,
    natural_report,
)
from sitegen.findings.views import (
    DecayReport,
    ReadingRow,
)
from sitegen.load import read_series
from sitegen.model import (
    DecayMethod,
    DecayRun,
    NaturalDecayRun,
)
from sitegen.rebuild import Ask, Step, json_codec


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


def _entries_by_device(ask: Ask) -> dict[str, tuple[RunEntry, ...]]:
    found: dict[str, list[RunEntry]] = {}
    for entry in ask("entries"):
        found.setdefault(entry.device, []).append(entry)
    return {name: tuple(entries) for name, entries in found.items()}


def _entries_of(ask: Ask, device_id: str) -> tuple[RunEntry, ...]:
    entries: tuple[RunEntry, ...] = ask("entries_by_device").get(device_id, ())
    return entries


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


def _reading_rows(ask: Ask, run_id: str) -> tuple[ReadingRow, ...]:
    return reading_rows(ask("bare_run", run_id))


def run_finding_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (
        Step("bare_run", _bare_run, record_codec),
        Step("bare_method", _bare_method, record_codec),
        Step("decided", _decided, json_codec),
        Step("entry", _entry, typed_codec(RunEntry)),
        Step("entries", _entries, typed_codec(tuple[RunEntry, ...])),
        Step(
            "entries_by_device",
            _entries_by_device,
            typed_codec(dict[str, tuple[RunEntry, ...]]),
        ),
        Step("entries_of", _entries_of, typed_codec(tuple[RunEntry, ...])),
        Step("naturals", _naturals, typed_codec(tuple[RunEntry, ...])),
        Step("natural_ids", _natural_ids, json_codec),
        Step("fit_setup", _fit_setup, typed_codec(FitSetup)),
        Step("fit", _gather_fit, typed_codec(RunFound), work=fit_work),
        Step("found", _found, typed_codec(RunFound)),
        Step("figures", _figures, typed_codec(RoomFigures)),
        Step("report", _report, typed_codec(DecayReport)),
        Step("reading_rows", _reading_rows, typed_codec(tuple[ReadingRow, ...])),
    )
