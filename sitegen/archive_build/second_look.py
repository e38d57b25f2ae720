"""Gathers what a careful colleague asks about an archive, for ``check``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterator
from typing import Any

from sitegen.findings.open_state import ArchiveState, DeviceState
from sitegen.findings.second_look import (
    currencies_of,
    in_use,
    is_current,
    of_device,
    of_filter,
    of_instrument,
    of_naturals,
    of_settings,
)
from sitegen.findings.second_look_results import (
    lapsed_naturals,
    of_comparison,
    of_results,
)
from sitegen.load import Problem
from sitegen.model import Device, Filter, Instrument

Asks = Callable[..., Any]
"""Asks the engine for a value of a step."""


def second_look(ask: Asks, told: Collection[str], today: dt.date) -> Iterator[Problem]:
    """Yield all that is asked about an archive without faults, in no order.

    Args:
        ask: the engine's question.
        told: currencies whose rates another warning tells about already.
        today: the day against which dates are held.
    """
    # Asked for first: whatever takes time is made for it, in parallel.
    state: ArchiveState = ask("archive_state")
    devices: list[Device] = [
        ask("record", "device", name) for name in ask("shown", "device")
    ]
    current = [device for device in devices if is_current(device)]
    used = {part.id for device in current for part in device.filters}
    filters: list[Filter] = [ask("record", "filter", name) for name in sorted(used)]
    for device in devices:
        yield from of_device(device, today)
    for each in filters:
        yield from of_filter(each, today)
    currencies = currencies_of(current, filters) - set(told)
    yield from of_settings(ask("archive"), currencies, today)
    yield from _of_instruments(ask, today)
    yield from of_naturals(state.newest_natural, today)
    variable = _variable(state)
    states = dict(zip(ask("shown", "device"), state.devices, strict=True))
    for device in current:
        yield from _of_results(ask, device, states[device.id], variable)
    for name in ask("shown", "comparison"):
        rows = ask("chosen_rows", "comparison", name)
        yield from of_comparison(
            ask("record", "comparison", name), rows, ask("families")
        )


def _of_instruments(ask: Asks, today: dt.date) -> Iterator[Problem]:
    methods = [ask("bare_method", name) for name in ask("shown", "method")]
    instruments = {
        method.id: method.instruments if method.kind == "decay" else [method.instrument]
        for method in methods
        if method.replaced_by is None
    }
    for name, entries in in_use(instruments, ask("entries")).items():
        instrument: Instrument = ask("record", "instrument", name)
        yield from of_instrument(instrument, entries, today)


def _variable(state: ArchiveState) -> frozenset[str]:
    """Configurations that scatter more than others, by repeats not yet adopted."""
    return frozenset(
        name
        for found in state.repeatability
        if found.adopted is None and found.current is not None and found.current.enough
        for name in found.current.variable
    )


def _of_results(
    ask: Asks, device: Device, state: DeviceState, variable: frozenset[str]
) -> Iterator[Problem]:
    rows = ask("current_rows", device.id)
    pooled = ask("pooled", device.id)
    yield from of_results(device, state, rows, pooled, ask("scatter"), variable)
    for row in rows:
        if "NAT_OLD" not in row.flags:
            continue
        limit = ask("bare_method", row.method).natural_valid_days
        for run in row.run_ids:
            codes = {f.code for f in ask("report", run).flags if f.raised}
            named = ask("bare_run", run).natural is not None
            yield from lapsed_naturals(run, limit, codes, named=named)
