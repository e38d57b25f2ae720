"""What each type of field takes, and with which code it refuses."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from pydantic_core import PydanticCustomError

from sitegen.errors import CODES
from sitegen.model import scalars
from sitegen.model.scalars import bounded

UTC = dt.UTC


@pytest.mark.parametrize(
    ("parse", "text", "value"),
    [
        (scalars.parse_text, "NO", "NO"),
        (scalars.parse_text, "0361", "0361"),
        (scalars.parse_text, "2.30", "2.30"),
        (scalars.parse_text, "14:45", "14:45"),
        (scalars.parse_text, "null", "null"),
        (scalars.parse_text, "  two\nlines\n", "two\nlines"),
        (scalars.parse_line, " one line ", "one line"),
        (scalars.parse_id, "a", "a"),
        (scalars.parse_id, "2025-09-10-second", "2025-09-10-second"),
        (scalars.parse_id, "a" * 64, "a" * 64),
        (scalars.parse_number, "20000", 20000.0),
        (scalars.parse_number, "2e4", 20000.0),
        (scalars.parse_number, "2.0e4", 20000.0),
        (scalars.parse_number, "2E+4", 20000.0),
        (scalars.parse_number, "-.5", -0.5),
        (scalars.parse_number, "+5.", 5.0),
        (scalars.parse_number, "007", 7.0),
        (scalars.parse_number, 3, 3.0),
        (scalars.parse_whole, "2e4", 20000),
        (scalars.parse_whole, "3.0", 3),
        (scalars.parse_yes_no, "yes", True),
        (scalars.parse_yes_no, "On", True),
        (scalars.parse_yes_no, "TRUE", True),
        (scalars.parse_yes_no, "No", False),
        (scalars.parse_yes_no, "off", False),
        (scalars.parse_yes_no, "false", False),
        (scalars.parse_yes_no, False, False),
        (scalars.parse_date, "2024-02-29", dt.date(2024, 2, 29)),
        (
            scalars.parse_moment,
            "2026-03-09T14:45+01:00",
            dt.datetime(2026, 3, 9, 13, 45, tzinfo=UTC),
        ),
        (
            scalars.parse_moment,
            "2026-03-09T14:45:30Z",
            dt.datetime(2026, 3, 9, 14, 45, 30, tzinfo=UTC),
        ),
        (
            scalars.parse_link,
            "https://example.org/a?b=c#d",
            "https://example.org/a?b=c#d",
        ),
        (scalars.parse_link, "mailto:bench@example.org", "mailto:bench@example.org"),
        (scalars.parse_money, "249.90", Decimal("249.90")),
        (scalars.parse_money, "0", Decimal(0)),
        (scalars.parse_money, 12, Decimal(12)),
        (scalars.parse_money, 0.1, Decimal("0.1")),
        (scalars.parse_currency, "EUR", "EUR"),
        (scalars.parse_clock, "0:00", 0),
        (scalars.parse_clock, "4:05", 245),
        (scalars.parse_clock, "75:00", 4500),
        (scalars.parse_clock, "1:02:10", 3730),
        (scalars.parse_clock, 245, 245),
        (scalars.parse_file_name, "front/left one.jpg", "front/left one.jpg"),
    ],
)
def test_what_is_meant_is_taken(
    parse: Callable[[Any], Any], text: object, value: object
) -> None:
    """Each type reads the forms that the manual allows."""
    found = parse(text)
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize(
    ("parse", "given", "code"),
    [
        (scalars.parse_text, ["a"], "not-a-text"),
        (scalars.parse_text, {"a": "b"}, "not-a-text"),
        (scalars.parse_text, 3, "not-a-text"),
        (scalars.parse_text, " \n ", "empty-text"),
        (scalars.parse_text, "a\x00b", "control-character"),
        (scalars.parse_text, "a\x9fb", "control-character"),
        (scalars.parse_text, "abc\u202ecba", "control-character"),
        (scalars.parse_text, "a\u200bb", "control-character"),
        (scalars.parse_text, "a\ud800b", "control-character"),
        (scalars.parse_line, "a\nb", "not-one-line"),
        (scalars.parse_line, "a\tb", "not-one-line"),
        (scalars.parse_id, "Alder", "not-an-id"),
        (scalars.parse_id, "-a", "not-an-id"),
        (scalars.parse_id, "a_b", "not-an-id"),
        (scalars.parse_id, "a" * 65, "not-an-id"),
        (scalars.parse_id, "é", "not-an-id"),
        (scalars.parse_id, "../a", "not-an-id"),
        (scalars.parse_number, "1_000", "not-a-number"),
        (scalars.parse_number, "1,5", "not-a-number"),
        (scalars.parse_number, "1 000", "not-a-number"),
        (scalars.parse_number, "0x10", "not-a-number"),
        (scalars.parse_number, "1e999", "not-a-number"),
        (scalars.parse_number, "nan", "not-a-number"),
        (scalars.parse_number, ".inf", "not-a-number"),
        (scalars.parse_number, "yes", "not-a-number"),
        (scalars.parse_number, True, "not-a-number"),
        (scalars.parse_number, "5 W", "not-a-number"),
        (scalars.parse_number, "١٢", "not-a-number"),
        (scalars.parse_number, "", "not-a-number"),
        (scalars.parse_number, float("nan"), "not-a-number"),
        (scalars.parse_whole, "2.5", "not-a-whole-number"),
        (scalars.parse_whole, "1e17", "not-a-whole-number"),
        (scalars.parse_yes_no, "1", "not-yes-or-no"),
        (scalars.parse_yes_no, "y", "not-yes-or-no"),
        (scalars.parse_yes_no, 1, "not-yes-or-no"),
        (scalars.parse_date, "2026-02-29", "impossible-date"),
        (scalars.parse_date, "2026-13-01", "impossible-date"),
        (scalars.parse_date, "2026-2-1", "not-a-date"),
        (scalars.parse_date, "01.02.2026", "not-a-date"),
        (scalars.parse_date, "20260201", "not-a-date"),
        (scalars.parse_moment, "2026-03-09T14:45", "no-offset"),
        (scalars.parse_moment, "2026-03-09", "no-offset"),
        (scalars.parse_moment, "2026-03-09T25:00Z", "not-a-moment"),
        (scalars.parse_moment, "9 March 2026", "not-a-moment"),
        (scalars.parse_link, "javascript:alert(1)", "not-a-link"),
        (scalars.parse_link, "data:text/html,x", "not-a-link"),
        (scalars.parse_link, "//example.org", "not-a-link"),
        (scalars.parse_link, "https://", "not-a-link"),
        (scalars.parse_link, "https://exa mple.org", "not-a-link"),
        (scalars.parse_link, 'https://example.org/"x', "not-a-link"),
        (scalars.parse_link, "http://[::1", "not-a-link"),
        (scalars.parse_link, "mailto:", "not-a-link"),
        (scalars.parse_web_link, "mailto:bench@example.org", "not-a-link"),
        (scalars.parse_money, "-1", "not-an-amount"),
        (scalars.parse_money, "1e3", "not-an-amount"),
        (scalars.parse_money, "1.2345", "not-an-amount"),
        (scalars.parse_money, "1,50", "not-an-amount"),
        (scalars.parse_money, "€5", "not-an-amount"),
        (scalars.parse_money, True, "not-an-amount"),
        (scalars.parse_currency, "eur", "not-a-currency"),
        (scalars.parse_currency, "EURO", "not-a-currency"),
        (scalars.parse_clock, "0:60", "not-a-clock"),
        (scalars.parse_clock, "1:60:00", "not-a-clock"),
        (scalars.parse_clock, "5", "not-a-clock"),
        (scalars.parse_clock, -5, "not-a-clock"),
        (scalars.parse_clock, None, "not-a-clock"),
        (scalars.parse_file_name, "/etc/passwd", "not-a-file-name"),
        (scalars.parse_file_name, "a/../b.jpg", "not-a-file-name"),
        (scalars.parse_file_name, "a\\b.jpg", "not-a-file-name"),
        (scalars.parse_file_name, "c:b.jpg", "not-a-file-name"),
        (scalars.parse_file_name, "a//b.jpg", "not-a-file-name"),
    ],
)
def test_what_can_be_misread_is_refused(
    parse: Callable[[Any], Any], given: object, code: str
) -> None:
    """A value that could mean two things is refused with a code that has words."""
    with pytest.raises(PydanticCustomError) as caught:
        parse(given)
    assert caught.value.type == code
    assert code in CODES


@pytest.mark.parametrize(
    ("bounds", "good", "bad", "said"),
    [
        ({"above": 0}, "0.001", "0", "above 0"),
        ({"low": 0}, "0", "-0.001", "at least 0"),
        ({"above": 0, "high": 1}, "1", "1.001", "above 0 and at most 1"),
        ({"low": 0, "high": 24}, "24", "24.1", "at least 0 and at most 24"),
    ],
)
def test_bounds_are_told_with_the_number(
    bounds: dict[str, float], good: str, bad: str, said: str
) -> None:
    """A number out of bounds names the bounds; the bound itself is as stated."""
    check = bounded(**bounds)
    assert check(good) == float(good)
    with pytest.raises(PydanticCustomError) as caught:
        check(bad)
    assert caught.value.type == "out-of-bounds"
    assert caught.value.context == {"value": bad, "bounds": said}


def test_long_values_are_cut_in_what_is_told() -> None:
    """A fault never carries a whole pasted page along."""
    with pytest.raises(PydanticCustomError) as caught:
        scalars.parse_number("x" * 5000)
    assert caught.value.context is not None
    assert len(caught.value.context["value"]) <= 60
