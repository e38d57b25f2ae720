"""What tests of the whole tool share."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from sitegen.archive_build import Folders, compile_archive, published_folders
from tests.hostile import inert_archive

ROOT = Path(__file__).resolve().parent.parent


@dataclass(frozen=True, slots=True)
class Compiled:
    """A compiled archive.

    Attributes:
        archive: the archive's folder.
        site: the compiled site's folder.
        seconds: how long it took.
    """

    archive: Path
    site: Path
    seconds: float

    def files(self) -> dict[str, bytes]:
        """Return every file of the site by its path."""
        return site_files(self.site)


def site_files(site: Path) -> dict[str, bytes]:
    """Return every file below a folder by its relative path."""
    return {
        path.relative_to(site).as_posix(): path.read_bytes()
        for path in sorted(site.rglob("*"))
        if path.is_file()
    }


def copied(source: Path, target: Path) -> Path:
    """Return a copy of an archive without what was compiled from it."""
    shutil.copytree(
        source, target, ignore=shutil.ignore_patterns("published", ".sitegen")
    )
    return target


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Compiled:
    """The demonstration archive, compiled once for all tests."""
    archive = copied(ROOT / "demo_site", tmp_path_factory.mktemp("demo") / "archive")
    folders: Folders = published_folders(archive)
    outcome = compile_archive(folders)
    assert outcome.report is not None
    assert outcome.report.ok
    return Compiled(archive, folders.out, outcome.report.seconds)


@pytest.fixture(scope="session")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Compiled:
    """The archive whose every text is an attack, compiled once for all tests."""
    archive = inert_archive(tmp_path_factory.mktemp("hostile") / "archive")
    folders = published_folders(archive)
    outcome = compile_archive(folders, workers=1)
    assert outcome.report is not None, outcome.faults
    assert outcome.report.ok
    return Compiled(archive, folders.out, outcome.report.seconds)
