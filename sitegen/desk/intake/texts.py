"""The texts of the two files that intake writes: a series and a run record."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitegen.desk.intake.forms import scalar
from sitegen.desk.intake.joined import Joined
from sitegen.desk.intake.log import ReadLog
from sitegen.errors import one_line
from sitegen.measure.arrays import Floats

_NOT_IN_NAMES = re.compile(r'[\\/:*?"<>|]')


@dataclass(frozen=True, slots=True)
class RunText:
    """What a run record is made of.

    Attributes:
        method: id of the method.
        series: name of the series.
        started: date and time at elapsed time zero.
        configuration: device, specimen, filter and fan speed; nothing for a natural
            decay.
        filter_hours: hours that the filter had run before.
        events: minutes and what happened, in order.
        temperature_c: air temperature, °C.
        humidity_pct: relative humidity, %.
        note: a remark.
    """

    method: str
    series: str
    started: dt.datetime
    configuration: tuple[str, str, str, str] | None
    filter_hours: float | None
    events: Sequence[tuple[float, str]]
    temperature_c: float | None
    humidity_pct: float | None
    note: str | None


def file_name(name: str) -> str:
    """Return the name of a raw log as a record can hold it."""
    clean = _NOT_IN_NAMES.sub("-", one_line(name)).strip()
    return clean or "log"


def _number(value: float) -> str:
    return f"{value:.10g}"


def series_text(joined: Joined, logs: Sequence[ReadLog]) -> str:
    """Return the text of a series file.

    Elapsed seconds have as many decimals as the log's clock, six at the most; an
    empty cell is a missing reading.
    """
    lines = [
        f"# {log.instrument}: from {file_name(log.name)}, lines"
        f" {int(log.rows.lines.min())} to {int(log.rows.lines.max())}"
        for log in logs
    ]
    lines.append(",".join(["elapsed_s", *joined.readings]))
    columns = [_column(joined.elapsed_s), *map(_column, joined.readings.values())]
    lines += [",".join(row) for row in zip(*columns, strict=True)]
    return "\n".join(lines) + "\n"


def _column(values: Floats) -> list[str]:
    return ["" if np.isnan(value) else _number(float(value)) for value in values]


def run_text(run: RunText, logs: Sequence[ReadLog]) -> str:
    """Return the text of a run record, with a comment on what to look at next."""
    lines = []
    if run.configuration is None:
        lines += ["# A natural decay, taken in from its raw log.", ""]
        lines.append("kind: natural-decay")
    else:
        lines += ["# A decay run, taken in from its raw log.", ""]
        device, specimen, filter_id, speed = run.configuration
        lines += ["kind: decay", f"device: {scalar(device)}"]
        lines += [f"specimen: {scalar(specimen)}", f"filter: {scalar(filter_id)}"]
        if run.filter_hours is None:
            lines += ["# Hours that the filter had run before:", "# filter_hours: 0"]
        else:
            lines.append(f"filter_hours: {_number(run.filter_hours)}")
        lines.append(f"speed: {scalar(speed)}")
    lines.append(f"method: {scalar(run.method)}")
    lines.append(f"started: {run.started.isoformat()}")
    lines.append(f"series: {scalar(run.series)}")
    if run.events:
        lines.append("events:")
        lines += [
            f"  - {{at_min: {round(minute, 3):g}, what: {what}}}"
            for minute, what in run.events
        ]
    lines += _conditions(run)
    lines.append("raw:")
    for log in logs:
        lines.append(f"  - name: {scalar(file_name(log.name))}")
        lines.append(f'    digest: "{log.digest}"')
    if run.note:
        lines.append(f"note: {scalar(run.note)}")
    return "\n".join(lines) + "\n"


def _conditions(run: RunText) -> list[str]:
    lines = []
    if run.temperature_c is not None:
        lines.append(f"  temperature_c: {_number(run.temperature_c)}")
    if run.humidity_pct is not None:
        lines.append(f"  humidity_pct: {_number(run.humidity_pct)}")
    if lines:
        return ["conditions:", *lines]
    return [
        "# conditions:",
        "#   temperature_c: 20.0",
        "#   humidity_pct: 45",
        "#   places: Where the device and the instruments stood.",
    ]
