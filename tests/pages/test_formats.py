"""How figures read on a page, at each edge of rounding, sign, unit and money."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitegen.findings.views import ResultRow
from sitegen.measure.units import CFM_M3H
from sitegen.pages.formats import (
    Shown,
    decibels,
    decimal_text,
    estimate_text,
    fixed,
    in_units,
    minutes,
    money,
    not_reached_text,
    number,
    percent,
    quantity_text,
    sound_text,
    temperature,
    with_unit,
)

NBSP = "\N{NO-BREAK SPACE}"
ROW = ResultRow(
    device="a",
    filter="b",
    speed="c",
    method="d",
    fraction="pm2_5",
    runs=1,
    run_ids=("r",),
    validity="rated",
    flags=(),
    cadr_m3h=183.44,
    cadr_low=178.04,
    cadr_high=189.04,
    clearance_min=21.9566,
    clearance_low=21.148,
    sound_dba=44.26,
    sound_low=43.2,
    sound_high=45.3,
    power_w=44.96,
    ownership_cost=943.534,
    currency="KWD",
)
few = settings(derandomize=True, deadline=None, max_examples=300)


@pytest.mark.parametrize(
    ("value", "low", "high", "shown"),
    [
        (183.44, 178.04, 189.04, ("183.4", "178.0 to 189.0")),
        # A half-width of 9.95 is 10 to two digits: no decimal is left.
        (183.44, 173.49, 205.1, ("183", "173 to 205")),
        (183.44, 173.491, 205.1, ("183.4", "173.5 to 205.1")),
        (18344.0, 17804.0, 18904.0, ("18,340", "17,800 to 18,900")),
        (-0.4, -13.2, 12.9, ("0", "−13 to 13")),
        (-40.4, -53.2, -27.9, ("−40", "−53 to −28")),
        (10.0, 8.77, None, ("10.0", "8.8 or more")),
        (183.44, None, None, ("183", "")),
        (183.44, 183.44, 183.44, ("183", "183")),
        (None, None, None, ("", "")),
    ],
)
def test_value_and_interval(
    value: float | None, low: float | None, high: float | None, shown: tuple[str, str]
) -> None:
    """Value and limits are rounded together and the interval is in words."""
    assert estimate_text(value, low, high) == shown


@pytest.mark.parametrize(
    ("level", "low", "high", "limit", "shown"),
    [
        (44.24, 43.2, 45.3, "", ("44.0", "43.0 to 45.5")),
        (44.25, 43.75, 44.75, "", ("44.0", "44.0 to 45.0")),
        (44.26, None, None, "", ("44.5", "")),
        (44.0, 43.9, 44.1, "", ("44.0", "44.0")),
        (44.24, 43.2, 45.3, "at_most", ("at most 44.0", "")),
        (-0.2, -0.3, 0.2, "", ("0.0", "−0.5 to 0.0")),
    ],
)
def test_sound_to_half_a_decibel(
    level: float,
    low: float | None,
    high: float | None,
    limit: str,
    shown: tuple[str, str],
) -> None:
    """Levels and their limits end at 0 or 5 tenths; a bound has no interval."""
    assert sound_text(level, low, high, limit) == shown


@pytest.mark.parametrize(
    ("level", "text"), [(40.2, "40"), (38.26, "38.5"), (100.0, "100"), (-0.2, "0")]
)
def test_level_without_interval(level: float, text: str) -> None:
    """A level quoted in a sentence drops a nought after the point."""
    assert decibels(level) == text


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        (943.534, "EUR", "€943.53"),
        (0.125, "EUR", "€0.12"),
        (0.135, "EUR", "€0.14"),
        # As written: in binary 2.675 is a little less.
        (2.675, "EUR", "€2.68"),
        (-0.004, "EUR", "€0.00"),
        (-0.006, "EUR", "−€0.01"),
        (1234.5, "JPY", "JP¥1,234"),
        (1235.5, "JPY", "JP¥1,236"),
        (-0.4, "JPY", "JP¥0"),
        (1.25, "KWD", f"KWD{NBSP}1.250"),
        (1.0006, "KWD", f"KWD{NBSP}1.001"),
        (-12.345, "KWD", f"−KWD{NBSP}12.345"),
        (Decimal("0.005"), "USD", "$0.00"),
        (1e28, "EUR", "€10,000,000,000,000,000,000,000,000,000.00"),
    ],
)
def test_money(amount: float | Decimal, currency: str, text: str) -> None:
    """Amounts have the digits of their currency, its sign or code, no minus zero."""
    assert money(amount, currency).replace("US$", "$") == text


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_nothing_infinite_is_written(value: float) -> None:
    """NaN and infinity raise an error before they can stand on a page."""
    for write in (
        lambda: number(value),
        lambda: fixed(value, 1),
        lambda: percent(value),
        lambda: minutes(value),
        lambda: money(value, "EUR"),
        lambda: sound_text(value, None, None),
        lambda: decibels(value),
        lambda: estimate_text(value, None, None),
        lambda: estimate_text(1.0, value, 2.0),
        lambda: estimate_text(1.0, 0.5, value),
        lambda: with_unit(value, "m²"),
        lambda: temperature(value),
    ):
        with pytest.raises(ValueError, match=r"nan|inf"):
            write()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (number(-0.0), "0"),
        (number(9.996), "10.0"),
        (number(-12345.0), "−12,300"),
        (number(2.50, plain=True), "2.5"),
        (fixed(-0.04, 1), "0.0"),
        (fixed(-0.05, 1), "0.0"),
        (fixed(-0.06, 1), "−0.1"),
        (decimal_text(Decimal("-0.4"), 0), "0"),
        (percent(0.1), "10 %"),
        (percent(-0.0), "0 %"),
        (percent(0.9996), "100 %"),
        (minutes(21.9566), "22 min"),
        (temperature(-0.04), "0.0 °C"),
        (temperature(21.5, "us"), "70.7 °F"),
        (with_unit(17.5, "m²"), "17.5 m²"),
        (with_unit(30.0, "m³", "us"), "1,060 ft³"),
    ],
)
def test_numbers_without_interval(text: str, expected: str) -> None:
    """Figures without an interval keep their digits and unit, never minus zero."""
    assert text == expected


@pytest.mark.parametrize(
    ("name", "units", "shown"),
    [
        ("cadr_m3h", "metric", ("183.4", "178.0 to 189.0")),
        # 107.968, 104.790, 111.265 cfm: half-width 3.18.
        ("cadr_m3h", "us", ("108.0", "104.8 to 111.3")),
        ("clearance_min", "metric", ("21.96", "21.15 or more")),
        ("sound_dba", "metric", ("44.5", "43.0 to 45.5")),
        ("power_w", "metric", ("45.0", "")),
        ("ownership_cost", "us", (f"KWD{NBSP}943.534", "")),
        ("runs", "metric", ("1", "")),
        ("decay_per_h", "metric", ("", "")),
    ],
)
def test_quantities_of_a_result(name: str, units: str, shown: tuple[str, str]) -> None:
    """Each quantity is rounded by its own rule, in the reader's unit."""
    assert quantity_text(name, ROW, units) == shown


def read(text: str) -> float:
    """Return the number that a text shows."""
    return float(text.replace("−", "-").replace(",", ""))


figures = st.floats(-1e7, 1e7)
widths = st.floats(1e-4, 1e6)


@few
@given(value=figures, below=widths, beyond=widths, units=st.sampled_from(["m", "u"]))
def test_what_is_written_is_what_was_found(
    value: float, below: float, beyond: float, units: str
) -> None:
    """The number read back off a page is the exact one, to half its last digit.

    In cfm it is the exact value that is converted, never the one that was rounded.
    """
    kind = "us" if units == "u" else "metric"
    exact = [
        in_units(one, "m³/h", kind)[0] for one in (value, value - below, value + beyond)
    ]
    shown = estimate_text(exact[0], exact[1], exact[2])
    texts = [shown.value, *shown.interval.split(" to ")]
    decimals = len(texts[0].partition(".")[2])
    narrow = min(below, beyond) / (CFM_M3H if kind == "us" else 1.0)
    for one, text in zip(exact, texts, strict=True):
        assert len(text.partition(".")[2]) == decimals
        assert abs(read(text) - one) <= 0.0501 * narrow + 1e-8
        assert not re.search(r"nan|inf|±|e", text)
        assert not re.fullmatch(r"−[0.,]+", text)


@few
@given(value=st.floats(-1e6, 1e6))
def test_units_there_and_back(value: float) -> None:
    """A flow shown in cfm is the stored flow, which stays as it was."""
    shown, name = in_units(value, "m³/h", "us")
    assert name == "cfm"
    assert shown * CFM_M3H == pytest.approx(value, rel=1e-15)
    assert in_units(value, "m³/h", "metric") == (value, "m³/h")
    assert in_units(value, "µg/m³", "us") == (value, "µg/m³")


@few
@given(amount=st.floats(-1e9, 1e9), currency=st.sampled_from(["EUR", "JPY", "KWD"]))
def test_any_amount_of_money(amount: float, currency: str) -> None:
    """Read back, an amount is off by half the currency's smallest unit at most."""
    digits = {"EUR": 2, "JPY": 0, "KWD": 3}[currency]
    text = money(amount, currency)
    plain = re.sub(rf"€|JP¥|KWD{NBSP}", "", text)
    assert len(plain.partition(".")[2]) == digits
    assert abs(read(plain) - amount) <= 0.5 * 10.0**-digits + 1e-6 * 10.0**-digits
    assert not re.fullmatch(r"−[0.,]+", plain)
    assert any(sign in text for sign in ("€", "JP¥", f"KWD{NBSP}"))


def test_nothing_measured_is_nothing_shown() -> None:
    """Without a value there is neither number nor unit: the page says so in words."""
    assert estimate_text(None, 1.0, 2.0) == Shown("", "")


@pytest.mark.parametrize(
    ("watched", "said"),
    [
        (None, "not reached"),
        (180.0, "not reached in 180 min"),
        (179.9, "not reached in 179 min"),
        (1204.0, "not reached in 1,204 min"),
    ],
)
def test_time_not_reached_says_how_long_was_watched(
    watched: float | None, said: str
) -> None:
    """The time watched is never rounded up."""
    row = replace(
        ROW, clearance_min=None, clearance_low=watched, clearance_basis="not-reached"
    )
    assert not_reached_text(row) == said
