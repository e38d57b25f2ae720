"""The wall's clock becomes UTC, whatever is done to clocks."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.desk.intake.zones import to_utc, zone_named
from sitegen.errors import Fault

EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
# Moments at which clocks were set, from the IANA data base: back in Oslo and New
# York, forward in Oslo, and half an hour back on Lord Howe.
CHANGES = {
    "Europe/Oslo": ("2026-10-25T01:00", "2026-03-29T01:00"),
    "America/New_York": ("2026-11-01T06:00",),
    "Australia/Lord_Howe": ("2026-04-04T15:00",),
}
CASES = [(zone, text) for zone, texts in CHANGES.items() for text in texts]


def _walls(moments: list[dt.datetime], zone: ZoneInfo) -> np.ndarray:
    """Return what a clock on the wall showed, microseconds since 1970."""
    walls = [m.astimezone(zone).replace(tzinfo=dt.UTC) for m in moments]
    return np.array([(wall - EPOCH) // dt.timedelta(microseconds=1) for wall in walls])


@given(
    case=st.sampled_from(CASES),
    before_s=st.integers(60, 5000),
    step_s=st.integers(1, 900),
    count=st.integers(3, 60),
)
def test_a_log_that_begins_before_the_change_is_placed_right(
    case: tuple[str, str], before_s: int, step_s: int, count: int
) -> None:
    """Times are those that were, or the log is refused; they are never wrong."""
    name, text = case
    zone = ZoneInfo(name)
    change = dt.datetime.fromisoformat(text).replace(tzinfo=dt.UTC)
    first = change - dt.timedelta(seconds=before_s)
    moments = [first + dt.timedelta(seconds=step_s * at) for at in range(count)]
    faults: list[Fault] = []
    lines = np.arange(2, count + 2)
    found = to_utc(_walls(moments, zone), zone, lines, "log.csv", faults)
    if found is None:
        assert [fault.code for fault in faults] == ["intake-repeated-hour"]
        return
    true = [(moment - EPOCH) // dt.timedelta(microseconds=1) for moment in moments]
    assert list(found) == true


@pytest.mark.parametrize(
    ("name", "hours"), [("+01:00", 1.0), ("-03:30", -3.5), ("Z", 0.0)]
)
def test_a_fixed_offset_is_a_zone(name: str, hours: float) -> None:
    """An offset stands for a clock that is never set."""
    zone = zone_named(name, "log.csv", [])
    assert zone is not None
    assert zone.utcoffset(None) == dt.timedelta(hours=hours)


def test_a_misspelt_zone_is_told_with_the_right_one() -> None:
    """An unknown name of a zone is a fault that says what may be meant."""
    faults: list[Fault] = []
    assert zone_named("Europe/Olso", "log.csv", faults) is None
    assert [(f.code, f.values["guess"]) for f in faults] == [
        ("intake-unknown-zone", "Europe/Oslo")
    ]
