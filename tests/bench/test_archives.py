"""Generated archives are valid, whole and always the same."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
import yaml

from tests.archives import load_folder
from tests.bench.archives import Shape, files_of, write_archive

SHAPE = Shape(devices=60, runs=6, points=40, sensors=3, images=2)


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A generated archive."""
    folder = tmp_path_factory.mktemp("generated")
    write_archive(folder, SHAPE)
    return folder


def test_a_generated_archive_has_no_fault(archive: Path) -> None:
    """Every record and series passes every check."""
    assert load_folder(archive).faults == ()


def test_it_has_as_much_of_everything_as_was_asked_for(archive: Path) -> None:
    """Devices, runs by kind, sensors, readings and photographs are counted."""
    runs = [
        yaml.safe_load(path.read_text(encoding="utf-8"))["kind"]
        for path in (archive / "records/runs").rglob("*.yaml")
    ]
    # Of six runs four are decays; one natural decay for every nine days of testing.
    assert Counter(runs) == {
        "decay": 240, "sound": 60, "power": 60, "natural-decay": 7,
    }  # fmt: skip
    assert len(list((archive / "records/devices").iterdir())) == 60
    assert len(list((archive / "photos").iterdir())) == 2
    series = sorted((archive / "series").iterdir())
    assert len(series) == 247
    for path in series:
        lines = path.read_text(encoding="utf-8").splitlines()
        assert lines[1].count(",") == 3
        assert 30 <= len(lines) - 2 <= 60


def test_the_same_shape_gives_the_same_bytes_and_another_seed_others() -> None:
    """Nothing but the shape decides what is written."""
    small = Shape(devices=2, runs=3, points=30, images=1)
    assert dict(files_of(small)) == dict(files_of(small))
    other = dict(files_of(Shape(devices=2, runs=3, points=30, images=1, seed=2)))
    first = dict(files_of(small))
    assert other.keys() == first.keys()
    assert other["series/r00000-0.csv"] != first["series/r00000-0.csv"]
