"""Checks of one record against the records that it names."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator

from sitegen.load.facts import Facts, NamedAt
from sitegen.load.guesses import guess, listed
from sitegen.load.index import MEDIA, SERIES, Lookup, folder_of
from sitegen.load.problems import Problem
from sitegen.load.quantity_checks import quantity_problems
from sitegen.load.tree import Path
from sitegen.model import NO_FILTER, parse_configuration

_METHOD_OF_RUN = {
    "decay": "decay",
    "natural-decay": "decay",
    "sound": "sound",
    "power": "power",
}
_INSTRUMENT_OF_METHOD = {"decay": "particle", "sound": "sound", "power": "power"}


def check_record(facts: Facts, lookup: Lookup) -> tuple[Problem, ...]:
    """Return what is wrong between a record and those that it names.

    Args:
        facts: facts of the record.
        lookup: asked about other records, and about nothing that does not matter.
    """
    checks: tuple[Callable[[Facts, Lookup], Iterator[Problem]], ...] = (
        _named_records,
        _configurations,
        _targets,
        _run,
        _natural,
        _method,
        _device,
        _money,
        _media,
        _succession,
        quantity_problems,
    )
    return tuple(problem for check in checks for problem in check(facts, lookup))


def comparable(first: Facts, second: Facts) -> bool:
    """Return whether results of two methods may stand beside each other."""
    if first.id == second.id:
        return True
    if first.method is None or second.method is None:
        return False
    return (
        second.id in first.method.comparable_with
        or first.id in second.method.comparable_with
    )


def unknown(facts: Facts, path: Path, kind: str, name: str, lookup: Lookup) -> Problem:
    """Return the problem of naming a record that does not exist."""
    values = {
        "kind": kind,
        "id": name,
        "folder": folder_of(kind),
        **guess(name, lookup.ids(kind)),
    }
    return Problem(facts.kind, facts.id, path, "unknown-reference", values)


def _named_records(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    for named in facts.references:
        if lookup.exists(named.kind, named.id):
            continue
        # What merely points at something may go on pointing at what has left.
        if named.rests or not lookup.left(named.kind, named.id):
            yield unknown(facts, named.path, named.kind, named.id, lookup)


def _configurations(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    for path, text in facts.configurations:
        named = parse_configuration(text)
        if named is None:
            continue
        if not lookup.exists("device", named.device):
            yield unknown(facts, path, "device", named.device, lookup)
            continue
        device = named.device
        yield from _of_device(facts, "filter", device, (path, named.filter), lookup)
        yield from _of_device(facts, "speed", device, (path, named.speed), lookup)


def _of_device(
    facts: Facts, what: str, device_id: str, named: NamedAt, lookup: Lookup
) -> Iterator[Problem]:
    """Check that a device has a filter, a fan speed or a specimen."""
    device = lookup.facts("device", device_id)
    if device is None or device.device is None:
        return
    path, name = named
    choices = {
        "filter": (*device.device.filters, NO_FILTER),
        "speed": device.device.speeds,
        "specimen": device.device.specimens,
    }[what]
    if name in choices:
        return
    values = {
        "device": device_id,
        "value": name,
        **({"choices": listed(choices)} if choices else {}),
        **guess(name, choices),
    }
    yield Problem(facts.kind, facts.id, path, f"{what}-not-of-device", values)


def _targets(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    for path, text in facts.targets:
        kind, _, name = text.partition(":")
        if not lookup.exists(kind, name) and not lookup.left(kind, name):
            yield unknown(facts, path, kind, name, lookup)


def _run(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    run = facts.run
    if run is None:
        return
    if run.device:
        for what, name in (
            ("specimen", run.specimen),
            ("filter", run.filter),
            ("speed", run.speed),
        ):
            yield from _of_device(facts, what, run.device, ((what,), name), lookup)
    method = lookup.facts("method", run.method)
    wanted = _METHOD_OF_RUN[run.kind]
    if method is not None and method.method is not None:
        found = method.method.kind
        if found != wanted:
            values = {"method": run.method, "found": found, "wanted": wanted}
            yield Problem(facts.kind, facts.id, ("method",), "method-kind", values)
    if run.series and not lookup.exists(SERIES, run.series):
        values = {"series": run.series, **guess(run.series, lookup.ids(SERIES))}
        yield Problem(facts.kind, facts.id, ("series",), "series-missing", values)


def _natural(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    if facts.run is None or not facts.run.natural:
        return
    wanted = facts.run.method
    own = lookup.facts("method", wanted)
    for at, name in enumerate(facts.run.natural):
        other = lookup.facts("run", name)
        if other is None or other.run is None:
            continue
        path = ("natural", at)
        if other.run.kind != "natural-decay":
            values = {"run": name, "found": other.run.kind}
            yield Problem(facts.kind, facts.id, path, "natural-kind", values)
        elif other.run.method != wanted:
            theirs = lookup.facts("method", other.run.method)
            if own and theirs and not comparable(own, theirs):
                values = {"run": name, "found": other.run.method, "wanted": wanted}
                yield Problem(facts.kind, facts.id, path, "natural-method", values)


def _method(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    method = facts.method
    if method is None:
        return
    wanted = _INSTRUMENT_OF_METHOD[method.kind]
    read: set[str] = set()
    all_known = True
    for path, name in method.instruments:
        instrument = lookup.facts("instrument", name)
        if instrument is None or instrument.instrument is None:
            all_known = False
            continue
        read.update(instrument.instrument.fractions)
        found = instrument.instrument.kind
        if found != wanted:
            all_known = False
            values = {"instrument": name, "found": found, "wanted": wanted}
            yield Problem(facts.kind, facts.id, path, "instrument-kind", values)
    if all_known and method.primary_fraction and method.primary_fraction not in read:
        values = {"value": method.primary_fraction}
        values |= {"choices": listed(sorted(read))} if read else {}
        path = ("primary_fraction",)
        yield Problem(facts.kind, facts.id, path, "fraction-not-read", values)
    for at, name in enumerate(method.comparable_with):
        other = lookup.facts("method", name)
        if other and other.method and other.method.kind != method.kind:
            found = other.method.kind
            values = {"method": name, "found": found, "wanted": method.kind}
            path = ("comparable_with", at)
            yield Problem(facts.kind, facts.id, path, "comparable-kind", values)


def _device(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    device = facts.device
    if device is None:
        return
    for path, name in device.claimed_speeds:
        if name not in device.speeds:
            values = {
                "device": facts.id,
                "value": name,
                "choices": listed(device.speeds),
                **guess(name, device.speeds),
            }
            code = "speed-not-of-device"
            yield Problem(facts.kind, facts.id, path, code, values)
    named = [lookup.facts(to.kind, to.id) for to in facts.references if to.rests]
    if facts.held or any(other.held for other in named if other):
        return
    code = "acquisition-missing"
    if not device.specimens:
        yield Problem(facts.kind, facts.id, (), code, {"what": "the device"})
    for at in device.unacquired:
        values = {"what": f'the specimen "{device.specimens[at]}"'}
        yield Problem(facts.kind, facts.id, ("specimens", at), code, values)


def _money(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    settings = lookup.settings() if facts.amounts else None
    if settings is None:
        return
    for path, currency, day in facts.amounts:
        if currency == settings.currency:
            continue
        values = {"currency": currency, "wanted": settings.currency}
        days = [rated for name, rated in settings.rates if name == currency]
        if not days:
            yield Problem(facts.kind, facts.id, path, "rate-missing", values)
            continue
        apart, nearest = _nearest(day, days) if day else (0, "")
        if apart > settings.rates_valid_days:
            values |= {
                "day": day,
                "rated": nearest,
                "apart": str(apart),
                "most": str(settings.rates_valid_days),
            }
            yield Problem(facts.kind, facts.id, path, "rate-stale", values)


def _nearest(day: str, days: list[str]) -> tuple[int, str]:
    """Return how many days the nearest of several days lies off, and which it is."""
    wanted = dt.date.fromisoformat(day)
    return min((abs((dt.date.fromisoformat(d) - wanted).days), d) for d in days)


def _media(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    for path, file in facts.media:
        if not lookup.exists(MEDIA, file):
            values = {
                "path": file,
                "folder": file.partition("/")[0],
                **guess(file, lookup.ids(MEDIA)),
            }
            yield Problem(facts.kind, facts.id, path, "media-missing", values)


def _succession(facts: Facts, lookup: Lookup) -> Iterator[Problem]:
    """Follow the successors; a circle is told once, at its first id."""
    if facts.successor is None:
        return
    chain = [facts.id]
    here: Facts | None = facts
    while here is not None and here.successor is not None:
        following = here.successor[1]
        if following == facts.id:
            if facts.id == min(chain):
                values = {"circle": " → ".join([*chain, facts.id])}
                path = facts.successor[0]
                yield Problem(facts.kind, facts.id, path, "supersession-cycle", values)
            return
        if following in chain:
            return
        chain.append(following)
        here = lookup.facts(facts.kind, following)
