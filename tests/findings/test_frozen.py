"""What an edition keeps of a result, and what comes back."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from sitegen.findings.frozen import FROZEN, frozen, thawed
from tests.findings.builders import row

numbers = st.floats(-1e6, 1e6, allow_nan=False).map(lambda each: float(f"{each:.10g}"))


@given(numbers, st.none() | numbers, st.integers(1, 9))
def test_a_frozen_result_comes_back(value: float, low: float | None, runs: int) -> None:
    """A result frozen to ten digits and thawed is the same, gaps and lists as well."""
    before = row(cadr_m3h=value, cadr_low=low, runs=runs, flags=("CURV", "NAT_OLD"))
    assert thawed(FROZEN, frozen(before)) == before


def test_columns_that_are_not_there_were_not_measured() -> None:
    """An edition of few columns gives a result with the rest missing."""
    found = thawed(("device", "cadr_m3h"), ("alder", "120.5"))
    assert (found.device, found.cadr_m3h, found.sound_dba) == ("alder", 120.5, None)


def test_a_text_that_is_no_number_is_a_gap() -> None:
    """Words, infinities and NaN in the place of a number are taken as missing."""
    for text in ("about 120", "inf", "nan", ""):
        assert thawed(("cadr_m3h",), (text,)).cadr_m3h is None
