"""The decay curves of a device as a script file, for comparisons that readers make.

A file of its own for each device, read only when a reader asks for its curves: pages
opened from disk can read scripts and nothing else.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sitegen.figures.decay import DecayLine, drawn_points
from sitegen.figures.thin import every
from sitegen.pages.addresses import Address

FIT_POINTS = 40
"""Points of a drawn fit and of its band."""


@dataclass(frozen=True, slots=True)
class CurveRun:
    """One run of a configuration.

    Attributes:
        run: its id.
        role: ``middle`` or ``repeat``.
        readings: share of the start's concentration against time.
        fit: the fit with its 95 % band, or nothing where nothing could be fitted.
        rate: fitted decay rate, 1/h, with the limits of its 95 % interval.
        points: readings in the fitted part, before any were left out for drawing.
    """

    run: str
    role: str
    readings: DecayLine
    fit: DecayLine | None
    rate: tuple[float | None, float | None, float | None]
    points: int


@dataclass(frozen=True, slots=True)
class CurveSet:
    """The runs of one configuration under one method.

    Attributes:
        configuration: its name.
        method: id of the method, which decides the panel; each method has one room.
        panel: name of the method.
        target: share of the start that counts as cleared.
        runs: the runs, the middle one first.
    """

    configuration: str
    method: str
    panel: str
    target: float
    runs: tuple[CurveRun, ...]


def curves_of(device_id: str) -> Address:
    """Return the address of a device's curves."""
    return Address(f"{CURVES.path}{device_id}.js")


CURVES = Address("assets/curves/")
"""The folder of all curves."""


def curves_script(device_id: str, sets: Sequence[CurveSet]) -> bytes:
    """Return the script file of a device's curves.

    It hands ``window.benchCurves`` a list of sets by the device's id. Shares are
    per cent, times minutes since the start of the fitted part; ``null`` is a gap.

    Args:
        device_id: the device.
        sets: its curves.
    """
    text = json.dumps(
        [_set(each) for each in sets],
        ensure_ascii=True,
        sort_keys=True,
        separators=(",", ":"),
        allow_nan=False,
    )
    known = "(window.benchCurves = window.benchCurves || {})"
    return f"{known}[{json.dumps(device_id)}] = {text};\n".encode()


def _set(found: CurveSet) -> dict[str, Any]:
    return {
        "c": found.configuration,
        "method": found.method,
        "panel": found.panel,
        "target": _percent(found.target),
        "runs": [_run(run) for run in found.runs],
    }


def _run(run: CurveRun) -> dict[str, Any]:
    places = drawn_points(run.readings)
    return {
        "run": run.run,
        "role": run.role,
        "points": run.points,
        "rate": [None if each is None else float(f"{each:.10g}") for each in run.rate],
        "t": [round(run.readings.t_min[at], 3) for at in places],
        "y": [_percent(run.readings.value[at]) for at in places],
        "fit": None if run.fit is None else _fit(run.fit),
    }


def _fit(fit: DecayLine) -> dict[str, Any]:
    places = every(len(fit.t_min), FIT_POINTS)
    banded = bool(fit.band_low and fit.band_high)
    return {
        "t": [round(fit.t_min[at], 3) for at in places],
        "y": [_percent(fit.value[at]) for at in places],
        "low": [_percent(fit.band_low[at]) for at in places] if banded else [],
        "high": [_percent(fit.band_high[at]) for at in places] if banded else [],
    }


def _percent(share: float | None) -> float | None:
    return None if share is None else float(f"{100 * share:.4g}")
