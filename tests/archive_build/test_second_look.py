"""What a careful colleague asks; the cases are in tests/cases/second_look."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
import yaml
from PIL import Image

from sitegen.archive_build import check_archive
from sitegen.desk.start import Beginning, start_archive
from sitegen.errors import fault_line, is_fault
from sitegen.errors.warning_codes import WARNINGS

CASES = Path(__file__).resolve().parents[1] / "cases" / "second_look"
DAY = dt.date(2026, 1, 20)
# What a new archive is asked about its own example.
OF_THE_EXAMPLE = {"single-run", "sound-not-measured"}


def _archive(folder: Path, case: dict[str, Any]) -> Path:
    """Return a new archive with a case's edits."""
    start_archive(folder, Beginning("Bench", "https://example.org/", "EUR", "metric"))
    for name, source in case.get("copy", {}).items():
        (folder / name).write_bytes((folder / source).read_bytes())
    for name in case.get("picture", ()):
        (folder / name).parent.mkdir(exist_ok=True)
        Image.new("RGB", (40, 30)).save(folder / name)
    for name, pairs in case.get("change", {}).items():
        text = (folder / name).read_text(encoding="utf-8")
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new, 1)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def _told(archive: Path, today: dt.date) -> dict[str, list[str]]:
    """Return the warnings of an archive without faults, by code."""
    found = check_archive(archive, today)
    assert [fault_line(fault) for fault in found if is_fault(fault)] == []
    told: dict[str, list[str]] = {}
    for fault in found:
        told.setdefault(fault.code, []).append(fault_line(fault))
    return told


@pytest.mark.parametrize("code", sorted(WARNINGS))
def test_what_is_asked(code: str, tmp_path: Path) -> None:
    """Each question has a case, and is asked there in these words and no others."""
    case = yaml.safe_load((CASES / f"{code}.yaml").read_text(encoding="utf-8"))
    told = _told(_archive(tmp_path / "bench", case), case.get("today", DAY))
    assert told.get(code, []) == case["expected"]
    assert case["expected"]


def test_a_new_archive_is_asked_about_its_example_alone(tmp_path: Path) -> None:
    """On the example's own days only its single runs and its missing sound are told."""
    archive = _archive(tmp_path / "bench", {})
    assert set(_told(archive, DAY)) == OF_THE_EXAMPLE


def test_nothing_is_asked_while_there_is_a_fault(tmp_path: Path) -> None:
    """With a fault only faults are told; without a day there is no second look."""
    archive = _archive(tmp_path / "bench", {})
    assert check_archive(archive) == ()
    assert not (archive / ".sitegen").exists()
    with (archive / "archive.yaml").open("a", encoding="utf-8") as file:
        file.write("nmae: x\n")
    assert [f.code for f in check_archive(archive, DAY)] == ["unknown-field"]


def test_it_is_asked_where_nothing_can_be_remembered(tmp_path: Path) -> None:
    """Where the state cannot be written the same is told, and is made aside."""
    archive = _archive(tmp_path / "bench", {})
    (archive / ".sitegen").write_text("in the way", encoding="utf-8")
    assert set(_told(archive, DAY)) == OF_THE_EXAMPLE
    assert (archive / ".sitegen").read_text(encoding="utf-8") == "in the way"


def test_a_rate_told_as_stale_is_not_asked_about_again(tmp_path: Path) -> None:
    """Where a price is too far from its rate, the old rate is told once."""
    case = yaml.safe_load((CASES / "rate-old.yaml").read_text(encoding="utf-8"))
    archive = _archive(tmp_path / "bench", case)
    device = archive / "records/devices/example-cleaner.yaml"
    text = device.read_text(encoding="utf-8").replace("2026-03-08", "2026-12-08")
    device.write_text(text, encoding="utf-8")
    told = _told(archive, case["today"])
    assert "rate-stale" in told
    assert "rate-old" not in told


def test_a_decision_answers_the_question(tmp_path: Path) -> None:
    """A run that stands off is not asked about once its record holds a decision."""
    path = CASES / "repeat-stands-off.yaml"
    archive = _archive(tmp_path / "bench", yaml.safe_load(path.read_text("utf-8")))
    run = archive / "records/runs/example-cleaner-high-3.yaml"
    with run.open("a", encoding="utf-8") as file:
        file.write("decision: {by: A, on: 2026-01-19, cause: looked_at, text: Kept.}\n")
    told = _told(archive, DAY)
    assert not {"repeat-stands-off", "repeats-differ"} & set(told)
