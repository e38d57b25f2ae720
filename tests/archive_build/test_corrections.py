"""A correction marks all that it affects until it is closed; editions keep a word."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.archive_build.published import published
from sitegen.desk.pin import pin
from sitegen.desk.start import Beginning, start_archive
from tests.conftest import site_files

OPEN = "Under correction"
SINCE = "Corrected since"
CHANGE = "records/changes/2026-03-10-door.yaml"
EDITION = "c/two-speeds/2026-03-01/index.html"


def _compiled(archive: Path) -> dict[str, str]:
    outcome = compile_archive(published_folders(archive))
    assert outcome.report is not None, outcome.faults
    files = site_files(archive / "published")
    return {
        path: data.decode() for path, data in files.items() if path.endswith(".html")
    }


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """A new archive with an edition of 1 March 2026."""
    folder = tmp_path / "archive"
    start_archive(folder, Beginning("Bench", "https://example.org/b/", "EUR", "metric"))
    with published(published_folders(folder)) as view:
        pin(view, folder, "two-speeds", date(2026, 3, 1), "Shown in the talk.")
    return folder


def _marked(pages: dict[str, str], words: str) -> set[str]:
    return {
        path.removesuffix("/index.html")
        for path, html in pages.items()
        if words in html
    }


def test_a_correction_marks_what_rests_on_it_until_it_is_closed(archive: Path) -> None:
    """A run's correction marks run, device, table, comparison and edition, no more."""
    change = archive / CHANGE
    change.write_text(
        "date: 2026-03-10\nkind: correction\naffects: [run:example-cleaner-low-1]\n"
        "text: The door stood open.\n"
    )
    pages = _compiled(archive)
    assert _marked(pages, OPEN) == {
        "runs/example-cleaner-low-1",
        "devices/example-cleaner",
        "tables/everything",
        "c/two-speeds",
        "c/two-speeds/2026-03-01",
        "compare",
        "devices",
        "runs",
        "filters/example-filter",
        "index.html",
        "method",  # a text that shows the comparison
    }
    assert "The door stood open." in pages["devices/example-cleaner/index.html"]
    assert "Not yet put right everywhere" in pages["devices/example-cleaner/index.html"]
    with change.open("a") as file:
        file.write("closed: 2026-03-12\n")
    pages = _compiled(archive)
    assert _marked(pages, OPEN) == set()
    # The edition's numbers are those of before: it goes on saying so.
    assert _marked(pages, SINCE) == {"c/two-speeds", "c/two-speeds/2026-03-01"}
    history = pages["devices/example-cleaner/index.html"]
    assert "Put right on 12 March 2026" in history


def test_a_correction_of_a_natural_decay_reaches_what_it_was_taken_off(
    archive: Path,
) -> None:
    """A natural decay that was wrong marks the runs and the device that rest on it."""
    (archive / CHANGE).write_text(
        "date: 2026-03-10\nkind: correction\naffects: [run:natural-2026-01-12]\n"
        "text: A window stood open.\n"
    )
    marked = _marked(_compiled(archive), OPEN)
    assert {"runs/natural-2026-01-12", "devices/example-cleaner"} <= marked
    assert "runs/example-cleaner-high-sound" not in marked


def test_a_correction_closed_before_an_edition_says_nothing_of_it(
    archive: Path,
) -> None:
    """An edition pinned after all was put right carries no word of it."""
    (archive / CHANGE).write_text(
        "date: 2026-02-10\nkind: correction\naffects: [run:example-cleaner-low-1]\n"
        "text: The door stood open.\nclosed: 2026-02-12\n"
    )
    pages = _compiled(archive)
    assert _marked(pages, SINCE) == set()
    assert _marked(pages, OPEN) == set()


def test_a_comparison_tells_what_changed_since_its_edition(archive: Path) -> None:
    """The edition keeps its numbers; the comparison lists the one that is another."""
    before = _compiled(archive)
    assert "Nothing that matters changed since" in before["c/two-speeds/index.html"]
    settings = archive / "archive.yaml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("per_kwh: ", "per_kwh: 1"), encoding="utf-8")
    after = _compiled(archive)
    page = after["c/two-speeds/index.html"]
    assert (
        "Changed since the edition of 1 March 2026: 1 difference that matters" in page
    )
    assert "rests on other assumptions" in page
    assert after[EDITION] == before[EDITION]
    for word in ("Shown in the talk.", "<svg", "Decay of salt aerosol 1", "per kWh"):
        assert word in after[EDITION]


def test_an_edition_keeps_its_figure_and_names(archive: Path) -> None:
    """Runs that are gone and a device that is called otherwise leave it as it was."""
    before = _compiled(archive)[EDITION]
    device = archive / "records/devices/example-cleaner.yaml"
    text = device.read_text(encoding="utf-8")
    assert "label: " in text
    device.write_text(text.replace("label: ", "label: X"), encoding="utf-8")
    with (archive / "records/runs/example-cleaner-low-1.yaml").open("a") as file:
        file.write(
            "status: rejected\ndecision: {by: Me, on: 2026-03-03, cause: door_opened, "
            "text: Open.}\n"
        )
    assert _compiled(archive)[EDITION] == before
