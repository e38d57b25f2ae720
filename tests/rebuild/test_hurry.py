"""Pages that someone waits for, made from what is said to have changed."""

from __future__ import annotations

from pathlib import Path
from unittest.mock import patch

import pytest

from sitegen.errors import MeasureError
from sitegen.rebuild import Key
from sitegen.rebuild.scan import Tree
from tests.rebuild.conftest import Toy

A = "archive/cells/a"
SHEET = "sheets/a/index.txt"


@pytest.fixture
def built(toy: Toy) -> Toy:
    """A toy that is up to date."""
    toy.build()
    assert toy.build().ran == ()
    return toy


def test_what_is_waited_for_is_made_and_nothing_else(built: Toy) -> None:
    """One sheet is made; the others and the list of files wait for the next build."""
    before = built.files()
    built.write(A, "5")
    assert built.hurry([A], [SHEET])
    after = built.files()
    changed = {path for path in after if after[path] != before.get(path)}
    assert changed == {SHEET, ".written"}
    assert after[SHEET] == b"5 120"
    report = built.build()
    assert SHEET not in report.written
    assert {"index.txt", "sheets/c/index.txt"} <= set(report.written)
    assert built.files() == built.clean(built.state.parent / "clean")


def test_nothing_else_is_looked_at(built: Toy) -> None:
    """No folder is listed and no other file asked for, in or out."""
    built.write(A, "5")
    refuse = AssertionError("looked")
    with (
        patch.object(Tree, "top", side_effect=refuse),
        patch("sitegen.rebuild.outputs.Outputs.refresh", side_effect=refuse),
    ):
        assert built.hurry([A], [SHEET])
    assert built.files()[SHEET] == b"5 120"


def test_what_was_not_told_is_found_by_the_next_build(built: Toy) -> None:
    """A hint that leaves out a change delays it, and no more."""
    built.write(A, "5")
    built.write("archive/cells/b", "3")
    assert built.hurry([A], ["sheets/c/index.txt"])
    assert built.files()["sheets/c/index.txt"] == b"7 5040"
    built.build()
    assert built.files()["sheets/c/index.txt"] == b"8 40320"
    assert built.files() == built.clean(built.state.parent / "clean")


def test_a_hint_for_nothing_writes_nothing(built: Toy) -> None:
    """Files that did not change, or never were, make nobody wait or load again."""
    before = built.files()
    assert built.hurry([A, "archive/cells/.a.swp", "archive/gone~"], [SHEET]) is False
    assert built.files() == before
    assert built.build().ran == ()


@pytest.mark.parametrize("how", ["came", "went", "renamed", "link", "folder"])
def test_files_that_come_and_go_are_left_to_the_build(built: Toy, how: str) -> None:
    """Only the bytes of known files may have changed."""
    file = built.archive / "cells" / "b"
    told = "archive/cells/b"
    match how:
        case "came":
            told = "archive/cells/d"
            built.write(told, "4")
        case "went":
            built.write("archive/cells/c", "=a")
            file.unlink()
        case "renamed":
            told = "archive/cells/e"
            file.rename(file.with_name("e"))
            built.write("archive/cells/c", "=a")
        case "link":
            file.unlink()
            file.symlink_to(built.archive / "cells" / "a")
        case _:
            built.write("archive/cells/c", "=a")
            file.unlink()
            file.mkdir()
    assert built.hurry([told], [SHEET]) is None
    built.build()
    assert built.files() == built.clean(built.state.parent / "clean")


def test_a_build_that_did_not_end_well_comes_first(built: Toy) -> None:
    """After a failure, with another tool or other settings, or no state: no haste."""
    built.write(A, "x")
    assert not built.build().ok
    built.write(A, "5")
    assert built.hurry([A], [SHEET]) is None
    assert built.build().ok
    built.tool = "tool 2"
    assert built.hurry([A], [SHEET]) is None
    built.tool = "tool 1"
    built.settings["title"] = "Totals"
    assert built.hurry([A], [SHEET]) is None
    built.build()
    (built.state / "state.sqlite").write_bytes(b"spoilt" * 999)
    assert built.hurry([A], [SHEET]) is None
    engine = built.engine()
    with engine:
        assert [note.code for note in engine.notes] == ["state_damaged"]


def test_a_fault_in_haste_is_the_builds_to_tell(built: Toy) -> None:
    """A page that cannot be made stays as it was, and nobody is told it is ready."""
    before = built.files()
    built.write(A, "x")
    assert built.hurry([A], [SHEET]) is False
    assert built.files() == before
    report = built.build()
    assert [str(failure.error) for failure in report.failures] == [
        str(MeasureError("not_a_number", cell="a"))
    ]


def test_values_may_be_asked_for_and_are_kept(built: Toy) -> None:
    """What was worked out in haste is not worked out again."""
    built.write(A, "5")
    engine = built.engine()
    with engine.hurry(["archive:cells/a"]) as possible:
        assert possible
        assert engine.value(Key("number", ("c",))) == 7
    ran = {str(key) for key in built.build().ran}
    assert not {"number:c", "cell:a"} & ran


def test_superseded_values_are_not_left_behind(built: Toy) -> None:
    """However often someone saves, the state does not grow by it."""
    sizes = []
    for value in ("5", "6", "7", "5"):
        built.write(A, value)
        assert built.hurry([A], [SHEET])
        built.build()
        sizes.append(_values(built.state))
    assert sizes[0] == sizes[-1]


def test_haste_marks_nothing_for_good(built: Toy) -> None:
    """What an edit reaches is marked by the build that follows, from the same file."""
    built.write(A, "5")
    assert built.hurry([A], [SHEET])
    suspect = "SELECT count(*) FROM node WHERE suspect = 1"
    assert _number(built.state, suspect) == 0
    told = built.engine().why_now("index.txt")
    assert told[-1].key == Key("file", ("archive:cells/a",))
    assert built.engine().why_now(SHEET) == ()
    # Whoever looks at everything marks what rests on the file, and leaves it marked.
    built.engine().value(Key("text", ("sign",)))
    assert _number(built.state, suspect) > 0
    built.build()
    assert _number(built.state, suspect) == 0
    assert built.engine().why_now("index.txt") == ()
    assert built.files() == built.clean(built.state.parent / "clean")


def test_why_is_told_across_haste_and_build(built: Toy) -> None:
    """A page made in haste and one made after it both lead to the file."""
    built.write(A, "5")
    assert built.hurry([A], [SHEET])
    built.build()
    for path in (SHEET, "sheets/c/index.txt", "index.txt"):
        assert built.engine().why(path)[-1].key == Key("file", ("archive:cells/a",))


def _values(state: Path) -> int:
    return _number(state, "SELECT count(*) FROM value")


def _number(state: Path, question: str) -> int:
    import sqlite3

    db = sqlite3.connect(state / "state.sqlite")
    (number,) = db.execute(question).fetchone()
    db.close()
    return int(number)
