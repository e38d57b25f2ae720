"""A table of edits, each with exactly the files that are rewritten for it.

The archive is a generated one: four devices with five runs each (three decays, one
sound, one power), two filters of which devices 0 and 1 share the first, one natural
decay; a table of everything, one of quiet settings (device 2 alone has some), one of
strong ones (empty); a comparison of all four, and two that nothing qualifies for.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from sitegen.archive_build import compile_archive, published_folders, shipped_folder
from tests.bench.archives import Shape, write_archive

SHAPE = Shape(devices=4, runs=5, points=60, images=1)
ONE = "devices/brubrufel-1/"
ALL_DEVICES = (
    "devices/brubrubru-0/ devices/brubrufel-1/ "
    "devices/brubrugor-2/ devices/brubrulim-3/"
)
RESULTS = "data/results.csv data/results.json data/datapackage.json"
RUNS_OF_ONE = (
    "runs/r00001-0/ runs/r00001-1/ runs/r00001-2/ runs/r00001-3/ runs/r00001-4/"
)

Change = Callable[[Path], None]


@dataclass(frozen=True, slots=True)
class Case:
    """An edit.

    Attributes:
        what: what the tester did.
        change: does it.
        rewritten: the files, separated by blanks; a page by its folder.
    """

    what: str
    change: Change
    rewritten: str


def _add(path: str, text: str) -> Change:
    def change(archive: Path) -> None:
        file = archive / path
        file.write_text(file.read_text(encoding="utf-8") + text, encoding="utf-8")

    return change


def _swap(path: str, old: str, new: str) -> Change:
    def change(archive: Path) -> None:
        text = (archive / path).read_text(encoding="utf-8")
        assert text.count(old) == 1, (path, old)
        (archive / path).write_text(text.replace(old, new), encoding="utf-8")

    return change


def _own(layout: str, old: str, new: str) -> Change:
    def change(archive: Path) -> None:
        text = (shipped_folder("layouts") / layout).read_text(encoding="utf-8")
        assert old in text, (layout, old)
        target = archive / "own/layouts" / layout
        target.parent.mkdir(parents=True)
        target.write_text(text.replace(old, new), encoding="utf-8")

    return change


def _lower(path: str) -> Change:
    """Lower all readings after a quarter of an hour by a tenth: a faster decay."""

    def change(archive: Path) -> None:
        lines = (archive / path).read_text(encoding="utf-8").splitlines()
        for at, line in enumerate(lines[2:], 2):
            second, *values = line.split(",")
            if int(second) > 900:
                lower = [str(int(value) * 9 // 10) for value in values]
                lines[at] = ",".join([second, *lower])
        (archive / path).write_text("\n".join(lines) + "\n", encoding="utf-8")

    return change


DEVICE = "records/devices/brubrufel-1.yaml"
RUN = "records/runs/2020/r00001-0.yaml"

CASES = (
    Case("nothing", lambda _: None, ""),
    Case("a comment in a device's record", _add(DEVICE, "# why\n"), ""),
    Case("a comment in a run's record", _add(RUN, "# why\n"), ""),
    Case("a comment in the settings", _add("archive.yaml", "# why\n"), ""),
    Case(
        "another order of fields",
        _swap(
            RUN,
            "kind: decay\ndevice: brubrufel-1\n",
            "device: brubrufel-1\nkind: decay\n",
        ),
        "",
    ),
    # Where the note shows, and nowhere else.
    Case("a device's note", _add(DEVICE, "note: It rattles.\n"), ONE),
    Case("a run's note", _add(RUN, "note: A cat came in.\n"), "runs/r00001-0/"),
    Case(
        "a verdict's text",
        _swap(DEVICE, "text: It does its work.", "text: It does well."),
        ONE,
    ),
    # The run and its device, their data and pictures; the lists, the table and the
    # comparison whose numbers change, and the places among which all numbers stand.
    # No other run, no other device, no method, and not the tables that are without it.
    Case(
        "one run's series",
        _lower("series/r00001-0.csv"),
        f"runs/r00001-0/ {ONE} {ONE}card.png data/series/brubrufel-1.zip {RESULTS} "
        "assets/curves/brubrufel-1.js data/runs.csv runs/ devices/ compare/ "
        "tables/everything/ filters/filter-0/ "
        "c/ c/four-0/ c/four-0/card.png index.html "
        "assets/places/cadr_m3h-decay.svg assets/places/clearance_min-decay.svg "
        "data/finder.js methods/decay/",
    ),
    Case(
        "one sound run's background",
        _swap("records/runs/2020/r00001-2.yaml", "[22.0, 22.3]", "[22.0, 28.3]"),
        f"runs/r00001-2/ {ONE} {RESULTS} data/readings.csv devices/ compare/ "
        "tables/everything/ filters/filter-0/ c/four-0/ index.html "
        "assets/places/sound_dba-sound.svg data/finder.js",
    ),
    # Only pages that use the part: it is imported inside another layout.
    Case(
        "a part of a layout, for places",
        _own("parts/place.html", 'class="place-drawing"', 'class="place-drawing x"'),
        ALL_DEVICES,
    ),
    Case(
        "the layout of one page",
        _own("bench.html", "{% block main %}", "{% block main %}<p>x</p>"),
        "bench/",
    ),
    # Pages and data with costs; not runs, methods or lists without them.
    Case(
        "the tariff",
        _swap("archive.yaml", "per_kwh: 0.3,", "per_kwh: 0.4,"),
        f"{ALL_DEVICES} {RESULTS} compare/ tables/everything/ tables/quiet/ c/four-0/ "
        "data/finder.js index.html",
    ),
    # Devices 0 and 1 take this filter.
    Case(
        "a filter's price",
        _swap("records/filters/filter-0.yaml", "amount: 20.00", "amount: 25.00"),
        f"devices/brubrubru-0/ {ONE} {RESULTS} compare/ tables/everything/ "
        "filters/filter-0/ filters/ c/four-0/ data/finder.js",
    ),
    # The table, and links to it: from the list of tables and from devices in it.
    Case(
        "the title of a table without rows",
        _swap("records/tables/strong.yaml", "title: Strong", "title: Very strong"),
        "tables/strong/ tables/",
    ),
    Case(
        "the title of the table of everything",
        _swap("records/tables/everything.yaml", "title: Everything", "title: All"),
        f"tables/everything/ tables/ {ALL_DEVICES}",
    ),
    Case(
        "the columns of a table",
        _swap("records/tables/quiet.yaml", "sound_dba, power_w]", "sound_dba]"),
        "tables/quiet/",
    ),
    # Wherever the device is named: its runs, what compares it, the lists.
    Case(
        "a device's name",
        _swap(DEVICE, "name: Brubrufel 1", "name: Another"),
        f"{ONE} {ONE}card.png {RUNS_OF_ONE} runs/ devices/ data/ compare/ "
        "tables/everything/ filters/filter-0/ filters/ index.html "
        "c/ c/four-0/ c/four-0/card.png data/finder.js funding/",
    ),
)


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True)
    path.write_text(text, encoding="utf-8")


@pytest.fixture(scope="module")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The archive, compiled."""
    archive = tmp_path_factory.mktemp("rewritten") / "archive"
    write_archive(archive, SHAPE)
    outcome = compile_archive(published_folders(archive), workers=1)
    assert outcome.report is not None
    assert outcome.report.ok
    return archive


@pytest.mark.parametrize("case", CASES, ids=[case.what for case in CASES])
def test_an_edit_rewrites_these_files_and_no_others(
    compiled: Path, tmp_path: Path, case: Case
) -> None:
    """What is written is what shows the edit, and nothing is removed."""
    archive = shutil.copytree(compiled, tmp_path / "archive")
    case.change(archive)
    report = compile_archive(published_folders(archive), workers=1).report
    assert report is not None
    wanted = {
        f"{name}index.html" if name.endswith("/") else name
        for name in case.rewritten.split()
    }
    assert set(report.written) == wanted
    assert report.removed == ()


def test_a_style_has_another_name_and_every_page_says_so(
    compiled: Path, tmp_path: Path
) -> None:
    """Other bytes, another name: all pages are rewritten, and no other file."""
    archive = shutil.copytree(compiled, tmp_path / "archive")
    _write(archive / "own/assets/css/base.css", "body { margin: 0 }")
    report = compile_archive(published_folders(archive), workers=1).report
    assert report is not None
    pages = {
        str(path.relative_to(archive / "published"))
        for path in (archive / "published").rglob("*.html")
    }
    (style,) = set(report.written) - pages
    assert set(report.written) == pages | {style}
    assert (archive / "published" / style).read_text().count("body { margin: 0 }") == 1
    (gone,) = report.removed
    assert gone.startswith("assets/site.")
    assert gone != style


def test_a_script_changes_only_the_pages_that_ask_for_it(
    compiled: Path, tmp_path: Path
) -> None:
    """The finder stands on the home page alone, so no other page is rewritten."""
    archive = shutil.copytree(compiled, tmp_path / "archive")
    _write(archive / "own/assets/js/finder.js", "/* mine */")
    report = compile_archive(published_folders(archive), workers=1).report
    assert report is not None
    (script,) = set(report.written) - {"index.html"}
    assert script.startswith("assets/finder.")
    assert "index.html" in report.written
    assert len(report.removed) == 1
