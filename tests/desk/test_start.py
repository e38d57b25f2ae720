"""A new archive is whole, is what the tester asked for, and overwrites nothing."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from sitegen.archive_build import check_archive
from sitegen.desk.start import FIRST_RUN, Beginning, start_archive
from sitegen.errors import UsageFault
from sitegen.model import KINDS

PLAIN = Beginning("My bench", "https://example.org/bench/", "EUR", "metric")
# What commands write, not the tester.
WRITTEN_BY_COMMANDS = {"editions", "releases"}


def test_it_has_no_faults(tmp_path: Path) -> None:
    """A new archive checks without a fault or a warning."""
    start_archive(tmp_path / "bench", PLAIN)
    assert check_archive(tmp_path / "bench") == ()


def test_there_is_an_example_of_every_record(tmp_path: Path) -> None:
    """Every kind of record that a tester writes has an example with comments."""
    start_archive(tmp_path, PLAIN)
    for kind in KINDS.values():
        found = sorted((tmp_path / "records" / kind.folder).rglob("*.yaml"))
        assert bool(found) is (kind.folder not in WRITTEN_BY_COMMANDS), kind.folder
        for path in found:
            assert path.read_text(encoding="utf-8").startswith("#"), path


def test_it_returns_the_files_that_it_wrote(tmp_path: Path) -> None:
    """Every file written is told, and no other is there."""
    told = start_archive(tmp_path / "a" / "b", PLAIN)
    there = sorted(path for path in (tmp_path / "a" / "b").rglob("*") if path.is_file())
    assert list(told) == there


def test_output_and_state_are_left_out_of_version_control(tmp_path: Path) -> None:
    """What can be made again is listed for version control to ignore."""
    start_archive(tmp_path, PLAIN)
    lines = (tmp_path / ".gitignore").read_text(encoding="utf-8").splitlines()
    assert {"published/", ".sitegen/"} <= set(lines)


@pytest.mark.parametrize(
    "name",
    [
        "Bench: the second",
        "# no comment",
        'Say "cheese" \\ now',
        "NO",
        "{a: b}",
        "*x & y",
        "START-ADDRESS",
        "Räume ☂ 室",
    ],
)
def test_names_stay_as_they_were_given(tmp_path: Path, name: str) -> None:
    """No name can break the settings or be read as anything but text."""
    start_archive(tmp_path, Beginning(name, "https://example.org/", "SEK", "us"))
    settings = yaml.safe_load((tmp_path / "archive.yaml").read_text(encoding="utf-8"))
    assert settings["name"] == name
    assert settings["address"] == "https://example.org/"
    assert settings["units"] == "us"
    assert settings["currency"] == "SEK"
    assert check_archive(tmp_path) == ()


def test_no_placeholder_is_left(tmp_path: Path) -> None:
    """Every placeholder of the examples is filled."""
    for path in start_archive(tmp_path, PLAIN):
        assert not re.search(r"START-[A-Z]", path.read_text(encoding="utf-8")), path


@pytest.mark.parametrize(
    ("beginning", "field"),
    [
        (Beginning("", "https://example.org/", "EUR", "metric"), "name"),
        (Beginning("a\nb", "https://example.org/", "EUR", "metric"), "name"),
        (Beginning("A", "javascript:alert(1)", "EUR", "metric"), "address"),
        (Beginning("A", "https://example.org/", "euro", "metric"), "currency"),
        (Beginning("A", "https://example.org/", "EUR", "cubits"), "units"),
    ],
)
def test_settings_that_are_not_taken(
    tmp_path: Path, beginning: Beginning, field: str
) -> None:
    """A setting that no archive can have is refused before anything is written."""
    with pytest.raises(UsageFault, match=f"start: {field}: "):
        start_archive(tmp_path / "bench", beginning)
    assert not (tmp_path / "bench").exists()


def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    """Nothing is written into a folder that is not empty."""
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(UsageFault, match="not empty"):
        start_archive(tmp_path, PLAIN)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    """A file of that name is refused and stays."""
    path = tmp_path / "bench"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(UsageFault, match="is a file"):
        start_archive(path, PLAIN)
    assert path.read_text(encoding="utf-8") == "mine"


def test_a_room_and_counters_of_ones_own(tmp_path: Path) -> None:
    """Room and counters named at the start stand in every record that needs them."""
    own = replace(
        PLAIN,
        room="Net: store",
        volume_m3=41.5,
        height_m=2.4,
        instruments=("Räume A", "Glass two"),
    )
    start_archive(tmp_path / "bench", own)
    assert check_archive(tmp_path / "bench") == ()
    records = tmp_path / "bench" / "records"
    room = yaml.safe_load((records / "rooms/test-room.yaml").read_text("utf-8"))
    assert (room["name"], room["volume_m3"]["value"]) == ("Net: store", 41.5)
    assert room["floor_area_m2"] == pytest.approx(41.5 / 2.4, rel=0.01)
    method = yaml.safe_load((records / "methods/decay-1.yaml").read_text("utf-8"))
    assert method["instruments"] == ["raume-a", "glass-two"]
    counter = yaml.safe_load((records / "instruments/raume-a.yaml").read_text("utf-8"))
    assert counter["name"] == "Räume A"
    for path in (tmp_path / "bench" / "series").iterdir():
        assert "raume-a.pm2_5" in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "more",
    [
        {"volume_m3": 0.0},
        {"volume_m3": -3.0},
        {"height_m": 0.0},
        {"room": ""},
        {"instruments": ()},
        {"instruments": ("室",)},
        {"instruments": ("A b", "a-b")},
        {"instruments": ("Power meter",)},
    ],
)
def test_a_room_or_counter_that_cannot_be(
    tmp_path: Path, more: dict[str, object]
) -> None:
    """A room without volume or counters without ids are refused, nothing is written."""
    with pytest.raises(UsageFault):
        start_archive(tmp_path / "bench", replace(PLAIN, **more))  # type: ignore[arg-type]
    assert not (tmp_path / "bench").exists()


def test_a_first_run_waits_to_be_filled_in(tmp_path: Path) -> None:
    """The run to fill in is held, so that it never passes for a result."""
    start_archive(tmp_path, PLAIN)
    run = yaml.safe_load((tmp_path / FIRST_RUN).read_text(encoding="utf-8"))
    assert run["held"] is True
    assert (tmp_path / f"series/{run['series']}.csv").is_file()
