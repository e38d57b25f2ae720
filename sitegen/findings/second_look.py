"""What a careful colleague would ask about records that have no fault.

Nothing here stops publishing. Each question is a ``Problem`` of the severity warning:
where in which record, and the values that its words name. Dates are held against a day
that the caller gives. Questions about results are in ``second_look_results``.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from pathlib import PurePosixPath

from sitegen.findings.index import RunEntry
from sitegen.findings.open_state import NaturalState
from sitegen.load import Problem
from sitegen.model import Archive, Device, Filter, Instrument

YEAR_DAYS = 365
"""A price, tariff or rate that is older than these days is asked about."""

_PRICES_TO_RENEW = ("list", "paid")
# What an alternative text may consist of without saying what is seen.
_BLAND = frozenset(
    """
    a an and at by from in is it my of on our the this that with
    photo photos photograph photographs picture pictures image images img pic snapshot
    figure alt text front side back view
    device devices cleaner purifier air unit product machine
    """.split()  # noqa: SIM905 - read as prose, not as a list
)
_WORD = re.compile(r"[^\W\d_]+")


def of_device(device: Device, today: dt.date) -> Iterator[Problem]:
    """Yield what is asked about a device's record.

    Claims and pictures of every device; the price of one that is current.

    Args:
        device: the device.
        today: the day against which its prices are held.
    """
    for at, claim in enumerate(device.claims):
        if not claim.source and not claim.url:
            yield Problem("device", device.id, ("claims", at), "claim-without-source")
    for at, photo in enumerate(device.photos):
        if says_nothing(photo.alt, photo.file, device.name, device.maker):
            path = ("photos", at, "alt")
            values = {"alt": photo.alt}
            yield Problem("device", device.id, path, "alt-says-nothing", values)
    if not is_current(device):
        return
    seen = [
        (price.date, at)
        for at, price in enumerate(device.prices)
        if price.kind in _PRICES_TO_RENEW
    ]
    if seen and _old(max(seen)[0], today):
        day, at = max(seen)
        command = f"sitegen price {device.id} AMOUNT --on DATE --shop NAME"
        values = {**_days(day, today), "command": command}
        path = ("prices", at, "date")
        yield Problem("device", device.id, path, "price-old", values)


def is_current(device: Device) -> bool:
    """Return whether a device is neither withdrawn nor superseded."""
    return device.withdrawn is None and device.superseded_by is None


def says_nothing(alt: str, file: str, *names: str) -> bool:
    """Return whether an alternative text does not say what a picture shows.

    It says only that there is one, names its file, or repeats the device's name.

    Args:
        alt: the text.
        file: the picture's path below ``photos``.
        names: name and maker of the device.
    """
    path = PurePosixPath(file)
    bare = alt.strip().casefold()
    if bare in {file.casefold(), path.name.casefold()}:
        return True
    known = _BLAND | set(_words(path.stem)) | set(_words(path.suffix))
    known |= {word for name in names for word in _words(name)}
    return set(_words(alt)) <= known


def _words(text: str) -> list[str]:
    return _WORD.findall(text.casefold())


def of_filter(record: Filter, today: dt.date) -> Iterator[Problem]:
    """Yield what is asked about the price of a filter that a current device takes."""
    if record.price is not None and _old(record.price.date, today):
        command = f"sitegen price {record.id} AMOUNT --on DATE --shop NAME"
        values = {**_days(record.price.date, today), "command": command}
        yield Problem("filter", record.id, ("price", "date"), "price-old", values)


def of_settings(
    settings: Archive, currencies: Collection[str], today: dt.date
) -> Iterator[Problem]:
    """Yield what is asked about tariff and exchange rates.

    Args:
        settings: the archive's settings.
        currencies: currencies whose rates are in use and not told as stale already.
        today: the day against which both are held.
    """
    tariff = settings.assumptions.tariff
    if _old(tariff.date, today):
        path: tuple[str | int, ...] = ("assumptions", "tariff", "date")
        values = _days(tariff.date, today)
        yield Problem("archive", "", path, "tariff-old", values)
    for currency in sorted(currencies):
        rated = [
            (rate.date, at)
            for at, rate in enumerate(settings.rates)
            if rate.currency == currency
        ]
        if rated and _old(max(rated)[0], today):
            day, at = max(rated)
            values = {**_days(day, today), "currency": currency}
            path = ("rates", at, "date")
            yield Problem("archive", "", path, "rate-old", values)


def currencies_of(devices: Iterable[Device], filters: Iterable[Filter]) -> set[str]:
    """Return the currencies of prices that are converted."""
    found = {price.currency for device in devices for price in device.prices}
    return found | {one.price.currency for one in filters if one.price is not None}


def of_instrument(
    instrument: Instrument, entries: Sequence[RunEntry], today: dt.date
) -> Iterator[Problem]:
    """Yield what is asked about the calibration of an instrument in use.

    Args:
        instrument: the instrument.
        entries: runs under the methods that use it.
        today: the day against which its newest calibration is held.
    """
    if not instrument.calibrations:
        return
    at, newest = max(enumerate(instrument.calibrations), key=lambda each: each[1].date)
    until = newest.valid_until
    if until is None or until >= today:
        return
    since = sum(
        entry.counts and until.isoformat() < entry.day <= today.isoformat()
        for entry in entries
    )
    values = {
        "until": until.isoformat(),
        "today": today.isoformat(),
        "days": str((today - until).days),
        "runs": str(since) if since else "no",
    }
    path = ("calibrations", at, "valid_until")
    yield Problem("instrument", instrument.id, path, "calibration-lapsed", values)


def of_naturals(states: Iterable[NaturalState], today: dt.date) -> Iterator[Problem]:
    """Yield methods whose newest natural decay is out of date.

    Args:
        states: the newest natural decay of each method in force that has runs.
        today: the day against which it is held.
    """
    for state in states:
        if not state.day:
            continue
        days = (today - dt.date.fromisoformat(state.day)).days
        if days > state.valid_days:
            values = {
                "method": state.method,
                "days": str(days),
                "today": today.isoformat(),
                "most": str(state.valid_days),
            }
            yield Problem("run", state.run, ("started",), "natural-stale", values)


def in_use(
    methods: Mapping[str, Sequence[str]], entries: Sequence[RunEntry]
) -> dict[str, list[RunEntry]]:
    """Return the instruments of methods in force, with the runs made with each.

    Args:
        methods: instruments of each method in force.
        entries: all runs.
    """
    found: dict[str, list[RunEntry]] = {
        name: [] for names in methods.values() for name in names
    }
    for entry in entries:
        for name in methods.get(entry.method, ()):
            found[name].append(entry)
    return found


def _old(day: dt.date, today: dt.date) -> bool:
    return (today - day).days > YEAR_DAYS


def _days(day: dt.date, today: dt.date) -> dict[str, str]:
    return {
        "day": day.isoformat(),
        "today": today.isoformat(),
        "days": str((today - day).days),
    }
