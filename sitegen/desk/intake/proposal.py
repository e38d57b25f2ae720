"""What intake would write, with its fit, before anything is written."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.desk.intake.moments import moment_of, named_moment
from sitegen.desk.intake.taken import Taken
from sitegen.desk.intake.texts import RunText, run_text, series_text
from sitegen.desk.intake.wanted import (
    Wanted,
    chosen_configuration,
    event_words,
    usage,
)
from sitegen.desk.opened import OpenArchive
from sitegen.desk.schemas import FOLDER, schema_comment
from sitegen.errors import Fault, FaultsFound, Place
from sitegen.findings.fitted import RunFound, fit_series, fit_setup
from sitegen.load import load_record, read_series
from sitegen.model import DecayRun, Instrument, NaturalDecayRun
from sitegen.model.series import Series

_ID_LENGTH = 64


@dataclass(frozen=True, slots=True, eq=False)
class Proposal:
    """Two files to write, and what they say.

    Attributes:
        files: path below the archive to text.
        run: the run record.
        series: the series, as it will be read.
        found: its fit.
        taken: the logs behind it.
        configuration: device, specimen, filter and speed; nothing for a natural decay.
    """

    files: tuple[tuple[str, str], ...]
    run: DecayRun | NaturalDecayRun
    series: Series
    found: RunFound
    taken: Taken


def propose(archive: OpenArchive, wanted: Wanted, taken: Taken) -> Proposal:
    """Return the two files of a run with its fit.

    Raises:
        UsageFault: if an option is missing or not understood.
        FaultsFound: if a file is there already, or what would be written has faults.
    """
    configuration = chosen_configuration(archive, wanted)
    zone = taken.logs[0].zone
    assert zone is not None  # noqa: S101 - given by _in_utc
    started = moment_of(int(taken.joined.us[0]), zone)
    stem = wanted.run or free_id(archive, configuration, f"{started:%Y-%m-%d}")
    _check_free(archive, stem)
    text = RunText(
        method=taken.method.id,
        series=stem,
        started=started,
        configuration=configuration,
        filter_hours=wanted.filter_hours,
        events=_events(wanted, taken),
        temperature_c=wanted.temperature_c,
        humidity_pct=wanted.humidity_pct,
        note=wanted.note,
    )
    series_path, run_path = f"series/{stem}.csv", f"records/runs/{stem}.yaml"
    series_csv = series_text(taken.joined, taken.logs)
    record = run_text(text, taken.logs)
    if (archive.folder / FOLDER / "run.json").is_file():
        record = f"{schema_comment(run_path)}\n{record}"
    loaded = load_record("run", stem, record.encode(), run_path)
    if not isinstance(loaded.record, DecayRun | NaturalDecayRun):
        raise FaultsFound(loaded.faults)
    by_id = {one.id: one for one in taken.instruments}
    for name in taken.method.instruments:
        if name not in by_id:
            by_id[name] = archive.record("instrument", name, Instrument)
    setup = fit_setup(loaded.record, taken.method, by_id)
    read = read_series(series_csv.encode(), series_path, setup.units)
    if read.series is None:
        raise FaultsFound(read.faults)
    return Proposal(
        files=((series_path, series_csv), (run_path, record)),
        run=loaded.record,
        series=read.series,
        found=fit_series(setup, read.series),
        taken=taken,
    )


def _events(wanted: Wanted, taken: Taken) -> list[tuple[float, str]]:
    zone = taken.logs[0].zone
    assert zone is not None  # noqa: S101 - given by _in_utc
    origin = int(taken.joined.us[0])
    found = []
    for text in wanted.events:
        what, when = event_words(text)
        moment = named_moment(when, origin, zone, "--event")
        found.append(((moment - origin) / 60e6, what))
    names = {what for _, what in found}
    peak = f"the level is highest at minute {taken.peak_min:.1f}"
    if not wanted.natural and "device_on" not in names:
        told = "the device was switched on"
        raise usage("intake-no-event", "", what=told, event="device_on", peak=peak)
    if wanted.natural and not names & {"mixing_off", "injected"}:
        told = "the mixing fan was switched off"
        raise usage("intake-no-event", "", what=told, event="mixing_off", peak=peak)
    return sorted(found)


def free_id(
    archive: OpenArchive,
    configuration: tuple[str, str, str, str] | None,
    day: str,
) -> str:
    """Return an id for the run that no run and no series has: what, and the day."""
    if configuration is None:
        base = f"natural-{day}"
    else:
        device, _, filter_id, speed = configuration
        base = f"{device}-{filter_id}-{speed}-{day}"
        if len(base) > _ID_LENGTH - 3:
            base = f"{device[: _ID_LENGTH - 16 - len(speed)]}-{speed}-{day}"
    taken = {*archive.ids("run"), *archive.located.series}
    if base not in taken:
        return base
    number = 2
    while f"{base}-{number}" in taken:
        number += 1
    return f"{base}-{number}"


def _check_free(archive: OpenArchive, stem: str) -> None:
    found = []
    if stem in archive.ids("run"):
        found.append(archive.path("run", stem))
    if stem in archive.located.series:
        found.append(archive.located.series[stem])
    if found:
        raise FaultsFound(
            [Fault("intake-exists", Place("intake"), "", {"path": p}) for p in found]
        )
