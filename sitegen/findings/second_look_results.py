"""What a careful colleague would ask about results; see ``second_look``."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

import numpy as np

from sitegen.findings.comparisons import Scatter
from sitegen.findings.families import family_of
from sitegen.findings.open_state import DeviceState
from sitegen.findings.ranks import method_of
from sitegen.findings.results import Outlying, Pooled
from sitegen.findings.views import ResultRow
from sitegen.load import Problem
from sitegen.model import Comparison, Device, parse_configuration

_MOST_NAMED = 4


def of_results(
    device: Device,
    state: DeviceState,
    rows: Sequence[ResultRow],
    pooled: Sequence[Pooled],
    scatter: Mapping[str, Scatter],
    variable: Collection[str] = (),
) -> Iterator[Problem]:
    """Yield what is asked about the results of a current device.

    Args:
        device: the device.
        state: what of it is open.
        rows: its current results.
        pooled: what they rest on, and others.
        scatter: repeatability by method and fraction, a space between.
        variable: configurations that scatter more than the others of a method without
            an adopted repeatability.
    """
    by_row = {
        (each.row.configuration, each.row.method, each.row.fraction): each
        for each in pooled
    }
    for row in rows:
        key = (row.configuration, row.method, row.fraction)
        known = scatter.get(f"{row.method} {row.fraction}")
        item = by_row.get(key)
        if item is None:
            continue
        if item.outlying is not None:
            yield from _stands_off(item.row.configuration, item.outlying)
        elif known is not None and (
            "VARIABLE" in row.flags or row.configuration in variable
        ):
            yield _differing(device, item, known)
    singles = [row.configuration for row in rows if row.runs == 1]
    if singles:
        yield _of_speeds(device, singles, "single-run")
    silent = [gap.configuration for gap in state.gaps if gap.lacks == "sound"]
    if silent:
        yield _of_speeds(device, silent, "sound-not-measured")


def _stands_off(setting: str, off: Outlying) -> Iterator[Problem]:
    # Decided by the tester: nothing is left to ask.
    if off.decided:
        return
    values = {
        "run": off.run,
        "setting": setting,
        "with": f"{off.included.value:.0f}",
        "without": f"{off.excluded.value:.0f}",
    }
    yield Problem("run", off.run, ("speed",), "repeat-stands-off", values)


def _differing(device: Device, item: Pooled, known: Scatter) -> Problem:
    own = float(np.std(np.log(item.each_m3h), ddof=1))
    values = {
        "setting": item.row.configuration,
        "runs": str(item.row.runs),
        "ids": ", ".join(item.row.run_ids),
        "method": item.row.method,
        "scatter": f"{100 * own:.2g}",
        "repeatability": f"{100 * known.s_r:.2g}",
    }
    path = ("speeds", _position(device, item.row.speed))
    return Problem("device", device.id, path, "repeats-differ", values)


def _of_speeds(device: Device, configurations: Sequence[str], code: str) -> Problem:
    """Return one question about some configurations, at the first one's fan speed."""
    named = [parse_configuration(text) for text in configurations]
    at = min(_position(device, each.speed) for each in named if each is not None)
    values = {"settings": _listed(sorted(configurations))}
    return Problem("device", device.id, ("speeds", at), code, values)


def _position(device: Device, speed: str) -> int:
    ids = [each.id for each in device.speeds]
    return ids.index(speed) if speed in ids else 0


def _listed(names: Sequence[str]) -> str:
    if len(names) <= _MOST_NAMED:
        return ", ".join(names)
    return f"{', '.join(names[:_MOST_NAMED])} and {len(names) - _MOST_NAMED} more"


def lapsed_naturals(
    run: str, limit_days: int, codes: Collection[str], *, named: bool
) -> Iterator[Problem]:
    """Yield a run whose natural decay is older than its method allows.

    Args:
        run: id of the run.
        limit_days: the method's limit, days.
        codes: codes of the run's raised checks.
        named: whether the run names its natural decays itself.
    """
    if "NAT_OLD" in codes:
        path = ("natural",) if named else ("method",)
        yield Problem("run", run, path, "natural-lapsed", {"most": str(limit_days)})


def of_comparison(
    record: Comparison, rows: Sequence[ResultRow], families: Mapping[str, str]
) -> Iterator[Problem]:
    """Yield a comparison whose results do not all belong to one comparable set.

    Args:
        record: the comparison.
        rows: its rows.
        families: method to its comparable set, declared or its own.
    """
    shown = {"cadr_m3h", record.x, record.y}
    mixed: dict[str, set[str]] = {}
    for quantity in ("cadr_m3h", "sound_dba", "power_w"):
        if quantity not in shown:
            continue
        methods = {
            name
            for row in rows
            if getattr(row, quantity) is not None and (name := method_of(row, quantity))
        }
        sets: dict[str, set[str]] = {}
        for name in methods:
            sets.setdefault(family_of(name, families), set()).add(name)
        if len(sets) > 1:
            for family, names in sets.items():
                mixed.setdefault(family, set()).update(names)
    if mixed:
        path = ("configurations",) if record.configurations else ("where",)
        named = [" and ".join(sorted(mixed[family])) for family in sorted(mixed)]
        values = {"sets": " beside ".join(named)}
        yield Problem("comparison", record.id, path, "comparison-mixed", values)
