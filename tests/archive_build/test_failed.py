"""Faults that show only when something is made hold back what rests on them."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import fault_line
from sitegen.rebuild import Progress
from tests.conftest import site_files

DEVICE = "records/devices/example-cleaner.yaml"
SERIES = "series/example-cleaner-high-1.csv"


@pytest.fixture(scope="module")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive with one more text, compiled."""
    folder = tmp_path_factory.mktemp("failed") / "archive"
    start_archive(folder, Beginning("Bench", "https://example.org/b/", "EUR", "metric"))
    (folder / "texts" / "visit.md").write_text("# Visit us\n", encoding="utf-8")
    outcome = compile_archive(published_folders(folder))
    assert outcome.report is not None
    assert outcome.report.ok
    return folder


@pytest.fixture
def archive(compiled: Path, tmp_path: Path) -> Path:
    """A copy of it."""
    return shutil.copytree(compiled, tmp_path / "archive")


def _spoil(archive: Path) -> None:
    """Break two layouts, and change and delete texts as well."""
    own = archive / "own" / "layouts"
    own.mkdir(parents=True)
    (own / "methods.html").write_text("<p>\n{% if %}", encoding="utf-8")
    (own / "filter.html").write_text("{{ 1 / 0 }}", encoding="utf-8")
    (archive / "texts" / "visit.md").unlink()
    with (archive / "texts" / "glossary.md").open("a", encoding="utf-8") as file:
        file.write("\nMore words.\n")


def test_all_late_faults_are_told_and_the_rest_is_made(archive: Path) -> None:
    """Each fault has its place, what it holds back is named, nothing is removed."""
    folders = published_folders(archive)
    before = site_files(folders.out)
    _spoil(archive)
    outcome = compile_archive(folders)
    assert outcome.stopped
    lines = sorted(map(fault_line, outcome.faults))
    assert [line.partition(": ")[0] for line in lines] == [
        "own/layouts/filter.html:1",
        "own/layouts/methods.html:2",
    ]
    stayed = {each.because: each.files for each in outcome.stayed}
    assert stayed == {
        "the layout methods.html with those that it uses": ("methods/index.html",),
        "the page of filter example-filter": ("filters/example-filter/index.html",),
    }
    after = site_files(folders.out)
    for files in stayed.values():
        for path in files:
            assert after[path] == before[path]
    assert outcome.report is not None
    assert "glossary/index.html" in outcome.report.written
    assert b"More words." in after["glossary/index.html"]
    assert "visit/index.html" in after
    assert outcome.report.removed == ()


def test_once_mended_what_is_stale_is_removed(archive: Path) -> None:
    """With the faults gone the held deletion is done, and the pages are made."""
    folders = published_folders(archive)
    _spoil(archive)
    compile_archive(folders)
    shutil.rmtree(archive / "own")
    outcome = compile_archive(folders)
    assert outcome.report is not None
    assert outcome.report.ok
    assert outcome.report.removed == ("visit/index.html",)


def test_a_broken_photograph_holds_all_back(archive: Path) -> None:
    """A picture belongs to the records: a broken one is told before all is made."""
    folders = published_folders(archive)
    before = site_files(folders.out)
    _spoil(archive)
    (archive / "photos").mkdir()
    (archive / "photos" / "box.png").write_bytes(b"\x89PNG\r\n")
    with (archive / DEVICE).open("a", encoding="utf-8") as file:
        file.write("photos:\n  - {file: box.png, alt: A box, credit: Me}\n")
    outcome = compile_archive(folders)
    (line,) = map(fault_line, outcome.faults)
    assert line.startswith("photos/box.png: the picture cannot be read")
    assert site_files(folders.out) == before


LAYOUTS = [
    ("{% include 'parts/none.html' %}", "layout-missing", 1),
    ("\n{% include site.name %}", "layout-dynamic", 2),
    ("<p>\n\n{% for %}", "layout-syntax", 3),
    ("\n{{ ctx.nothing.at.all }}", "layout-failed", 2),
    ("{{ 1 / 0 }}", "layout-failed", 1),
    ('{% include "methods.html" %}', "layout-failed", 1),
]


@pytest.mark.parametrize(("text", "code", "line"), LAYOUTS)
def test_a_broken_layout_is_a_fault_with_its_line(
    archive: Path, text: str, code: str, line: int
) -> None:
    """Whatever is wrong with an own layout is told by file and line."""
    layout = archive / "own" / "layouts" / "methods.html"
    layout.parent.mkdir(parents=True)
    layout.write_text(text, encoding="utf-8")
    (fault,) = compile_archive(published_folders(archive)).faults
    assert (fault.code, fault.place.file) == (code, "own/layouts/methods.html")
    assert fault.place.line == line


def test_a_layout_in_another_encoding_is_a_fault(archive: Path) -> None:
    """The byte that is not UTF-8 is told with its line."""
    layout = archive / "own" / "layouts" / "methods.html"
    layout.parent.mkdir(parents=True)
    layout.write_bytes(b"<p>\n<p>\xe9")
    (fault,) = compile_archive(published_folders(archive)).faults
    assert fault_line(fault).startswith("own/layouts/methods.html:2: the byte 0xe9")


def test_a_series_that_goes_while_it_is_read_is_a_fault(archive: Path) -> None:
    """A file that vanishes meanwhile is named; nothing published is touched."""
    folders = published_folders(archive)
    before = site_files(folders.out)
    data = (archive / SERIES).read_bytes()
    (archive / "series" / "more.csv").write_bytes(data)

    def vanish(done: Progress) -> None:
        if done.key.kind == "located":
            (archive / SERIES).write_bytes(data + b"# more\n")
            (archive / "series" / "more.csv").unlink(missing_ok=True)

    outcome = compile_archive(folders, on_progress=vanish)
    assert [fault_line(fault) for fault in outcome.faults] == [
        "series/more.csv: the file was there a moment ago, and is not any longer;"
        " compile again [file-vanished]"
    ]
    assert site_files(folders.out) == before
    again = compile_archive(folders)
    assert again.report is not None
    assert again.report.ok
