"""The compare page's query string."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.pages.compare_state import CompareState, Filter, Note, Rate, note_text
from sitegen.pages.query import parse_query
from sitegen.pages.query_fields import shown_columns
from sitegen.pages.query_text import write_query
from sitegen.pages.words import ENGLISH

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).resolve().parents[1] / "cases/queries/compare.json").read_bytes()
)

# --- strategies: states that a query can hold -------------------------------------

ids = st.from_regex(r"[a-z0-9][a-z0-9-]{0,5}", fullmatch=True)
configurations = st.lists(
    st.tuples(ids, ids, ids).map(".".join), unique=True, max_size=24
).map(tuple)
# Decimals that a reader would type: up to four digits after the point.
amounts = st.integers(1, 240_000).map(lambda each: each / 10_000)
texts = (
    st.text(
        st.characters(exclude_categories=("C", "Z")) | st.just(" "),
        min_size=1,
        max_size=20,
    )
    .map(str.strip)
    .filter(lambda text: text and "\ufffd" not in text)
)
quantities = st.sampled_from(["", "cadr_m3h", "sound_dba", "ownership_cost"])


@st.composite
def number_filters(draw: st.DrawFn, field: str) -> Filter:
    ends = sorted(draw(st.lists(amounts, min_size=2, max_size=2)))
    low: float | None = ends[0]
    high: float | None = ends[1]
    missing = draw(st.sampled_from(["low", "high", "neither"]))
    return Filter(
        field,
        at_least=None if missing == "low" else low,
        at_most=None if missing == "high" else high,
    )


def text_filters(field: str) -> st.SearchStrategy[Filter]:
    values = st.lists(texts, unique=True, min_size=1, max_size=3)
    return values.map(lambda each: Filter(field, tuple(each)))


def some(*kinds: st.SearchStrategy[Filter]) -> st.SearchStrategy[tuple[Filter, ...]]:
    maybe = st.tuples(*(st.none() | kind for kind in kinds))
    return maybe.map(lambda found: tuple(each for each in found if each is not None))


states = st.builds(
    CompareState,
    configurations=configurations,
    figure=st.sampled_from(["", "decay", "scatter", "ranked"]),
    x=quantities,
    y=quantities,
    sort=st.sampled_from(["", "device", "-cadr_m3h", "clearance_min"]),
    # In the order of the table, as they are written.
    columns=st.sets(st.sampled_from(shown_columns())).map(
        lambda named: tuple(name for name in shown_columns() if name in named)
    ),
    search=st.just("") | texts,
    # In the order of the columns, as they are written.
    filters=some(
        text_filters("speed"),
        number_filters("cadr_m3h"),
        number_filters("sound_dba"),
        text_filters("form"),
        text_filters("maker"),
        number_filters("price"),
    ),
    units=st.sampled_from(["", "metric", "us"]),
    tariff=st.none() | amounts,
    hours=st.none() | amounts,
    years=st.none() | st.integers(1, 50).map(float),
    discount=st.none() | st.integers(0, 100).map(float),
    life=st.none() | st.integers(1, 600).map(float),
    rate=st.none() | st.builds(Rate, st.sampled_from(["USD", "JPY"]), amounts),
    room_m2=st.none() | amounts,
    ceiling_m=st.none() | amounts,
    cap_dba=st.none() | amounts,
)
# Text that looks enough like a query to come into every branch.
pieces = st.sampled_from(
    [
        "v=1",
        "c=a.b.c",
        "f.",
        "f.power_w=",
        "..",
        "u=us",
        "rate=USD:",
        "&",
        "=",
        "%",
        "+",
    ]
)
scraps = st.lists(pieces | st.text(max_size=6), max_size=12).map("".join)


# --- facts ------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["about"]))
def test_case(case: dict[str, Any]) -> None:
    """A query is read as the case says: what is kept, written anew, and the notes."""
    state, notes = parse_query(case["query"], None, case.get("moved", {}))
    assert write_query(state) == case["written"]
    assert [list(note) for note in notes] == case["notes"]


@given(states)
def test_what_is_written_is_read(state: CompareState) -> None:
    """A state written and read again is the same state, and nothing is left out."""
    assert parse_query(write_query(state)) == (state, ())


@given(scraps)
def test_any_text_is_read(text: str) -> None:
    """Any text is read without failing, and what is kept of it is a state like any."""
    state, _ = parse_query(text)
    assert parse_query(write_query(state)) == (state, ())


@given(states)
def test_written_in_plain_characters(state: CompareState) -> None:
    """A query holds nothing that a link or a page would have to escape."""
    text = write_query(state)
    assert text.isascii()
    assert not set(text) & set(" \"'<>#\\")


def test_state_of_a_full_query() -> None:
    """Each key sets the part of the state that it names."""
    state, notes = parse_query(
        "v=1&c=fen-2.none.low&figure=scatter&x=sound_dba&y=cadr_m3h&sort=-cadr_m3h"
        "&q=fen&f.form=kit&f.sound_dba=..40&u=us&tariff=0.31&hours=10&years=8"
        "&discount=3&life=7.5&rate=USD:1.1"
        "&room=20&ceiling=2.4&cap=38"
    )
    assert notes == ()
    assert state == CompareState(
        configurations=("fen-2.none.low",),
        figure="scatter",
        x="sound_dba",
        y="cadr_m3h",
        sort="-cadr_m3h",
        search="fen",
        filters=(Filter("sound_dba", at_most=40), Filter("form", ("kit",))),
        units="us",
        tariff=0.31,
        hours=10,
        years=8,
        discount=3,
        life=7.5,
        rate=Rate("USD", 1.1),
        room_m2=20,
        ceiling_m=2.4,
        cap_dba=38,
    )


def test_24_configurations_at_most() -> None:
    """The 25th configuration is left out with a note."""
    names = [f"d{at}.none.low" for at in range(25)]
    state, notes = parse_query(f"v=1&c={','.join(names)}")
    assert state.configurations == tuple(names[:24])
    assert notes == (Note("too-many", "c", "d24.none.low"),)


def test_what_is_gone_is_told() -> None:
    """A configuration without a result is left out, and the reader is told which."""
    state, notes = parse_query("c=a.b.c,d.e.f", known={"d.e.f"})
    assert state.configurations == ("d.e.f",)
    (note,) = notes
    assert note == Note("gone", "c", "a.b.c")
    assert note_text(ENGLISH, note) == "Left out: there is no result for a.b.c."


def test_too_long_an_address() -> None:
    """Of an address beyond all measure the beginning is read, whole keys only."""
    state, notes = parse_query("u=us&q=" + "a" * 20_000)
    assert state == CompareState(units="us")
    assert notes == (Note("too-long", "", ""),)


def test_every_note_is_a_sentence() -> None:
    """Each trouble has a sentence of its own that names what was left out."""
    for trouble in ("unknown", "malformed", "repeated", "gone", "too-many", "version"):
        said = note_text(ENGLISH, Note(trouble, "KEY", "KEY"))
        assert said.endswith(".")
        assert "KEY" in said
    assert note_text(ENGLISH, Note("too-long", "", "")).endswith(".")
