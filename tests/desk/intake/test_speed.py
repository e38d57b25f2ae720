"""Long logs: the fast way of reading gives what the slow one gives."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from sitegen.desk.intake.fixed_width import fixed_width_us
from sitegen.desk.intake.log import read_log
from sitegen.model import Instrument
from sitegen.model.bench import LogForm

COUNTER = Instrument.model_validate(
    {
        "id": "counter",
        "name": "Counter",
        "kind": "particle",
        "fractions": {"pm2_5": {"resolution": 0.1, "range": 1000}},
    }
)


def test_dates_of_one_width_are_those_of_the_calendar() -> None:
    """Digits by their place give the moments that the calendar gives, leap day too."""
    moments = [dt.datetime(2028, 2, 28, 23, 59, 50) + dt.timedelta(seconds=7 * at)
               for at in range(30)]  # fmt: skip
    texts = np.array([f"{m:%d.%m.%Y %H:%M:%S}" for m in moments], dtype=object)
    found = fixed_width_us(texts, "%d.%m.%Y %H:%M:%S")
    assert found is not None
    epoch = dt.datetime(1970, 1, 1)
    assert list(found) == [(m - epoch) // dt.timedelta(microseconds=1) for m in moments]


@pytest.mark.parametrize(
    "text", ["29.02.2027 10:00:00", "01.13.2026 10:00:00", "01.01.2026 25:00:00",
             "01.01.2026-10:00:00", "1.01.2026 10:00:00", "01.01.2026 1o:00:00"]
)  # fmt: skip
def test_what_is_no_date_of_that_form_is_left_to_the_slow_way(text: str) -> None:
    """A day that does not exist, another sign or width is never read by place."""
    texts = np.array(["01.01.2026 10:00:00", text], dtype=object)
    assert fixed_width_us(texts, "%d.%m.%Y %H:%M:%S") is None


def test_a_long_log_keeps_every_row() -> None:
    """Of a hundred thousand rows all are read but the odd one, told by its line."""
    start = dt.datetime(2026, 3, 1)
    count = 100_000
    rows = [f"{start + dt.timedelta(seconds=at):%Y-%m-%d %H:%M:%S};{at % 997 / 10:.1f}"
            for at in range(count)]  # fmt: skip
    rows[70_000] = rows[70_000].split(";")[0]
    text = "\n".join(["time;PM2.5", *rows]).replace(".", ",") + "\n"
    form = LogForm.model_validate(
        {
            "delimiter": "semicolon",
            "decimal_mark": "comma",
            "time": {"columns": ["time"], "form": "iso", "zone": "+00:00"},
            "columns": {"PM2.5".replace(".", ","): "pm2_5"},
        }
    )
    log, faults = read_log(text.encode(), "long.csv", form, COUNTER)
    assert log is not None
    assert log.rows.us.size == count - 1
    assert [(fault.code, fault.place.line) for fault in faults] == [
        ("intake-odd-row", 70_002)
    ]
    wanted = [at % 997 / 10 for at in range(count) if at != 70_000]
    assert np.allclose(log.rows.readings["pm2_5"], wanted)
