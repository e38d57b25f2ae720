"""A small archive, compiled once, for tests to change copies of."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.desk.start import Beginning, start_archive


@pytest.fixture(scope="session")
def bench_compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The archive that a tester starts from, compiled; not to be changed."""
    bench = tmp_path_factory.mktemp("compiled") / "bench"
    plain = Beginning("My bench", "https://example.org/bench/", "EUR", "metric")
    start_archive(bench, plain)
    assert not compile_archive(published_folders(bench), workers=1).stopped
    return bench


@pytest.fixture
def bench(bench_compiled: Path, tmp_path: Path) -> Path:
    """A compiled archive to be changed."""
    return shutil.copytree(bench_compiled, tmp_path / "bench")
