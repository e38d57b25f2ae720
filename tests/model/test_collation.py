"""Names stand where a reader looks for them."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from sitegen.model.collation import collation_key

# Worked out by hand after DIN 5007-1 (words of a lexicon) with numbers by value.
IN_ORDER = [
    "9 V",
    "12 V",
    "Apfel",
    "Äpfelchen",
    "Arm",
    "ärmer",
    "Azur",
    "Kies 2",
    "Kies 10",
    "Ofen",
    "öffnen",
    "Ohr",
    "Straße",
    "Strasser",
    "Tür",
    "Turm",
    "Übel",
    "uber",
    "Zebra",
]


def test_german_names_stand_as_in_a_lexicon() -> None:
    """Umlauts stand beside their base letters, ß as ss, numbers by their value."""
    names = IN_ORDER[::-1]
    assert sorted(names, key=collation_key) == IN_ORDER


def test_marks_and_capitals_decide_only_between_equals() -> None:
    """The plain letter comes before the marked, the small before the capital."""
    given_names = ["Ärger", "Arger", "arger", "ärger"]
    assert sorted(given_names, key=collation_key) == [
        "arger",
        "Arger",
        "ärger",
        "Ärger",
    ]


def test_signs_stand_before_letters() -> None:
    """Blanks stand before signs, signs before numbers, numbers before letters."""
    names = ["Netb", "Net 2", "Net-b", "Net2", "Net"]
    in_order = ["Net", "Net 2", "Net-b", "Net2", "Netb"]
    assert sorted(names, key=collation_key) == in_order


@given(st.text(max_size=12), st.text(max_size=12))
def test_different_names_have_different_places(one: str, other: str) -> None:
    """No two texts share a key, so that every order is the same everywhere."""
    assert (collation_key(one) == collation_key(other)) == (one == other)


@given(st.text(max_size=12))
def test_composed_and_decomposed_are_one_name(text: str) -> None:
    """How a marked letter is stored does not move a name."""
    composed = collation_key(unicodedata.normalize("NFC", text))
    decomposed = collation_key(unicodedata.normalize("NFD", text))
    assert composed[:2] == decomposed[:2]
