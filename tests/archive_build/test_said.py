"""Sentences about why something was made."""

from __future__ import annotations

from string import Formatter

from sitegen.archive_build.said import (
    STEPS,
    last_cause,
    said_chain,
    said_changes,
    said_key,
)
from sitegen.archive_build.table import all_steps
from sitegen.rebuild import Cause, Difference, Hop, Key


def test_every_step_has_a_phrase_and_no_phrase_lacks_its_step() -> None:
    """Whatever may stand in a chain can be said in words."""
    assert set(STEPS) == {step.kind for step in all_steps()}
    parsed = (Formatter().parse(phrase) for phrase in STEPS.values())
    names = {name for parts in parsed for _, name, _, _ in parts if name is not None}
    assert names <= {"0", "1"}


def test_files_are_named_as_the_tester_knows_them() -> None:
    """The archive's by their path in it, the tool's own with a word on that."""
    assert said_key(Key("file", ("archive:series/a.csv",))) == "series/a.csv"
    assert said_key(Key("file", ("layouts:run.html",))) == "the tool's layouts/run.html"
    assert said_key(Key("listing", ("archive:texts", ""))) == (
        "the list of files in texts"
    )
    assert said_key(Key("record", ("run", "r1"))) == "what the record of run r1 says"


def test_changes_are_told_with_what_stood_before() -> None:
    """Numbers are shortened, lists counted, yes and no spelled; three at most."""
    changes = [
        Difference("data.cadr", "199.99999999", "201.5"),
        Difference("rows", "[3]", "[4]"),
        Difference("held", "false", "true"),
        Difference("x", "1", "2"),
    ]
    assert said_changes(changes) == (
        "cadr: 201.5, was 200; rows: 4 entries, was 3 entries; "
        "held: yes, was no; and more"
    )
    assert said_changes([Difference("a.yaml", "", "true")]) == "a.yaml came"
    assert said_changes([Difference("a.yaml", "true", "")]) == "a.yaml went"
    assert said_changes([Difference("", '"a"', "null")]) == "nothing, was a"


def test_a_chain_is_told_down_to_the_file() -> None:
    """One line a cause, what changed in brackets, the same thing once."""
    series = Key("file", ("archive:series/a.csv",))
    hops = (
        Hop(
            Key("run_page", ("a",)),
            4,
            Cause("dep_changed", Key("record", ("run", "a"))),
        ),
        Hop(
            Key("record", ("run", "a")),
            4,
            Cause("dep_changed", Key("parsed", ("run", "a"))),
            (Difference("data.speed", '"low"', '"high"'),),
        ),
        Hop(Key("parsed", ("run", "a")), 4, Cause("dep_changed", series)),
        Hop(series, 4, None),
    )
    assert said_chain(hops) == (
        "what the record of run a says changed (speed: high, was low)",
        "series/a.csv changed",
    )
    assert last_cause(hops) == "series/a.csv changed"
