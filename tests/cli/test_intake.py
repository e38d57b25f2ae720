"""``start``, ``intake`` and ``schema`` as a newcomer runs them."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import site_files

DEMO = Path(__file__).resolve().parents[2] / "demo_site"
LOG = DEMO / "raw" / "counter-b-2026-09-16.csv"
EXAMPLE = (
    "-i", "bench-b", "--of", "murrantine-cairn.cairn-ring.mid", "--method", "decay-v2",
    "-e", "injected=4", "-e", "mixing_off=8", "-e", "device_on=09:21",
)  # fmt: skip


def _run(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "sitegen", *words],
        cwd=cwd,
        check=False,
        capture_output=True,
        text=True,
        env={**os.environ, "NO_COLOR": "1"},
        stdin=subprocess.DEVNULL,
    )


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """The demo's records, to take a log into."""
    folder = tmp_path / "demo"
    for name in ("records", "series"):
        shutil.copytree(DEMO / name, folder / name)
    shutil.copy(DEMO / "archive.yaml", folder)
    return folder


def test_the_log_of_the_demo_can_be_taken_in(demo: Path) -> None:
    """The raw log beside the demo becomes a run, once somebody confirms it."""
    before = site_files(demo)
    words = ("intake", str(LOG), "--archive", str(demo), *EXAMPLE)
    looked = _run(*words, cwd=demo)
    assert looked.returncode == 2, looked.stderr
    assert "add --yes" in looked.stderr
    assert "the last row breaks off" in looked.stderr
    assert looked.stdout == ""
    assert site_files(demo) == before
    done = _run(*words, "--yes", cwd=demo)
    assert done.returncode == 0, done.stderr
    written = [Path(line) for line in done.stdout.splitlines()]
    assert [path.parent.name for path in written] == ["series", "runs"]
    assert all(path.is_file() for path in written)
    assert f"Next: sitegen check {demo}" in done.stderr
    assert "\x1b" not in done.stderr
    after = site_files(demo)
    assert {name: after[name] for name in before} == before


def test_quiet_prints_the_paths_alone(demo: Path) -> None:
    """With --quiet, stderr stays empty and stdout has what was written."""
    words = ("intake", str(LOG), "--archive", str(demo), *EXAMPLE, "-y", "-q")
    done = _run(*words, cwd=demo)
    assert (done.returncode, done.stderr) == (0, "")
    assert len(done.stdout.splitlines()) == 2


def test_only_showing_writes_nothing(demo: Path) -> None:
    """With --only-show a run is shown whole and nothing is written."""
    before = site_files(demo)
    words = ("intake", str(LOG), "--archive", str(demo), *EXAMPLE, "--only-show")
    done = _run(*words, cwd=demo)
    assert (done.returncode, done.stdout) == (0, "")
    assert "Decay rate" in done.stderr
    assert site_files(demo) == before


def test_a_log_that_cannot_be_read_leaves_all_as_it_was(demo: Path) -> None:
    """A refusal has exit code 1, names line and remedy, and writes nothing."""
    bad = demo.parent / "bad.csv"
    text = LOG.read_text(encoding="utf-8").replace("16.09.2026;09:30:00", "x", 1)
    bad.write_text(text.replace(";5,0\n", ";5,0\n", 1), encoding="utf-8")
    before = site_files(demo)
    words = ("intake", str(bad), "--archive", str(demo), *EXAMPLE, "--yes")
    done = _run(*words, "--log", "time.form=month-day", cwd=demo)
    assert done.returncode == 1
    assert "bad.csv:4: " in done.stderr
    assert "did the log change to day-month?" in done.stderr
    assert "Traceback" not in done.stderr
    assert site_files(demo) == before


def test_from_nothing_to_a_run_of_ones_own(tmp_path: Path) -> None:
    """A newcomer starts, takes in a log that was guessed, checks and compiles."""
    started = _run(
        "start", "mine", "--room", "Net store", "--volume", "32.5",
        "--instrument", "Counter B", cwd=tmp_path,
    )  # fmt: skip
    assert started.returncode == 0, started.stderr
    record = tmp_path / "mine/records/instruments/counter-b.yaml"
    text = record.read_text(encoding="utf-8")
    record.write_text(text[: text.index("# How its raw logs")], encoding="utf-8")
    words = (
        "intake", str(LOG), "--archive", "mine", "--run", "first-own",
        "--of", "example-cleaner.example-filter.high",
        "-e", "mixing_off=8", "-e", "device_on=9",
    )  # fmt: skip
    zoneless = _run(*words, cwd=tmp_path)
    assert zoneless.returncode == 1
    assert "# the first number is 16 on line 4" in zoneless.stderr
    assert "time.zone=Europe/Oslo" in zoneless.stderr
    zoned = (*words, "--log", "time.zone=+00:00")
    unsure = _run(*zoned, cwd=tmp_path)
    assert unsure.returncode == 2
    assert "nobody has confirmed it" in unsure.stderr
    done = _run(*zoned, "--yes", "--keep", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines() == [
        "mine/series/first-own.csv",
        "mine/records/runs/first-own.yaml",
        "mine/records/instruments/counter-b.yaml",
    ]
    checked = _run("check", "mine", cwd=tmp_path)
    assert checked.returncode == 0, checked.stdout
    assert checked.stderr.startswith("no faults, "), checked.stdout
    compiled = _run("compile", "mine", "-q", cwd=tmp_path)
    assert compiled.returncode == 0, compiled.stderr
    page = tmp_path / "mine/published/runs/first-own/index.html"
    assert "counter-b-2026-09-16.csv" in page.read_text(encoding="utf-8")
    assert not (tmp_path / "mine/published/runs/first-run").exists()


def test_schemas_are_written_and_printed(tmp_path: Path) -> None:
    """The schemas that start wrote are those that the command writes and prints."""
    assert _run("start", "mine", "-q", cwd=tmp_path).returncode == 0
    before = site_files(tmp_path / "mine")
    written = _run("schema", "mine", cwd=tmp_path)
    assert written.returncode == 0
    assert len(written.stdout.splitlines()) == 14
    assert site_files(tmp_path / "mine") == before
    printed = _run("schema", "mine", "--kind", "run", cwd=tmp_path)
    file = tmp_path / "mine/.schemas/run.json"
    assert json.loads(printed.stdout) == json.loads(file.read_text(encoding="utf-8"))
    wrong = _run("schema", "mine", "--kind", "rum", cwd=tmp_path)
    assert wrong.returncode == 2
    assert 'did you mean "run"' in wrong.stderr
