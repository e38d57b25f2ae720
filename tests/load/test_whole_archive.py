"""Whole folders of faults against the lines that a tester would read."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitegen.errors import fault_lines
from sitegen.load import locate
from tests.archives import listing, load_folder

ROOT = Path(__file__).resolve().parents[2]
CASES = ROOT / "tests" / "cases"


@pytest.mark.parametrize("case", ["faults", "faults_in_settings"])
def test_every_fault_is_told_with_its_place(case: str) -> None:
    """A folder of faults gives exactly the lines written down beside it."""
    found = load_folder(CASES / case / "archive")
    expected = (CASES / case / "expected.txt").read_text(encoding="utf-8")
    assert fault_lines(found.faults).splitlines() == expected.splitlines()


def test_the_cases_hold_most_kinds_of_faults() -> None:
    """The two folders show a hundred different codes, so that none hides another."""
    codes = {
        fault.code
        for case in ("faults", "faults_in_settings")
        for fault in load_folder(CASES / case / "archive").faults
    }
    assert len(codes) >= 100


def test_a_faulty_record_is_not_held_against_those_that_name_it() -> None:
    """A record with a fault of its own still counts as present."""
    found = load_folder(CASES / "faults" / "archive")
    assert ("run", "sound-a") not in found.records
    assert ("run", "sound-a") in found.index.present


def test_the_demonstration_has_no_fault() -> None:
    """The demonstration archive loads whole, every file of it."""
    found = load_folder(ROOT / "demo_site")
    assert fault_lines(found.faults) == ""
    assert found.archive is not None
    assert set(found.records) == set(found.located.records)
    assert all(loaded.series is not None for loaded in found.series.values())


def test_a_listing_decides_alone_where_records_stand() -> None:
    """Locating needs the listing only, not the files themselves."""
    paths = listing(CASES / "faults" / "archive")
    assert locate(paths).records["device", "heron"] == "records/devices/heron.yaml"
