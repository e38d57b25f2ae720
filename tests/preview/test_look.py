"""A glance at a folder tells whether anything in it is another."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from sitegen.preview.look import glance


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder like an archive."""
    start = tmp_path / "archive"
    for path in ("archive.yaml", "records/runs/a.yaml", "published/index.html"):
        (start / path).parent.mkdir(parents=True, exist_ok=True)
        (start / path).write_text("x", encoding="utf-8")
    return start


def _as_old(path: Path, old: os.stat_result) -> None:
    """Write other bytes of the same length, and put the time back."""
    path.write_text("y", encoding="utf-8")
    os.utime(path, ns=(old.st_atime_ns, old.st_mtime_ns))


RUN = "records/runs/a.yaml"


@pytest.mark.parametrize(
    "change",
    [
        lambda at: (at / RUN).write_text("longer"),
        lambda at: (at / RUN).unlink(),
        lambda at: (at / RUN).rename(at / "records/runs/b.yaml"),
        lambda at: (at / "archive.yaml").unlink(),
        lambda at: (at / "texts").mkdir(),
        lambda at: _as_old(at / RUN, (at / RUN).stat()),
        lambda at: at.rename(at.with_name("away")),
    ],
)
def test_a_change_shows(folder: Path, change: Callable[[Path], object]) -> None:
    """An edit, a rename, a loss, even with the time put back, looks different."""
    before = glance(folder, (folder / "published",))
    assert glance(folder, (folder / "published",)) == before
    change(folder)
    assert glance(folder, (folder / "published",)) != before


@pytest.mark.parametrize("path", ["published/index.html", ".git/index", "records/.x~"])
def test_what_is_published_and_hidden_does_not_show(folder: Path, path: str) -> None:
    """Published and hidden files are no part of the archive."""
    (folder / ".git").mkdir()
    before = glance(folder, (folder / "published",))
    (folder / path).write_text("other", encoding="utf-8")
    assert glance(folder, (folder / "published",)) == before


def test_a_folder_that_is_not_there_looks_like_nothing(tmp_path: Path) -> None:
    """A vanished folder is no error."""
    assert glance(tmp_path / "nowhere") == b""
