"""Sound and power: single readings, and what a configuration's amount to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.findings.index import entry_of
from sitegen.findings.views import ReadingRow, Standby
from sitegen.measure.energy import mean_power
from sitegen.measure.estimate import Z95
from sitegen.measure.sound import energy_mean, measured_level
from sitegen.model import PowerRun, SoundRun

DEFAULT_METER_U_DB = 0.5


@dataclass(frozen=True, slots=True)
class SoundLevel:
    """The sound level of one configuration.

    Attributes:
        method: id of the sound method.
        runs: ids of the runs behind it.
        level_dba: the level, or what it is at most.
        low_dba: lower 95 % limit.
        high_dba: upper 95 % limit.
        limit: ``at_most`` where the background allows no more than that.
        grade: how the background was treated, or ``""`` when none was measured.
        background_dba: energy mean of the background, or nothing.
    """

    method: str
    runs: tuple[str, ...]
    level_dba: float
    low_dba: float
    high_dba: float
    limit: str
    grade: str
    background_dba: float | None


@dataclass(frozen=True, slots=True)
class PowerDraw:
    """The electrical power of one configuration.

    Attributes:
        method: id of the power method.
        runs: ids of the runs behind it.
        power_w: mean power, W.
        sd_w: standard deviation of the readings, or nothing for a single one.
    """

    method: str
    runs: tuple[str, ...]
    power_w: float
    sd_w: float | None

    @property
    def limits_w(self) -> tuple[float, float]:
        """Mean less and plus 1.96 deviations of the readings, not below 0, W."""
        half = Z95 * (self.sd_w or 0.0)
        return max(self.power_w - half, 0.0), self.power_w + half


def sound_level(
    runs: Sequence[SoundRun], meter_u_db: float | None
) -> SoundLevel | None:
    """Return the level that accepted runs of one configuration and method give.

    All readings of all runs are one sample, and so are all backgrounds.

    Args:
        runs: runs of one configuration under one method, accepted ones.
        meter_u_db: standard uncertainty of the meter, dB; 0.5 when not known.
    """
    if not runs:
        return None
    background = [level for run in runs for level in run.background_dba]
    found = measured_level(
        [level for run in runs for level in run.readings_dba],
        background or None,
        DEFAULT_METER_U_DB if meter_u_db is None else meter_u_db,
    )
    base = energy_mean(background) if background else None
    return SoundLevel(
        method=runs[0].method,
        runs=tuple(run.id for run in runs),
        level_dba=found.level_dba,
        low_dba=found.low_dba,
        high_dba=found.high_dba,
        limit=found.limit,
        grade=found.background.grade if found.background else "",
        background_dba=base,
    )


def power_draw(runs: Sequence[PowerRun]) -> PowerDraw | None:
    """Return the power that accepted runs of one configuration and method give."""
    if not runs:
        return None
    found = mean_power([watts for run in runs for watts in run.readings_w])
    return PowerDraw(
        method=runs[0].method,
        runs=tuple(run.id for run in runs),
        power_w=found.watts,
        sd_w=found.sd,
    )


def standby_power(
    runs: Sequence[PowerRun], resolution_w: float | None = None
) -> Standby | None:
    """Return a device's mean power when off, or nothing when never measured.

    Args:
        runs: power runs of the device.
        resolution_w: smallest step of the meter, W; a mean under it is known only to
            be below it.
    """
    readings = [watts for run in runs for watts in run.standby_w]
    if not readings:
        return None
    mean = mean_power(readings).watts
    below = resolution_w is not None and mean < resolution_w
    return Standby(mean, resolution_w if below else None)


def reading_rows(run: SoundRun | PowerRun) -> tuple[ReadingRow, ...]:
    """Return a run's rows of ``readings.csv``."""
    entry = entry_of(run)
    if isinstance(run, SoundRun):
        unit = "dB(A)"
        groups = (("device", run.readings_dba), ("background", run.background_dba))
    else:
        unit = "W"
        groups = (("device", run.readings_w), ("standby", run.standby_w))
    return tuple(
        ReadingRow(
            run=entry.id,
            kind=entry.kind,
            device=entry.device,
            specimen=entry.specimen,
            filter=entry.filter,
            speed=entry.speed,
            method=entry.method,
            date=entry.day,
            status=entry.status,
            what=what,
            position=position,
            value=value,
            unit=unit,
        )
        for what, values in groups
        for position, value in enumerate(values, 1)
    )
