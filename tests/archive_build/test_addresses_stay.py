"""No address that was published dies, whatever becomes of its record."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.archive_build.published import published
from sitegen.desk.leaving import take_away
from sitegen.desk.pin import pin
from sitegen.desk.release import prepare_release, release_bytes, write_record
from sitegen.desk.renaming import rename
from sitegen.desk.start import Beginning, start_archive
from sitegen.pages.query import parse_query
from tests.conftest import Compiled, site_files
from tests.crawler import Site

DAY = date(2026, 3, 1)
LATER = date(2026, 4, 1)


def _compile(archive: Path) -> None:
    outcome = compile_archive(published_folders(archive))
    assert outcome.report is not None, outcome.faults
    assert outcome.report.ok


def _release(archive: Path, day: date) -> None:
    with published(published_folders(archive)) as view:
        prepared = prepare_release(view, day)
    path = f"records/releases/{day}.yaml"
    write_record(archive, path, release_bytes(prepared.release))


def _pin(archive: Path, comparison: str, day: date) -> None:
    with published(published_folders(archive)) as view:
        pin(view, archive, comparison, day)


def _edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Path]]:
    """The site of a release, and the archive after its records got other ids."""
    archive = tmp_path_factory.mktemp("story") / "archive"
    start_archive(
        archive, Beginning("Bench", "https://example.org/b/", "EUR", "metric")
    )
    _pin(archive, "two-speeds", DAY)
    _compile(archive)
    _release(archive, DAY)
    before = archive.parent / "before"
    shutil.copytree(archive / "published", before)
    for kind, old, new in (
        ("device", "example-cleaner", "best-cleaner"),
        ("filter", "example-filter", "best-filter"),
        ("comparison", "two-speeds", "speeds"),
        ("run", "example-cleaner-high-1", "high-1"),
        ("method", "decay-1", "decay-one"),
        ("video", "example-video", "first-video"),
        ("prose", "glossary", "words"),
        ("room", "test-room", "room"),
        ("change", "2026-01-20-first-results", "2026-01-20-first"),
    ):
        rename(archive, kind, old, new, LATER)
    rename(archive, "device", "best-cleaner", "cleaner", LATER)
    take_away(archive, ("table", "everything"), "It showed too much.", LATER)
    device = archive / "records/devices/cleaner.yaml"
    with device.open("a", encoding="utf-8") as file:
        file.write("withdrawn: {date: 2026-03-20, reason: Recalled.}\n")
    _method_change(archive)
    _compile(archive)
    yield archive, before
    shutil.rmtree(archive.parent)


def _method_change(archive: Path) -> None:
    """A new version of the method takes over; the old one stays where it was."""
    methods = archive / "records/methods"
    old = methods / "decay-one.yaml"
    shutil.copy(old, methods / "decay-two.yaml")
    _edit(methods / "decay-two.yaml", 'version: "1"', 'version: "2"')
    with old.open("a", encoding="utf-8") as file:
        file.write("\nreplaced_by: decay-two\n")


def _unresolved(before: Path, after: Path) -> list[str]:
    old, new = Site(before), Site(after)
    kept = {
        (path, fragment)
        for path, fragment in old.addresses()
        # Scripts, styles and drawings are parts of pages, not addresses. The picture
        # beside links to a page that is gone is not asked for by readers.
        if not path.startswith("assets/")
        and not (path.endswith("card.png") and new.is_gone(_page_of(path)))
    }
    return sorted(trouble for each in kept if (trouble := new.trouble(*each)))


def _page_of(card: str) -> str:
    return card.replace("card.png", "index.html")


def test_every_old_address_resolves(story: tuple[Path, Path]) -> None:
    """After renames, a withdrawal and a method change every old address resolves."""
    archive, before = story
    assert len(Site(before).addresses()) > 100
    assert _unresolved(before, archive / "published") == []


def test_every_link_of_the_new_site_resolves(story: tuple[Path, Path]) -> None:
    """No page leads to nothing, nor through a page that has moved."""
    site = Site(story[0] / "published")
    assert site.broken() == []
    moved = {path for path in site.pages() if site.seen(path).refresh}
    linked = {to for page in site.pages() for to, _ in site.targets(page) if to != page}
    assert moved
    assert not moved & linked


def test_the_page_of_who_pays_stays_when_its_text_is_renamed(tmp_path: Path) -> None:
    """The tool's own page stands where a text of that id was, and none is lost."""
    archive = tmp_path / "archive"
    start_archive(
        archive, Beginning("Bench", "https://example.org/b/", "EUR", "metric")
    )
    (archive / "texts/funding.md").write_text("# Money\n\nOurs.\n", encoding="utf-8")
    rename(archive, "prose", "funding", "money", LATER)
    _compile(archive)
    site = Site(archive / "published")
    assert not site.seen("funding/index.html").refresh
    assert "Ours." in (archive / "published/money/index.html").read_text()
    assert site.broken() == []


def test_two_renames_lead_on_at_once(story: tuple[Path, Path]) -> None:
    """What was renamed twice leads from each of its names straight to the last."""
    site = Site(story[0] / "published")
    for name in ("example-cleaner", "best-cleaner"):
        page = site.seen(f"devices/{name}/index.html")
        assert page.refresh == "../cleaner/index.html"
        assert page.canonical == "https://example.org/b/devices/cleaner/"


def test_an_edition_moves_with_its_comparison(story: tuple[Path, Path]) -> None:
    """The edition of a renamed comparison is led to, and names its device of now."""
    site = Site(story[0] / "published")
    old, now = f"c/two-speeds/{DAY}/index.html", f"c/speeds/{DAY}/index.html"
    assert site.end_of(old) == now
    assert ("devices/cleaner/index.html", "") in site.targets(now)


def test_data_of_a_renamed_device_are_found_under_both_names(
    story: tuple[Path, Path],
) -> None:
    """The zipped series stand at the old address with the same bytes."""
    series = story[0] / "published/data/series"
    assert (series / "example-cleaner.zip").read_bytes() == (
        series / "cleaner.zip"
    ).read_bytes()


def test_a_place_on_a_shared_page_stays(story: tuple[Path, Path]) -> None:
    """A renamed video, room and change keep the places that links name."""
    site = Site(story[0] / "published")
    assert {"example-video", "first-video"} <= site.seen("videos/index.html").ids
    assert {"room-test-room", "room-room"} <= site.seen("bench/index.html").ids
    assert "2026-01-20-first-results" in site.seen("changes/index.html").ids


def test_a_compare_address_of_old_chooses_the_same_rows(
    story: tuple[Path, Path],
) -> None:
    """A copied compare address that names former ids is read as the ids of now."""
    html = (story[0] / "published/compare/index.html").read_text(encoding="utf-8")
    found = re.search(r'<script type="application/json" id="rows">(.*?)</script>', html)
    assert found is not None
    data = json.loads(found[1])
    at = [data["columns"].index(name) for name in ("device", "filter", "speed")]
    known = {".".join(row[each] for each in at) for row in data["rows"]}
    state, notes = parse_query(
        "v=1&c=example-cleaner.example-filter.high,best-cleaner.best-filter.low"
        "&f.device=example-cleaner&f.method=decay-1",
        known,
        data["query"]["moved"],
    )
    assert notes == ()
    assert state.configurations == (
        "cleaner.best-filter.high",
        "cleaner.best-filter.low",
    )
    assert [each.values for each in state.filters] == [("cleaner",), ("decay-one",)]


def test_what_was_released_cannot_be_dropped(
    story: tuple[Path, Path], tmp_path: Path
) -> None:
    """A record that just disappears stops the compile; the site stays as it was."""
    archive = tmp_path / "archive"
    shutil.copytree(story[0], archive)
    (archive / "records/videos/first-video.yaml").unlink()
    _edit(archive / "records/comparisons/speeds.yaml", "video: first-video\n", "")
    _release_of_now = archive / f"records/releases/{DAY}.yaml"
    assert "example-video" in _release_of_now.read_text(encoding="utf-8")
    entry = "{kind: video, id: example-video, moved_to: first-video"
    addresses = archive / "records/addresses.yaml"
    lines = addresses.read_text(encoding="utf-8").splitlines()
    addresses.write_text("\n".join(one for one in lines if entry not in one) + "\n")
    before = site_files(archive / "published")
    outcome = compile_archive(published_folders(archive))
    assert outcome.report is None
    assert [fault.code for fault in outcome.faults] == ["released-lost"]
    assert outcome.faults[0].values == {"kind": "video", "id": "example-video"}
    assert site_files(archive / "published") == before


def test_the_demonstration_keeps_every_address(demo: Compiled, tmp_path: Path) -> None:
    """A rename, a withdrawal and a method change leave no old address dead."""
    archive = tmp_path / "archive"
    shutil.copytree(demo.archive, archive)
    rename(archive, "device", "fosskeld-pail", "fosskeld-bucket", LATER)
    rename(archive, "comparison", "merl-200-filters", "merl-filters", LATER)
    rename(archive, "filter", "pail-wrap", "bucket-wrap", LATER)
    rename(archive, "method", "sound-v1", "sound-one", LATER)
    take_away(archive, ("video", "kit-evening"), "Its maker took it down.", LATER)
    device = archive / "records/devices/netloft-slim.yaml"
    with device.open("a", encoding="utf-8") as file:
        file.write("\nwithdrawn: {date: 2026-03-20, reason: Out of print.}\n")
    _edit(
        archive / "records/methods/decay-v2.yaml", "clearance_target: 0.1",
        "clearance_target: 0.12",
    )  # fmt: skip
    _compile(archive)
    assert _unresolved(demo.site, archive / "published") == []
    assert Site(archive / "published").broken() == []
