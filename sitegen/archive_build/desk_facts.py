"""Steps to what the worklist is made from; nothing of it is published."""

from __future__ import annotations

from collections import Counter

from sitegen.archive_build.codecs import typed_codec
from sitegen.findings.index import RunEntry
from sitegen.findings.open_state import (
    ArchiveState,
    DeviceState,
    NaturalState,
    OpenCorrection,
    UndecidedRun,
    gaps,
    open_claims,
    undecided_run,
)
from sitegen.findings.views import ResultRow
from sitegen.model import DecayMethod
from sitegen.rebuild import Ask, Step, json_codec


def _methods_in_force(ask: Ask) -> list[DecayMethod]:
    methods = ask.all([("bare_method", name) for name in ask("shown", "method")])
    return [m for m in methods if m.kind == "decay" and m.replaced_by is None]


def _aerosols(ask: Ask) -> list[str]:
    """Aerosols and size metrics that the decay methods in force measure."""
    methods = _methods_in_force(ask)
    return sorted(
        {name for m in methods for name in (m.aerosol_kind, m.primary_fraction)}
    )


def _undecided(ask: Ask, entries: list[RunEntry]) -> tuple[UndecidedRun, ...]:
    reports = ask.all([("report", entry.id) for entry in entries])
    found = [undecided_run(*each) for each in zip(entries, reports, strict=True)]
    return tuple(run for run in found if run is not None)


def _device_state(ask: Ask, device_id: str) -> DeviceState:
    """What is open of a device; of one withdrawn only what waits for a decision."""
    entries = ask("entries_of", device_id)
    undecided = _undecided(ask, [e for e in entries if e.kind == "decay"])
    if ask("labels", device_id).withdrawn:
        return DeviceState(undecided=undecided)
    return DeviceState(
        surprises=ask("surprises", device_id),
        undecided=undecided,
        gaps=gaps(
            ask("current_rows", device_id),
            entries,
            device_id,
            [speed.id for speed in ask("bare_device", device_id).speeds],
        ),
        claims=open_claims(
            ask("bare_device", device_id), ask("claims", device_id), ask("aerosols")
        ),
    )


def _newest_natural(ask: Ask, method: DecayMethod) -> NaturalState:
    own = [e for e in ask("naturals") if e.method == method.id and e.counts]
    newest = max(own, key=lambda e: (e.day, e.id), default=None)
    return NaturalState(
        method.id,
        newest.id if newest else "",
        newest.day if newest else "",
        method.natural_valid_days,
    )


def _compared(ask: Ask) -> list[Counter[str]]:
    """How often each configuration is asked for, and each filter of a device.

    A named comparison asks for what stands in it and for what it names in vain; each
    video that links it asks once more.
    """
    names = ask("shown", "comparison")
    chosen = ask.all([("choice", "comparison", name) for name in names])
    videos = ask("shown", "video")
    shown = ask.all([("record", "video", name) for name in videos])
    pairs = {(video.id, name) for video in shown for name in video.comparisons}
    pairs |= {
        (choice.video, name)
        for choice, name in zip(chosen, names, strict=True)
        if choice.video in videos
    }
    linked = Counter(name for _, name in pairs)
    each: list[tuple[ResultRow, ...]] = ask.all(
        [("chosen_rows", "comparison", name) for name in names]
    )
    configurations: Counter[str] = Counter()
    filters: Counter[str] = Counter()
    for name, rows, choice in zip(names, each, chosen, strict=True):
        wanted = {*(row.configuration for row in rows), *choice.configurations}
        for one in wanted:
            configurations[one] += 1 + linked[name]
        for one in {text.rpartition(".")[0] for text in wanted}:
            filters[one] += 1 + linked[name]
    return [configurations, filters]


def _open_corrections(ask: Ask) -> tuple[OpenCorrection, ...]:
    return tuple(
        OpenCorrection(name, day, tuple(targets))
        for name, day, _, closed, *targets in ask("corrections")
        if not closed
    )


def _archive_state(ask: Ask) -> ArchiveState:
    methods = _methods_in_force(ask)
    used = {entry.method for entry in ask("entries")}
    configurations, filters = _compared(ask)
    return ArchiveState(
        devices=tuple(
            ask.all([("device_state", name) for name in ask("shown", "device")])
        ),
        naturals=_undecided(ask, list(ask("naturals"))),
        repeatability=tuple(
            ask.all([("repeatability", method.id) for method in methods])
        ),
        newest_natural=tuple(
            _newest_natural(ask, method) for method in methods if method.id in used
        ),
        compared=tuple(sorted(configurations.items())),
        compared_filters=tuple(sorted(filters.items())),
        corrections=_open_corrections(ask),
    )


def desk_steps() -> tuple[Step, ...]:
    """Return these steps."""
    return (
        Step("aerosols", _aerosols, json_codec),
        Step("device_state", _device_state, typed_codec(DeviceState)),
        Step("archive_state", _archive_state, typed_codec(ArchiveState)),
    )
