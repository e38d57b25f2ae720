"""Which edit runs which nodes, and no others."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitegen.rebuild import Key, Step, json_codec

if TYPE_CHECKING:
    from tests.rebuild.conftest import Toy

Edit = Callable[["Toy"], None]


def _write(path: str, data: str) -> Edit:
    return lambda toy: toy.write(path, data)


def _delete(path: str) -> Edit:
    return lambda toy: (toy.archive.parent / path).unlink()


def _version(kind: str) -> Edit:
    def edit(toy: Toy) -> None:
        old = toy.steps[kind]
        toy.steps[kind] = Step(kind, old.run, old.codec, "2", old.work, old.writes)

    return edit


def _title(toy: Toy) -> None:
    toy.settings["title"] = "Totals"


def _touch(toy: Toy) -> None:
    (toy.archive / "cells/a").touch()


EDITS = [
    pytest.param(lambda _: None, "", "", id="nothing"),
    pytest.param(_touch, "", "", id="time only"),
    pytest.param(_write("archive/cells/a", "1\n# why"), "cell:a", "", id="remark"),
    pytest.param(_write("archive/cells/.hidden", "7"), "", "", id="hidden file"),
    pytest.param(_write("archive/readme", "7"), "", "", id="file nobody reads"),
    pytest.param(
        _write("archive/cells/a", "5"),
        "cell:a number:a product:a number:c product:c total sheet:a sheet:c front",
        "sheets/a/index.txt sheets/c/index.txt index.txt",
        id="number that others add",
    ),
    pytest.param(
        _write("archive/cells/c", "=b+a"),
        "cell:c number:c",
        "",
        id="formula with the same sum",
    ),
    pytest.param(
        _write("archive/cells/b", "-1"),
        "cell:b number:b product:b number:c product:c total sheet:b sheet:c front",
        "sheets/b/index.txt sheets/c/index.txt index.txt",
        id="negative number",
    ),
    pytest.param(
        _write("archive/cells/d", "0"),
        "names site total cell:d number:d product:d sheet:d front",
        "sheets/d/index.txt data/names.txt",
        id="new cell that adds nothing",
    ),
    pytest.param(
        _delete("archive/cells/c"),
        "names site total front",
        "index.txt data/names.txt",
        id="deleted cell",
    ),
    pytest.param(
        _write("content/sign", "hers"),
        "text:sign text:welcome note:sign note:welcome",
        "notes/sign.txt notes/welcome.txt",
        id="included text",
    ),
    pytest.param(
        _write("content/welcome", "hello   @sign"), "text:welcome", "", id="spaces"
    ),
    pytest.param(
        _write("archive/own/sign", "ours"),
        "text:sign text:welcome note:sign note:welcome",
        "notes/sign.txt notes/welcome.txt",
        id="own text where there was none",
    ),
    pytest.param(_title, "front", "index.txt", id="setting"),
    pytest.param(_version("total"), "total", "", id="step version"),
    pytest.param(
        _version("product"), "product:a product:b product:c", "", id="costly version"
    ),
]


@pytest.mark.parametrize(("edit", "ran", "written"), EDITS)
def test_an_edit_runs_exactly_what_it_must(
    toy: Toy, tmp_path: Path, edit: Edit, ran: str, written: str
) -> None:
    """An edit runs what it reaches, stops where nothing differs, and is right."""
    toy.build()
    edit(toy)
    report = toy.build()
    assert sorted(map(str, report.ran)) == sorted(ran.split())
    assert report.written == tuple(sorted(written.split()))
    assert set(report.reasons) == set(report.ran)
    assert toy.files() == toy.clean(tmp_path / "clean")


def test_the_first_build_runs_each_node_once(toy: Toy) -> None:
    """Nodes that many others ask for run once."""
    report = toy.build()
    assert len(report.ran) == len(set(report.ran)) == 3 * 4 + 2 * 2 + 4
    assert {cause.kind for cause in report.reasons.values()} == {"first_build"}
    assert report.outputs == len(report.written) == 7


def test_another_tool_runs_everything_and_writes_nothing(toy: Toy) -> None:
    """A new tool digest runs every node once; equal bytes are not written again."""
    first = toy.build()
    before = {path: path.stat().st_mtime_ns for path in toy.out.rglob("*.txt")}
    toy.tool = "tool 2"
    second = toy.build()
    assert set(second.ran) == set(first.ran)
    assert second.written == ()
    assert set(second.unchanged) == set(first.written)
    assert before == {path: path.stat().st_mtime_ns for path in before}
    assert toy.build().ran == ()


def test_a_removed_kind_is_not_needed_any_longer(toy: Toy) -> None:
    """A node whose step is gone is checked by asking anew, not by its old trace."""
    toy.build()
    toy.steps["total"] = Step("total", lambda _: 6, json_codec, "2")
    assert {str(key) for key in toy.build().ran} == {"total"}
    del toy.steps["total"]
    toy.steps["front"] = Step("front", lambda _: [], version="2", writes=True)
    report = toy.build()
    assert report.ok
    assert report.removed == ("data/names.txt", "index.txt")


def test_undemanded_nodes_do_not_run(toy: Toy) -> None:
    """Only what the targets need runs; the rest is brought up to date when wanted."""
    toy.build()
    toy.write("archive/cells/a", "5")
    toy.write("content/sign", "hers")
    report = toy.build("note:sign")
    assert {str(key) for key in report.ran} == {"text:sign", "note:sign"}
    assert set(toy.files()) == {".written", "notes/sign.txt"}


def test_a_change_seen_by_a_partial_build_is_not_forgotten(
    toy: Toy, tmp_path: Path
) -> None:
    """A node left unchecked by one session is still suspect in the next."""
    toy.build()
    toy.write("archive/cells/a", "5")
    assert toy.engine().value(Key("cell", ("a",))) == {"number": 5}
    report = toy.build()
    assert "sheet:a" in map(str, report.ran)
    assert "cell:a" not in map(str, report.ran)
    assert toy.files() == toy.clean(tmp_path / "clean")


def test_a_dependency_asked_for_no_more_is_forgotten(toy: Toy) -> None:
    """Only the newest trace counts."""
    toy.build()
    toy.write("archive/cells/c", "3")
    assert {str(key) for key in toy.build().ran} == {"cell:c", "number:c"}
    toy.write("archive/cells/a", "6")
    assert "number:c" not in map(str, toy.build().ran)
