"""Edit by edit: what is rewritten, and that it is what a clean compile gives."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.archive_build.folders import Folders
from sitegen.desk.start import Beginning, start_archive
from tests.conftest import site_files

Edit = Callable[[Path], None]


def _swap(path: str, old: str, new: str) -> Edit:
    def edit(archive: Path) -> None:
        file = archive / path
        text = file.read_text(encoding="utf-8")
        assert old in text, (path, old)
        file.write_text(text.replace(old, new), encoding="utf-8")

    return edit


def _append(path: str, text: str) -> Edit:
    def edit(archive: Path) -> None:
        with (archive / path).open("a", encoding="utf-8") as file:
            file.write(text)

    return edit


def _write(path: str, text: str) -> Edit:
    def edit(archive: Path) -> None:
        (archive / path).parent.mkdir(parents=True, exist_ok=True)
        (archive / path).write_text(text, encoding="utf-8")

    return edit


def _delete(path: str) -> Edit:
    return lambda archive: (archive / path).unlink()


def _rename(old: str, new: str) -> Edit:
    def edit(archive: Path) -> None:
        (archive / new).parent.mkdir(parents=True, exist_ok=True)
        (archive / old).rename(archive / new)

    return edit


def _both(*edits: Edit) -> Edit:
    def edit(archive: Path) -> None:
        for each in edits:
            each(archive)

    return edit


DEVICE = "records/devices/example-cleaner.yaml"
RUN = "records/runs/example-cleaner-high-1.yaml"
SERIES = "series/example-cleaner-high-1.csv"
TEXT = "texts/glossary.md"

EDITS: dict[str, Edit] = {
    "a comment in a record": _append(DEVICE, "\n# nothing new\n"),
    "a comment in the settings": _append("archive.yaml", "\n# nothing new\n"),
    "a comment in a series": _append(SERIES, "# nothing new\n"),
    "a remark on a device": _append(DEVICE, "note: Rattles a little.\n"),
    "a remark changed": _swap(DEVICE, "Rattles a little", "Rattles a lot"),
    "a remark on a run": _append(RUN, "note: The cat was out.\n"),
    "a device renamed for readers": _swap(DEVICE, "name: ", "name: New "),
    "a run rejected": _append(
        RUN,
        "status: rejected\ndecision: {by: The tester, on: 2026-02-01, "
        "cause: door_opened, text: The door stood open.}\n",
    ),
    "a run accepted again": _swap(RUN, "status: rejected", "status: accepted"),
    "a run held": _append(RUN, "held: yes\n"),
    "a run shown again": _swap(RUN, "held: yes", "held: no"),
    "a reading lost": lambda archive: _lose_line(archive / SERIES, 45),
    "another tariff": _swap("archive.yaml", "per_kwh: ", "per_kwh: 1"),
    "other hours": _swap("archive.yaml", "hours_per_day: ", "hours_per_day: 1 #"),
    "another name of the archive": _swap("archive.yaml", "name: ", "name: A "),
    "another tagline": _swap("archive.yaml", "tagline: ", "tagline: Our bench. "),
    "a prose page changed": _append(TEXT, "\nMore words.\n"),
    "a prose page added": _write("texts/visit.md", "# Visit us\n\nOn Mondays.\n"),
    "a prose page linked": _append(
        "texts/visit.md", "\nSee [it](device:example-cleaner).\n"
    ),
    "a prose page taken away": _delete("texts/visit.md"),
    "a layout of one's own": _write(
        "own/layouts/changes.html",
        '{% extends "page.html" %}{% block main %}<h1>Log</h1>{% endblock %}',
    ),
    "the tool's layout again": _delete("own/layouts/changes.html"),
    "a style of one's own": _write("own/assets/css/base.css", "body { margin: 0 }\n"),
    "the tool's style again": _delete("own/assets/css/base.css"),
    "a change logged": _write(
        "records/changes/2026-03-01-note.yaml",
        "date: 2026-03-01\nkind: addition\naffects: [device:example-cleaner]\n"
        "text: Something was added.\n",
    ),
    "a change filed elsewhere": _rename(
        "records/changes/2026-03-01-note.yaml",
        "records/changes/2026/2026-03-01-note.yaml",
    ),
    "a change taken away": _delete("records/changes/2026/2026-03-01-note.yaml"),
    "a run filed elsewhere": _rename(RUN, "records/runs/2026/" + Path(RUN).name),
    "a room a little larger": lambda archive: _enlarge(archive),  # noqa: PLW0108 - defined below
    "an address moved": _write(
        "records/addresses.yaml",
        "addresses:\n  - {kind: device, id: old-cleaner, moved_to: example-cleaner, "
        "date: 2026-03-02}\n",
    ),
    "an address gone": _append(
        "records/addresses.yaml",
        "  - {kind: run, id: lost-run, gone: The log was lost., date: 2026-03-02}\n",
    ),
    "no address left behind": _delete("records/addresses.yaml"),
    "a device withdrawn": _append(
        DEVICE, "withdrawn: {date: 2026-03-03, reason: No longer sold.}\n"
    ),
    "a published file lost": lambda archive: (
        archive / "published" / "index.html"
    ).unlink(),
    "a published file spoilt": _write("published/data/results.csv", "spoilt"),
}


def _lose_line(path: Path, at: int) -> None:
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    del lines[at]
    path.write_text("".join(lines), encoding="utf-8")


def _enlarge(archive: Path) -> None:
    (room,) = (archive / "records" / "rooms").glob("*.yaml")
    text = room.read_text(encoding="utf-8")
    start = text.index("volume_m3:")
    end = text.index("\n", start)
    # The value may be a mapping over several lines; then its own line changes.
    if text[start:end].strip() == "volume_m3:":
        start = text.index("value:", end)
        end = text.index("\n", start)
        room.write_text(text[:start] + "value: 33" + text[end:], encoding="utf-8")
    else:
        value = "volume_m3: {value: 33, uncertainty: 0.5}"
        room.write_text(text[:start] + value + text[end:], encoding="utf-8")


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """A new archive, compiled."""
    folder = tmp_path / "archive"
    start_archive(folder, Beginning("Bench", "https://example.org/b/", "EUR", "metric"))
    _compiled(folder)
    return folder


def _compiled(archive: Path) -> tuple[str, ...]:
    outcome = compile_archive(published_folders(archive))
    assert outcome.report is not None, outcome.faults
    assert outcome.report.ok
    return outcome.report.written


def test_thirty_kinds_of_edit_end_as_a_clean_compile(
    archive: Path, tmp_path: Path
) -> None:
    """After every edit the incremental site is byte for byte the clean one."""
    assert len(EDITS) >= 30
    for number, (name, edit) in enumerate(EDITS.items()):
        edit(archive)
        _compiled(archive)
        clean = Folders(
            archive, tmp_path / f"out-{number}", tmp_path / f"state-{number}"
        )
        outcome = compile_archive(clean)
        assert outcome.report is not None, (name, outcome.faults)
        mine, theirs = site_files(archive / "published"), site_files(clean.out)
        assert mine.keys() == theirs.keys(), name
        assert [path for path in mine if mine[path] != theirs[path]] == [], name
        shutil.rmtree(clean.out)
        shutil.rmtree(clean.state)


NOTHING = (
    "a comment in a record",
    "a comment in the settings",
    "a run filed elsewhere",
)


@pytest.mark.parametrize("name", NOTHING)
def test_what_says_nothing_new_rewrites_nothing(archive: Path, name: str) -> None:
    """A comment, or a record moved to a sub-folder, rewrites no file."""
    EDITS[name](archive)
    assert _compiled(archive) == ()


def test_a_remark_rewrites_the_one_page_that_shows_it(archive: Path) -> None:
    """A device's remark rewrites its page, a run's remark the run's page."""
    EDITS["a remark on a device"](archive)
    assert _compiled(archive) == ("devices/example-cleaner/index.html",)
    EDITS["a remark on a run"](archive)
    assert _compiled(archive) == ("runs/example-cleaner-high-1/index.html",)


def test_one_series_rewrites_only_what_rests_on_it(archive: Path) -> None:
    """A reading lost leaves methods, the bench, prose and other runs alone."""
    EDITS["a reading lost"](archive)
    written = _compiled(archive)
    assert "runs/example-cleaner-high-1/index.html" in written
    assert "devices/example-cleaner/index.html" in written
    assert "data/results.csv" in written
    untouched = ("methods/", "bench/", "glossary/", "changes/", "assets/", "videos/")
    curves = "assets/curves/example-cleaner.js"
    assert [path for path in written if path.startswith(untouched)] == [curves]
    assert "runs/example-cleaner-low-1/index.html" not in written


def test_two_clean_compiles_in_different_folders_are_equal(
    archive: Path, tmp_path: Path
) -> None:
    """The same records give the same bytes, wherever they lie."""
    other = tmp_path / "elsewhere" / "again"
    shutil.copytree(
        archive, other, ignore=shutil.ignore_patterns("published", ".sitegen")
    )
    _compiled(other)
    assert site_files(archive / "published") == site_files(other / "published")
