"""Moments that the tester names: minutes, a time of day, or a date with time."""

from __future__ import annotations

import datetime as dt
import re

from sitegen.errors import Fault, Place, UsageFault, fault_line

_CLOCK = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2}))?", re.ASCII)
_MINUTES = re.compile(r"-?\d+(?:\.\d+)?", re.ASCII)
EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)


def moment_of(us: int, zone: dt.tzinfo) -> dt.datetime:
    """Return a moment by the clock of a zone.

    Args:
        us: microseconds since 1970, UTC.
        zone: the zone.
    """
    return (EPOCH + dt.timedelta(microseconds=us)).astimezone(zone)


def micros_of(moment: dt.datetime) -> int:
    """Return microseconds since 1970 of a moment that knows its offset."""
    return (moment - EPOCH) // dt.timedelta(microseconds=1)


def named_moment(text: str, origin_us: int, zone: dt.tzinfo, option: str) -> int:
    """Return the moment that a text names, microseconds since 1970, UTC.

    Args:
        text: minutes after the origin, a time of day, or a date with time.
        origin_us: where minutes are counted from; a time of day is the next one from
            an hour before it.
        zone: zone of times without an offset.
        option: the option that holds the text, for the words of a fault.

    Raises:
        UsageFault: if the text names no moment.
    """
    text = text.strip()
    if _MINUTES.fullmatch(text):
        return origin_us + round(float(text) * 60e6)
    clock = _CLOCK.fullmatch(text)
    try:
        if clock:
            return _next(clock, origin_us, zone)
        moment = dt.datetime.fromisoformat(text)
    except ValueError:
        fault = Fault("intake-when", Place("intake"), option, {"value": text[:60]})
        raise UsageFault(fault_line(fault)) from None
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=zone)
    return micros_of(moment)


def _next(clock: re.Match[str], origin_us: int, zone: dt.tzinfo) -> int:
    from_ = moment_of(origin_us - 3_600_000_000, zone)
    wanted = dt.time(int(clock[1]), int(clock[2]), int(clock[3] or 0))
    moment = dt.datetime.combine(from_.date(), wanted, tzinfo=zone)
    if moment < from_:
        moment += dt.timedelta(days=1)
    return micros_of(moment)
