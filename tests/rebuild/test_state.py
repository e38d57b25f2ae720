"""A state that is damaged or of another version is thrown away, and said to be."""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitegen.rebuild.fastcheck import STATE_FILE

if TYPE_CHECKING:
    from tests.rebuild.conftest import Toy


def _sql(text: str) -> Callable[[Path], None]:
    def run(path: Path) -> None:
        db = sqlite3.connect(path, isolation_level=None)
        db.executescript(text)
        db.close()

    return run


def _cut(part: float) -> Callable[[Path], None]:
    def cut(path: Path) -> None:
        data = path.read_bytes()
        path.write_bytes(data[: int(len(data) * part)])

    return cut


def _no_letter(path: Path) -> None:
    """Put what is no letter into a table's text, which SQLite then quotes."""
    path.write_bytes(path.read_bytes().replace(b"CREATE TABLE", b"CREATE T\x80BLE"))


DAMAGES = [
    pytest.param(_no_letter, "state_damaged", id="no letter"),
    pytest.param(lambda path: path.write_bytes(b""), None, id="emptied"),
    pytest.param(
        lambda path: path.write_bytes(b"no database\n"), "state_damaged", id="a text"
    ),
    pytest.param(_cut(0.9), "state_damaged", id="end cut off"),
    pytest.param(_cut(0.4), "state_damaged", id="cut in the middle"),
    pytest.param(_cut(0.01), "state_damaged", id="nearly all cut off"),
    pytest.param(_sql("PRAGMA user_version = 999"), "state_version", id="version"),
    pytest.param(_sql("DROP TABLE dep"), "state_damaged", id="a table less"),
    pytest.param(
        _sql("ALTER TABLE output DROP COLUMN next"), "state_damaged", id="a column less"
    ),
    pytest.param(
        _sql("UPDATE value SET data = x'2d3939'"), "state_damaged", id="other values"
    ),
    pytest.param(_sql("DELETE FROM value"), "state_damaged", id="no values"),
]


@pytest.mark.parametrize(("damage", "code"), DAMAGES)
def test_a_damaged_state_is_thrown_away_with_one_note(
    toy: Toy, tmp_path: Path, damage: Callable[[Path], None], code: str | None
) -> None:
    """Whatever became of the state, the site is as a clean one, and it is said."""
    toy.build()
    toy.write("archive/cells/a", "8")
    damage(toy.state / STATE_FILE)
    report = toy.build()
    assert [note.code for note in report.notes] == ([code] if code else [])
    assert toy.files() == toy.clean(tmp_path / "clean")
    again = toy.build()
    assert (again.ran, again.notes) == ((), ())


@settings(max_examples=25, deadline=None)
@given(
    st.floats(0, 1, exclude_max=True),
    st.binary(min_size=1, max_size=2000),
    st.booleans(),
)
def test_garbage_anywhere_in_the_state_is_noticed(
    toy_in: Callable[[Path], Toy], place: float, garbage: bytes, edited: bool
) -> None:
    """Bytes overwritten anywhere, by something else, never lead to a stale file."""
    with tempfile.TemporaryDirectory() as folder:
        toy = toy_in(Path(folder) / "toy")
        toy.build()
        path = toy.state / STATE_FILE
        data = bytearray(path.read_bytes())
        at = int(place * len(data))
        data[at : at + len(garbage)] = garbage
        path.write_bytes(data)
        if edited:
            toy.write("archive/cells/b", "7")
            toy.write("content/sign", "hers")
        toy.build()
        assert toy.files() == toy.clean(Path(folder) / "clean")


def test_a_state_copied_elsewhere_is_still_good(toy: Toy) -> None:
    """Other times and inodes alone are no damage."""
    toy.build()
    shutil.copytree(toy.state, toy.state.with_name("copy"))
    shutil.rmtree(toy.state)
    toy.state.with_name("copy").rename(toy.state)
    report = toy.build()
    assert (report.ran, report.notes) == ((), ())


def test_losing_the_seal_alone_is_no_damage(toy: Toy) -> None:
    """Without the note of how it was left, the file is looked through and kept."""
    toy.build()
    (toy.state / f"{STATE_FILE}.seal").unlink()
    report = toy.build()
    assert (report.ran, report.notes) == ((), ())
