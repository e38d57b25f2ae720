"""Rounding by the uncertainty, at each edge of the rule."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sitegen.model.rounding import (
    Rounded,
    round_half_db,
    round_interval,
    round_significant,
    round_to,
    significant_text,
)


def shown(rounded: Rounded) -> tuple[str, str, str]:
    """Return value and limits as a page prints them."""
    return tuple(  # type: ignore[return-value]
        "" if number is None else f"{number:f}"
        for number in (rounded.value, rounded.low, rounded.high)
    )


@pytest.mark.parametrize(
    ("value", "place", "text"),
    [
        (2.5, 0, "2"),
        (3.5, 0, "4"),
        (-2.5, 0, "-2"),
        (0.125, -2, "0.12"),
        (0.375, -2, "0.38"),
        (25.0, 1, "20"),
        (35.0, 1, "40"),
        # 2.675 is stored a little below; what counts is what was written.
        (2.675, -2, "2.68"),
        (1.005, -2, "1.00"),
        (-0.004, -2, "0.00"),
        (-0.5, 0, "0"),
        (-4.0, 1, "0"),
        (-0.0, -1, "0.0"),
        (99.96, -1, "100.0"),
        (1e300, 298, "1" + "0" * 300),
        (5e-324, 0, "0"),
    ],
)
def test_halves_go_to_even_and_zero_has_no_sign(
    value: float, place: int, text: str
) -> None:
    """Rounding is decimal, half to even, and never gives minus zero."""
    assert f"{round_to(value, place):f}" == text


@pytest.mark.parametrize(
    ("value", "low", "high", "text"),
    [
        # Half-widths 5.4 and 5.6: two digits of 5.4 end at the tenths.
        (183.44, 178.04, 189.04, ("183.4", "178.0", "189.0")),
        # Half-width 54: whole numbers.
        (1834.4, 1780.4, 1890.4, ("1834", "1780", "1890")),
        # Half-width 540: tens.
        (18344.0, 17804.0, 18904.0, ("18340", "17800", "18900")),
        # 9.96 to two digits is 10, so that the last digit kept is the ones.
        (100.0, 90.04, 109.96, ("100", "90", "110")),
        # 9.94 stays 9.9.
        (100.0, 90.06, 109.94, ("100.0", "90.1", "109.9")),
        # 0.0996 to two digits is 0.10.
        (1.2345, 1.1349, 1.3341, ("1.23", "1.13", "1.33")),
        (0.00123, 0.0011, 0.0014, ("0.00123", "0.00110", "0.00140")),
        # The smaller half-width decides.
        (10.0, 9.877, 22.3, ("10.00", "9.88", "22.30")),
        (10.0, None, 10.123, ("10.00", "", "10.12")),
        (-0.04, -1.3, 1.2, ("0.0", "-1.3", "1.2")),
        # 9.95 and 0.995 are ties that round up into a new first digit.
        (100.0, 90.05, 120.0, ("100", "90", "120")),
        (100.0, 90.051, 120.0, ("100.0", "90.1", "120.0")),
        (10.0, 9.005, 12.0, ("10.0", "9.0", "12.0")),
        (1000.0, 900.5, 1200.0, ("1000", "900", "1200")),
        # In binary 0.3 - 0.2 is a little under 0.1, and still 0.10.
        (0.3, 0.2, 0.5, ("0.30", "0.20", "0.50")),
        # Half-width 12: value and limits that are ties go to even.
        (100.5, 88.5, 113.5, ("100", "88", "114")),
        (101.5, 89.5, 114.5, ("102", "90", "114")),
        # A limit on the value itself leaves the other to decide.
        (10.0, 10.0, 10.123, ("10.00", "10.00", "10.12")),
        (10.0, 8.77, None, ("10.0", "8.8", "")),
        # The half-width exceeds the value: negative limits, never minus zero.
        (0.4, -13.2, 12.9, ("0", "-13", "13")),
        (-0.4, -13.2, 12.9, ("0", "-13", "13")),
    ],
)
def test_a_value_is_rounded_with_its_limits(
    value: float, low: float | None, high: float | None, text: tuple[str, str, str]
) -> None:
    """Value and limits end at the second digit of the smaller half-width."""
    rounded = round_interval(value, low, high)
    assert shown(rounded) == text
    assert rounded.decimals == max(len(text[0].partition(".")[2]), 0)


@pytest.mark.parametrize(
    ("value", "low", "high", "text"),
    [
        (183.44, None, None, "183"),
        (183.44, 183.44, 183.44, "183"),
        (0.0, None, None, "0"),
        (0.0, 0.0, None, "0"),
        (1834.4, None, None, "1830"),
    ],
)
def test_without_a_width_three_digits_are_kept(
    value: float, low: float | None, high: float | None, text: str
) -> None:
    """No limits, or limits that coincide with the value, keep three digits."""
    assert shown(round_interval(value, low, high))[0] == text


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (2.35431111, 3, "2.35"),
        (9.996, 3, "10.0"),
        (999.6, 3, "1000"),
        (0.0009996, 3, "0.00100"),
        (-12345.0, 3, "-12300"),
        (1000.0, 3, "1000"),
        (0.0, 3, "0"),
        (7.25, 2, "7.2"),
    ],
)
def test_significant_digits_carry(value: float, digits: int, text: str) -> None:
    """A carry into a new first digit costs a decimal, not a digit too many."""
    assert shown(round_significant(value, digits))[0] == text


@pytest.mark.parametrize(
    ("level", "text"),
    [
        (44.24, "44.0"),
        (44.25, "44.0"),
        (44.26, "44.5"),
        (44.75, "45.0"),
        (43.75, "44.0"),
        (0.1, "0.0"),
        (-0.2, "0.0"),
        (-0.25, "0.0"),
        (-0.3, "-0.5"),
    ],
)
def test_levels_end_at_half_a_decibel(level: float, text: str) -> None:
    """Sound levels are printed in steps of 0.5 dB, quarters to the even half."""
    assert f"{round_half_db(level).value:.1f}" == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1 / 3, "0.3333333333"),
        (178.653464123456, "178.6534641"),
        (12.0, "12"),
        (-0.0, "0"),
        (1e-12, "1e-12"),
        (123456789012.0, "1.23456789e+11"),
    ],
)
def test_published_numbers_have_ten_digits(value: float, text: str) -> None:
    """Data files carry ten significant digits in the shortest form."""
    assert significant_text(value) == text


NOT_FINITE = [float("nan"), float("inf"), float("-inf")]


@pytest.mark.parametrize("value", NOT_FINITE)
def test_nothing_infinite_is_rounded(value: float) -> None:
    """NaN and infinity are refused by every rounding, as value and as limit."""
    for attempt in (
        lambda: round_to(value, 0),
        lambda: round_interval(value, None, None),
        lambda: round_interval(value, 1.0, 2.0),
        lambda: round_interval(1.5, value, 2.0),
        lambda: round_interval(1.5, 1.0, value),
        lambda: round_significant(value),
        lambda: round_half_db(value),
    ):
        with pytest.raises(ValueError, match=r"nan|inf"):
            attempt()


@pytest.mark.parametrize("value", NOT_FINITE)
def test_nothing_infinite_is_published(value: float) -> None:
    """NaN and infinity are refused rather than written."""
    with pytest.raises(ValueError, match=r"nan|inf"):
        significant_text(value)


numbers = st.floats(-1e9, 1e9).map(lambda value: float(f"{value:.9g}"))
widths = st.floats(1e-6, 1e9)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(value=numbers, below=widths, beyond=widths)
def test_rounding_is_by_two_digits_of_the_smaller_half_width(
    value: float, below: float, beyond: float
) -> None:
    """The last digit kept is 1/10 to 1/100 of the smaller half-width, all share it."""
    low, high = value - below, value + beyond
    assume(low < value < high)
    got = round_interval(value, low, high)
    exact = [Decimal(repr(one)) for one in (value, low, high)]
    width = min(exact[0] - exact[1], exact[2] - exact[0])
    kept = [got.value, got.low, got.high]
    # The unit of the last digit, as the rule has it: two digits of the rounded width.
    unit = Decimal(1).scaleb(Decimal(f"{width:.1e}").adjusted() - 1)
    for one, rounded in zip(exact, kept, strict=True):
        assert rounded is not None
        assert rounded % unit == 0
        assert abs(one - rounded) <= unit / 2
        assert not (rounded == 0 and rounded.is_signed())
    assert got.decimals == max(0, -unit.adjusted())
