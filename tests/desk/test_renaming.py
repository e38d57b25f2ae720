"""A rename carries every mention, touches nothing else, and can be taken up again."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from sitegen.archive_build import check_archive
from sitegen.desk.leaving import take_away
from sitegen.desk.renaming import rename
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import FaultsFound, UsageFault
from tests.conftest import site_files

DAY = date(2026, 4, 1)


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """A new archive that names its device in a table and in prose as well."""
    folder = tmp_path / "archive"
    start_archive(folder, Beginning("Bench", "https://example.org/b/", "EUR", "metric"))
    with (folder / "records/tables/everything.yaml").open(
        "a", encoding="utf-8"
    ) as file:
        file.write("\nwhere:\n  - {field: device, one_of: [example-cleaner]}\n")
    with (folder / "texts/glossary.md").open("a", encoding="utf-8") as file:
        file.write("\n[It](device:example-cleaner#runs), not example-cleaner-2.\n")
    return folder


def _text(archive: Path, path: str) -> str:
    return (archive / path).read_text(encoding="utf-8")


def test_every_mention_follows(archive: Path) -> None:
    """Runs, comparisons, conditions, changes, videos and links name the new id."""
    before = site_files(archive)
    rename(archive, "device", "example-cleaner", "alder", DAY)
    assert "device: alder\n" in _text(
        archive, "records/runs/example-cleaner-low-1.yaml"
    )
    assert "alder.example-filter.low" in _text(
        archive, "records/comparisons/two-speeds.yaml"
    )
    assert "one_of: [alder]" in _text(archive, "records/tables/everything.yaml")
    change = _text(archive, "records/changes/2026-01-20-first-results.yaml")
    assert 'affects: ["device:alder"]' in change
    assert "](device:alder)" in change
    assert "(device:alder#runs), not example-cleaner-2." in _text(
        archive, "texts/glossary.md"
    )
    assert check_archive(archive) == ()
    after = site_files(archive)
    # Line by line nothing else is another.
    for path in before.keys() & after.keys():
        for old, new in zip(
            before[path].splitlines(), after[path].splitlines(), strict=False
        ):
            if old != new and path != "records/addresses.yaml":
                assert b"example-cleaner" in old, path


def test_a_rename_taken_up_again_ends_as_one(archive: Path, tmp_path: Path) -> None:
    """A record moved by hand, and mentions half carried, end as a whole rename does."""
    other = tmp_path / "other"
    start_archive(other, Beginning("Bench", "https://example.org/b/", "EUR", "metric"))
    rename(other, "device", "example-cleaner", "alder", DAY)
    for path, data in site_files(other).items():
        if path.startswith("records/runs/") and "low" in path:
            (archive / path).write_bytes(data)
    devices = archive / "records/devices"
    (devices / "example-cleaner.yaml").rename(devices / "alder.yaml")
    rename(archive, "device", "example-cleaner", "alder", DAY)
    assert check_archive(archive) == ()
    assert _text(archive, "records/addresses.yaml") == _text(
        other, "records/addresses.yaml"
    )


def test_renamed_back_the_old_name_is_free_again(archive: Path) -> None:
    """A record that gets its former id back has one entry, for the id in between."""
    rename(archive, "device", "example-cleaner", "alder", DAY)
    rename(archive, "device", "alder", "example-cleaner", DAY)
    assert check_archive(archive) == ()
    listed = _text(archive, "records/addresses.yaml").split("addresses:")[1]
    assert listed.count("{") == 1
    assert "{kind: device, id: alder, moved_to: example-cleaner" in listed


@pytest.mark.parametrize(
    ("kind", "old", "new", "said"),
    [
        ("device", "example-cleaner", "Alder", "not-an-id"),
        ("device", "nothing", "alder", "there is no device"),
        ("run", "example-cleaner-low-1", "example-cleaner-high-1", "already is"),
        ("prose", "glossary", "devices", "belongs to the site"),
        ("instrument", "counter-a", "counter-b", "cannot be renamed"),
        ("device", "example-cleaner", "example-cleaner", "is the old one"),
    ],
)
def test_what_cannot_be_renamed_is_left(
    archive: Path, kind: str, old: str, new: str, said: str
) -> None:
    """A rename that is refused says why and writes nothing."""
    before = site_files(archive)
    with pytest.raises(UsageFault, match=said):
        rename(archive, kind, old, new, DAY)
    assert site_files(archive) == before


def test_a_faulty_record_that_names_it_stops_a_rename(archive: Path) -> None:
    """A mention that cannot be read is told, and nothing is written."""
    with (archive / "records/runs/example-cleaner-low-1.yaml").open("a") as file:
        file.write("colour: red\n")
    before = site_files(archive)
    with pytest.raises(FaultsFound):
        rename(archive, "device", "example-cleaner", "alder", DAY)
    assert site_files(archive) == before


def test_what_is_gone_is_put_aside_with_its_reason(archive: Path) -> None:
    """A record taken away lies in ``removed``, and its address says why."""
    data = (archive / "records/tables/everything.yaml").read_bytes()
    left = take_away(archive, ("table", "everything"), "It mixed: two.", DAY)
    assert left.gone == (("table", "everything"),)
    assert (archive / "removed/records/tables/everything.yaml").read_bytes() == data
    assert not (archive / "records/tables/everything.yaml").exists()
    entry = "{kind: table, id: everything, gone: 'It mixed: two.', date: 2026-04-01}"
    assert entry in _text(archive, "records/addresses.yaml")
    assert check_archive(archive) == ()


def test_what_others_rest_on_cannot_be_taken_away(archive: Path) -> None:
    """A device with runs stays until they are gone too; what rests on it is listed."""
    before = site_files(archive)
    with pytest.raises(UsageFault, match="example-cleaner-low-1"):
        take_away(archive, ("device", "example-cleaner"), "Sold.", DAY)
    with pytest.raises(UsageFault, match="tables/everything") as found:
        take_away(archive, ("device", "example-cleaner"), "Sold.", DAY, with_runs=True)
    assert "records/runs" not in str(found.value)
    assert site_files(archive) == before


def test_what_merely_points_at_it_does_not_hold_it(archive: Path) -> None:
    """A comparison may go on naming a video that is gone."""
    take_away(archive, ("video", "example-video"), "Taken down.", DAY)
    assert check_archive(archive) == ()
