"""Edits of records keep what they do not touch, byte for byte."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from sitegen.desk.record_edit import (
    block_list,
    edited,
    flow,
    set_scalar,
    with_block,
    write_files,
)

ROOT = Path(__file__).resolve().parents[2]
RECORD = """\
# A device, as somebody wrote it.
name:   NO   # not a yes or no
size: {a: 0361, b: '14:45'}   # kept as written

speeds:
- id: low   # quietest
  label: "1"
- id: high
  label: 2.30
note: >
  Folded
  over lines.
"""


def _nothing(top: Any) -> None:
    """Change nothing."""


@pytest.mark.parametrize(
    "path",
    sorted((ROOT / "demo_site/records").rglob("*.yaml"))[::7]
    + sorted((ROOT / "content/start").rglob("*.yaml")),
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_nothing_edited_is_nothing_changed(path: Path) -> None:
    """A record of the demonstration comes back as it was, every byte of it."""
    assert edited(path.read_bytes(), _nothing) == path.read_bytes()


def test_one_scalar_changes_and_its_quotes_stay() -> None:
    """Only the text that was set is another; quotes, comments and order stay."""

    def edit(top: Any) -> None:
        set_scalar(top, ("speeds", 0, "label"), "I")
        set_scalar(top, ("speeds", 1, "id"), "fast")

    after = edited(RECORD.encode(), edit).decode()
    wanted = RECORD.replace('"1"', '"I"').replace("id: high", "id: fast")
    assert after == wanted


@pytest.mark.parametrize("last", ["", "\n", "\n\n", "\n# the end\n"])
def test_lines_that_an_edit_leaves_alone_keep_their_spacing(last: str) -> None:
    """However oddly a file is spaced, only the line edited is written anew."""
    text = (
        "a  :   1    # one\n\n\nlist:\n    - x\n\n    -   y  # two\n"
        "flow:   {b:   2,c: 3}\nplain: words that  stand\n   on two lines\n"
        f"last:   9{last}"
    )

    def edit(top: Any) -> None:
        top["new"] = "4"
        top["list"][1] = "z"

    after = edited(text.encode(), edit).decode()
    kept = [line for line in text.split("\n") if line and "y" not in line]
    assert [line for line in after.split("\n") if line in kept] == kept
    assert "new: 4" in after.split("\n")
    assert "    - z    # two" in after.split("\n")


def test_a_file_indented_in_two_ways_is_indented_in_one() -> None:
    """Where new lines would not fit between the old ones, all are written anew."""
    text = "a:\n  - x   # one\nb:\n- y\n"

    def edit(top: Any) -> None:
        top["b"].append("z")

    after = edited(text.encode(), edit).decode()
    assert after == "a:\n  - x   # one\nb:\n  - y\n  - z\n"


def test_a_block_stands_before_fields_that_come_later() -> None:
    """And before their comment; at the end where none of them is there."""
    values = {"x": "1", "y": "2"}
    block = "new:\n  x: 1\n  y: 2\n"
    before = "a: 1\n# of b\nb: 2\nc: 3\n"
    after = with_block(before.encode(), "new", values, ("c", "b")).decode()
    assert after == f"a: 1\n{block}# of b\nb: 2\nc: 3\n"
    after = with_block(b"a: 1", "new", values, ()).decode()
    assert after == f"a: 1\n{block}"
    with pytest.raises(LookupError):
        with_block(b"{a: 1}", "new", values, ())


@pytest.mark.parametrize(
    "before",
    [
        b"",
        b"# none yet\n",
        b"addresses: []\n",
        b"addresses:\n",
        b"addresses:   # none\n",
    ],
)
def test_an_entry_is_added_to_a_list_that_is_empty(before: bytes) -> None:
    """Whether a list is missing, empty or only said, an entry is added on its line."""

    def edit(top: Any) -> None:
        entry = {"kind": "run", "id": "a", "gone": "It, was: #wrong {x}"}
        block_list(top, "addresses").append(flow(entry))

    after = edited(before, edit).decode()
    assert "\n  - {kind: run, id: a, gone: 'It, was: #wrong {x}'}\n" in f"\n{after}"
    assert after.startswith("# none yet") == before.startswith(b"# none")


def test_line_ends_and_a_byte_order_mark_stay() -> None:
    """A file from another system keeps its line ends and its first mark."""
    before = b"\xef\xbb\xbfa: 1\r\nb: 2\r\n"

    def edit(top: Any) -> None:
        top["b"] = "3"

    assert edited(before, edit) == b"\xef\xbb\xbfa: 1\r\nb: 3\r\n"


def test_files_are_written_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the machine fails, the file is as it was and nothing lies beside it."""
    write_files(tmp_path, [("records/a.yaml", b"old")])

    def refuse(_: Path, target: Path) -> Path:
        raise OSError(28, "no space", str(target))

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(OSError, match="no space"):
        write_files(tmp_path, [("records/a.yaml", b"new")])
    assert (tmp_path / "records/a.yaml").read_bytes() == b"old"
    assert [path.name for path in (tmp_path / "records").iterdir()] == ["a.yaml"]
