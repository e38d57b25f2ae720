"""The preview as a process: whatever happens to the folder, it says so and recovers."""

from __future__ import annotations

import errno
import http.client
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from sitegen.archive_build import Folders, compile_archive
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import MachineFault
from sitegen.preview import session
from sitegen.preview.session import compile_once, preview_folders
from sitegen.preview.state import Bulletin
from tests.conftest import site_files

DEVICE = "records/devices/example-cleaner.yaml"
LONG_S = 120


class Served:
    """An archive under preview, and the stream of what the preview says.

    Args:
        archive: its folder.
        port: where it is served.
    """

    def __init__(self, archive: Path, port: int) -> None:
        self.archive = archive
        self._http = http.client.HTTPConnection("127.0.0.1", port, timeout=LONG_S)
        self._http.request("GET", "/_preview/events")
        self._stream = self._http.getresponse()
        self.number = self._next()["number"]

    def _next(self) -> dict[str, Any]:
        while line := self._stream.readline():
            if line.startswith(b"data: "):
                said: dict[str, Any] = json.loads(line[6:])
                return said
        raise AssertionError("the preview ended")

    def until(self, *, stopped: bool, says: str = "", site: Path | None = None) -> None:
        """Read on until the preview says this, and shows what a clean compile gives."""
        while True:
            said = self._next()
            meant = said["stopped"] is stopped and says in "".join(said["lines"])
            if meant and (site is None or self._shows(site)):
                return

    def _shows(self, site: Path) -> bool:
        clean = Folders(self.archive, site / "site", site / "state")
        outcome = compile_archive(clean, show_held=True, workers=1)
        assert outcome.report is not None
        mine = preview_folders(self.archive).out
        return site_files(mine) == site_files(clean.out)

    def close(self) -> None:
        """Stop listening."""
        self._http.close()


def _start(folder: Path) -> Path:
    start_archive(folder, Beginning("Bench", "https://example.org/b/", "EUR", "metric"))
    return folder


@pytest.fixture(params=[[], ["--polling"]], ids=["told", "polling"])
def served(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Served]:
    """A new archive, served by the command."""
    archive = _start(tmp_path / "mine")
    words = ["preview", str(archive), "--port", "0", *request.param]
    with subprocess.Popen(
        [sys.executable, "-m", "sitegen", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    ) as process:
        try:
            assert process.stdout is not None
            found = re.search(r":(\d+)/", process.stdout.readline())
            assert found is not None
            listening = Served(archive, int(found[1]))
            yield listening
            listening.close()
        finally:
            process.terminate()


def _saved_by_rename(path: Path, text: str) -> None:
    """Save as many editors do: a new file beside it, then put in its place."""
    beside = path.with_name(f".{path.name}.new")
    beside.write_text(text, encoding="utf-8")
    beside.replace(path)


def _other_branch(archive: Path) -> None:
    """Do as a change of branch: files go, come and change, one after the other."""
    text = (archive / DEVICE).read_text(encoding="utf-8")
    (archive / DEVICE).write_text(text.replace("name: E", "name: Branched e"), "utf-8")
    shutil.rmtree(archive / "records" / "changes")
    (archive / "texts" / "visit.md").write_text("# Visit us\n", encoding="utf-8")
    own = archive / "own" / "assets" / "css"
    own.mkdir(parents=True)
    (own / "base.css").write_text("body { margin: 0 }\n", encoding="utf-8")


def test_the_preview_outlives_what_happens_to_the_folder(
    served: Served, tmp_path: Path
) -> None:
    """Each upheaval ends in the right site or a clear message, and is got over."""
    archive, aside = served.archive, tmp_path / "aside"
    text = (archive / DEVICE).read_text(encoding="utf-8")

    _saved_by_rename(archive / DEVICE, text.replace("name: E", "name: Saved e"))
    served.until(stopped=False, site=aside)

    (archive / "records").rename(tmp_path / "records")
    served.until(stopped=True)
    shutil.copytree(tmp_path / "records", archive / "records")
    served.until(stopped=False, site=aside)
    _saved_by_rename(archive / DEVICE, text)
    served.until(stopped=False, site=aside)

    archive.rename(tmp_path / "away")
    served.until(stopped=True, says="the folder is gone")
    assert not archive.exists()
    (tmp_path / "away").rename(archive)
    served.until(stopped=False, site=aside)

    _other_branch(archive)
    served.until(stopped=False, site=aside)

    for number in range(400):
        (archive / "texts" / "visit.md").write_text(f"# {number}\n", encoding="utf-8")
    served.until(stopped=False, site=aside)

    shutil.rmtree(preview_folders(archive).out)
    served.until(stopped=False, site=aside)


def test_a_full_disk_is_told_once_and_recovered_from(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While there is no room the message stands; with room again, pages follow."""
    archive = _start(tmp_path / "mine")
    bulletin = Bulletin()
    first = compile_once(archive, bulletin)
    assert (first.number, first.stopped) == (1, False)
    (archive / "texts" / "visit.md").write_text("# Visit us\n", encoding="utf-8")

    def full(*_: object, **__: object) -> None:
        raise MachineFault(f"{archive}: {os.strerror(errno.ENOSPC)}")

    with monkeypatch.context() as patched:
        patched.setattr(session, "compile_archive", full)
        told = compile_once(archive, bulletin)
        assert (told.stopped, told.refused) == (True, True)
        assert told.lines == (f"{archive}: No space left on device",)
        assert compile_once(archive, bulletin) == told
    after = compile_once(archive, bulletin)
    assert (after.stopped, after.refused, after.lines) == (False, False, ())
    assert (preview_folders(archive).out / "visit" / "index.html").is_file()
    assert compile_once(archive, bulletin) == after


def test_a_folder_that_is_gone_is_not_made_again(tmp_path: Path) -> None:
    """Compiling a vanished archive leaves its place free for it to come back."""
    bulletin = Bulletin()
    told = compile_once(tmp_path / "mine", bulletin)
    assert told.lines == (
        f"{tmp_path / 'mine'}: the folder is gone; the preview goes on when it is back",
    )
    assert not (tmp_path / "mine").exists()


def test_what_changes_no_page_loads_no_page_again(tmp_path: Path) -> None:
    """A comment in a record is compiled, and nothing is posted."""
    archive = _start(tmp_path / "mine")
    bulletin = Bulletin()
    first = compile_once(archive, bulletin)
    with (archive / DEVICE).open("a", encoding="utf-8") as file:
        file.write("# nothing new\n")
    assert compile_once(archive, bulletin) == first
