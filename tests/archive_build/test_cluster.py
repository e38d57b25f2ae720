"""Fits and figures made on a cluster come out as they do here."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from sitegen.desk.start import Beginning, start_archive
from tests.conftest import copied, site_files

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def scheduler() -> Iterator[str]:
    """The address of a scheduler with two worker processes of one thread each."""
    script = (
        "import sys, time\n"
        "from distributed import LocalCluster\n"
        "if __name__ == '__main__':\n"
        "    cluster = LocalCluster(n_workers=2, threads_per_worker=1,"
        " processes=True, dashboard_address=None)\n"
        "    print(cluster.scheduler_address, flush=True)\n"
        "    sys.stdin.read()\n"
        "    cluster.close()\n"
    )
    with subprocess.Popen(
        [sys.executable, "-W", "ignore", "-c", script],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    ) as process:
        try:
            assert process.stdout is not None
            assert process.stdin is not None
            yield process.stdout.readline().strip()
        finally:
            assert process.stdin is not None
            process.stdin.close()
            process.wait(60)


def _compile(archive: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "sitegen", "compile", str(archive), *words],
        cwd=ROOT,
        check=False,
        capture_output=True,
        text=True,
    )


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive, compiled in one process."""
    folder = tmp_path_factory.mktemp("cluster") / "archive"
    start_archive(folder, Beginning("Bench", "https://example.org/b/", "EUR", "metric"))
    assert _compile(folder, "--workers", "1").returncode == 0
    return folder


def test_the_same_bytes_come_out(scheduler: str, archive: Path, tmp_path: Path) -> None:
    """What two workers of a real cluster made is what one process makes."""
    other = copied(archive, tmp_path / "archive")
    done = _compile(other, "--cluster", scheduler)
    assert done.returncode == 0, done.stderr
    assert site_files(other / "published") == site_files(archive / "published")


def test_a_scheduler_that_does_not_answer_ends_in_a_sentence(archive: Path) -> None:
    """Nothing listens there: one sentence, exit code 3, no trace."""
    done = _compile(archive, "--clean", "--cluster", "tcp://127.0.0.1:9")
    assert done.returncode == 3
    assert re.fullmatch(
        r"sitegen: tcp://127\.0\.0\.1:9: no Dask scheduler answers there; .*\n",
        done.stderr,
    )


def test_workers_that_are_not_alike_are_refused(
    scheduler: str, archive: Path, tmp_path: Path
) -> None:
    """Workers with another version of the tool would publish other results."""
    other = copied(archive, tmp_path / "archive")
    script = (
        "import sys; from sitegen.archive_build import cluster;"
        "here = cluster.tool_digest; cluster.tool_digest = lambda: 'another';"
        "from sitegen.cli.commands import run; sys.exit(run(sys.argv[1:]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, "compile", str(other), "--cluster", scheduler],
        cwd=ROOT,
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 2, done.stderr
    assert "not the same sitegen, Python and libraries as here" in done.stderr
    assert not (other / "published").exists()
