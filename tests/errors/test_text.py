"""How a fault becomes a line."""

from __future__ import annotations

import pytest

from sitegen.errors import Fault, Place, about, fault_line, fault_lines, one_line


def test_a_line_says_where_what_and_what_to_do() -> None:
    """A whole fault reads file, line, column, field, what, allowed, remedy, code."""
    fault = Fault("empty-list", Place("records/a.yaml", 3, 7), "speeds")
    assert fault_line(fault) == (
        "records/a.yaml:3:7: speeds: the list is empty; at least one item; add an item,"
        " or leave the field out if it can be left out [empty-list]"
    )


@pytest.mark.parametrize(
    ("place", "where"),
    [
        (Place("a.csv", 4), "a.csv:4: "),
        (Place("a.csv"), "a.csv: "),
        (Place(""), "archive: "),
        (Place("a.csv", 0, 9), "a.csv: "),
    ],
)
def test_parts_of_the_place_that_are_not_known_are_left_out(
    place: Place, where: str
) -> None:
    """A fault of a line, a file or the whole archive has no made-up column."""
    line = fault_line(Fault("series-empty", place))
    assert line.startswith(where + "the file holds no header")


def test_sentences_whose_values_are_missing_are_left_out() -> None:
    """Without a guess nobody is asked whether they meant something."""
    values = {"kind": "device", "id": "x", "folder": "records/devices"}
    without = fault_line(Fault("unknown-reference", Place("a.yaml", 1, 1), "", values))
    assert without.endswith(
        'no device "x"; an id from records/devices [unknown-reference]'
    )
    values["guess"] = "xx"
    assert 'did you mean "xx"?' in fault_line(
        Fault("unknown-reference", Place("a.yaml", 1, 1), "", values)
    )


def test_a_value_missing_from_the_main_sentence_is_shown_as_missing() -> None:
    """The sentence on what is wrong is never dropped and never raises."""
    assert '"?" is not a number' in fault_line(Fault("not-a-number", Place("a.yaml")))


def test_a_warning_is_called_one() -> None:
    """What does not stop publishing says so."""
    line = fault_line(Fault("series-unused", Place("series/a.csv")))
    assert line.startswith("series/a.csv: warning: no run names this series")


def test_what_the_tester_wrote_cannot_break_the_line() -> None:
    """Line ends, escapes and braces of a value are shown, not obeyed."""
    values = {"value": "a\n\x1b[31m{name}\u2028"}
    line = fault_line(Fault("not-a-number", Place("a.yaml", 1, 1), "x\ny", values))
    assert "\n" not in line
    assert "\x1b" not in line
    assert r'x\ny: "a\n\x1b[31m{name}\u2028" is not a number' in line


def test_one_line_leaves_ordinary_text_alone() -> None:
    """Letters, accents, signs and spaces stay as they are."""
    assert one_line("Café 5 µg/m³ – “ok”") == "Café 5 µg/m³ – “ok”"
    assert one_line("a\tb\u200e") == r"a\tb\u200e"


def test_lines_come_in_reading_order() -> None:
    """Faults are told by file, line as a number, column, field and code."""
    faults = [
        Fault("tab", Place("b.yaml", 1, 1)),
        Fault("tab", Place("a.yaml", 10, 1)),
        Fault("tab", Place("a.yaml", 9, 12)),
        Fault("tab", Place("a.yaml", 9, 2), "z"),
        Fault("alias", Place("a.yaml", 9, 2), "z", {"name": "n"}),
        Fault("tab", Place("a.yaml", 9, 2), "a"),
    ]
    lines = fault_lines(faults).splitlines()
    starts = ["a.yaml:9:2: a", "a.yaml:9:2: z", "a.yaml:9:2: z", "a.yaml:9:12"]
    starts += ["a.yaml:10:1", "b.yaml:1:1"]
    assert all(map(str.startswith, lines, starts))
    assert lines[1].endswith("[alias]")
    assert lines[2].endswith("[tab]")


def test_about_explains_a_code() -> None:
    """The explanation has the title, whole sentences and a remedy without gaps."""
    told = about("tab").splitlines()
    assert told[0] == "tab: A tab stands in the indentation"
    assert told[-1] == "What to do: replace the tab by spaces."
    assert "What to do" not in about("unknown-reference")
    with pytest.raises(KeyError):
        about("no-such-code")
