"""Pages of a small archive explained."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.archive_build.explained import candidates, explain_page
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import RebuildError

PAGE = "devices/example-cleaner/index.html"
SERIES = "series/example-cleaner-high-1.csv"


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive, compiled, and compiled again after one reading was lost."""
    folder = tmp_path_factory.mktemp("explained") / "archive"
    start_archive(folder, Beginning("Bench", "https://example.org/b/", "EUR", "metric"))
    compile_archive(published_folders(folder), workers=1)
    _lose_reading(folder)
    compile_archive(published_folders(folder), workers=1)
    return folder


def _lose_reading(archive: Path) -> None:
    series = archive / SERIES
    lines = series.read_text(encoding="utf-8").splitlines(keepends=True)
    del lines[45]
    series.write_text("".join(lines), encoding="utf-8")


@pytest.mark.parametrize(
    "page",
    [
        "/devices/example-cleaner/",
        "devices/example-cleaner",
        PAGE,
        f"published/{PAGE}",
        "https://example.org/b/devices/example-cleaner/?u=us#cost",
    ],
)
def test_a_page_may_be_named_in_many_ways(archive: Path, page: str) -> None:
    """An address, a full address and a path all mean the same page."""
    assert explain_page(published_folders(archive), page).file == PAGE


def test_a_path_on_disk_is_found_from_anywhere(archive: Path) -> None:
    """An absolute path of a published file means that file, the home page too."""
    folders = published_folders(archive)
    for name in (PAGE, "index.html", "data/results.csv"):
        assert explain_page(folders, str(folders.out / name)).file == name
    assert explain_page(folders, "/").file == "index.html"


def test_an_unknown_page_is_not_taken_for_another(archive: Path) -> None:
    """A page that there is not is refused, also by the name of its file."""
    for page in ("/devices/nobody/", "/devices/nobody/index.html"):
        with pytest.raises(RebuildError, match="not_built"):
            explain_page(published_folders(archive), page)
    assert "index.html" not in candidates(Path("out"), "/x/index.html")


def test_a_page_is_explained_down_to_the_series(archive: Path) -> None:
    """The chain of the device's page ends at the series that was edited."""
    found = explain_page(published_folders(archive), PAGE)
    assert found.hops[0].key.kind == "device_page"
    assert found.hops[-1].key.args == (f"archive:{SERIES}",)
    assert f"archive:{SERIES}" in found.files
    assert "layouts:device.html" in found.files


def test_what_a_compile_would_do_is_told(archive: Path) -> None:
    """Up to date there is nothing to tell; after an edit the chain ends at the file."""
    folders = published_folders(archive)
    assert explain_page(folders, PAGE, now=True).hops == ()
    _lose_reading(archive)
    hops = explain_page(folders, PAGE, now=True).hops
    assert hops[-1].key.args == (f"archive:{SERIES}",)
    assert explain_page(folders, "/bench/", now=True).hops == ()
    outcome = compile_archive(folders, workers=1, why=True)
    assert outcome.report is not None
    assert set(outcome.why) == set(outcome.report.written)
    assert {hops[-1].key.args for hops in outcome.why.values()} == {
        (f"archive:{SERIES}",)
    }
