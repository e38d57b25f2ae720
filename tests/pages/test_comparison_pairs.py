"""The table of pairs says what can be told apart, and what matters."""

from __future__ import annotations

import pytest

from sitegen.findings.views import Interval, Pair
from sitegen.pages.comparison import told_apart
from sitegen.pages.words import ENGLISH


@pytest.mark.parametrize(
    ("apart", "alike", "said"),
    [
        (True, False, "yes"),
        (True, True, "yes, by less than 10 %"),
        (False, True, "no, within 10 % of each other"),
        (False, False, "no (p = 0.21)"),
    ],
)
def test_told_apart(apart: bool, alike: bool, said: str) -> None:
    """A difference that is sure but small is called so, and so is none that matters."""
    pair = Pair("a.f.s", "b.f.s", Interval(1.02, 0.98, 1.06), 0.21, apart, alike)
    assert told_apart(ENGLISH, pair).replace("\u202f", " ").replace("\xa0", " ") == said
