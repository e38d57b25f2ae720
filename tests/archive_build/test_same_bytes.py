"""The same records give the same bytes, whatever the surroundings."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests.bench.archives import Shape, write_archive
from tests.bench.bare import write_site
from tests.conftest import copied, site_files

SHAPE = Shape(devices=3, runs=5, points=60, images=1)

# Hash seed, workers, locale, time zone.
SURROUNDINGS = (
    ("0", "1", "C", "UTC"),
    ("1", "2", "C.UTF-8", "Pacific/Chatham"),
    ("4294967295", "3", "tr_TR.UTF-8", "America/St_Johns"),
)


def _compiled(archive: Path, surroundings: tuple[str, str, str, str]) -> None:
    seed, workers, locale, zone = surroundings
    own = {"PYTHONHASHSEED": seed, "LC_ALL": locale, "LANG": locale, "TZ": zone}
    subprocess.run(
        [sys.executable, "-m", "sitegen", "compile", "-q", "--workers", workers],
        cwd=archive,
        check=True,
        env=os.environ | own,
    )


def test_a_clean_compile_depends_on_the_records_alone(tmp_path: Path) -> None:
    """Folder, hash seed, number of workers, locale and time zone change no byte.

    The site is also the one that the steps make without the engine.
    """
    source = tmp_path / "source"
    write_archive(source, SHAPE)
    write_site(source, tmp_path / "bare")
    expected = site_files(tmp_path / "bare")
    assert len(expected) > 60
    for number, surroundings in enumerate(SURROUNDINGS):
        archive = copied(source, tmp_path / ("ä b" * (number + 1)) / "in")
        _compiled(archive, surroundings)
        found = site_files(archive / "published")
        found.pop(".written")
        assert found.keys() == expected.keys(), surroundings
        assert [p for p in found if found[p] != expected[p]] == [], surroundings
