"""The commands as the tester runs them: exit codes, words, nothing lost."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.running import run_tool
from tests.conftest import site_files

HEAVY = ("pandas", "jinja2", "pydantic", "altair", "numpy", "click", "rich")


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive, compiled once."""
    folder = tmp_path_factory.mktemp("bench")
    started = run_tool("start", "mine", "--name", "Mine: a #1 bench", cwd=folder)
    assert started.returncode == 0, started.stderr
    done = run_tool("compile", "mine", cwd=folder)
    assert done.returncode == 0, done.stderr
    assert "files written" in done.stderr
    return folder / "mine"


def test_a_new_archive_has_no_fault(bench: Path) -> None:
    """What ``start`` writes passes ``check``; what is asked concerns its example."""
    done = run_tool("check", "--today", "2026-01-20", cwd=bench)
    assert done.returncode == 0, done.stdout
    assert done.stderr.startswith("no faults, 2 warnings in 1 file.\n")
    assert done.stdout.startswith("records/devices/example-cleaner.yaml\n")


def test_start_refuses_a_folder_with_something_in_it(bench: Path) -> None:
    """A folder that is not empty is wrong usage, and stays as it was."""
    before = site_files(bench)
    done = run_tool("start", str(bench), cwd=bench.parent)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert site_files(bench) == before


def test_compiled_again_it_says_so_with_the_standard_library_alone(
    bench: Path,
) -> None:
    """With nothing to do, no library of weight is even imported."""
    assert run_tool("compile", cwd=bench).returncode == 0
    code = (
        "import sys; from sitegen.cli.quick import nothing_to_do;"
        "done = nothing_to_do(['compile']);"
        f"print(done, [name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=bench,
        check=True,
        capture_output=True,
        text=True,
    )
    assert done.stdout == "True []\n"
    assert done.stderr == "Up to date: nothing to do.\n"


def test_nothing_to_do_takes_the_standard_library_and_little_of_our_own(
    bench: Path,
) -> None:
    """Beside the standard library only what finds out is imported."""
    assert run_tool("compile", cwd=bench).returncode == 0
    code = (
        "import sys; before = set(sys.modules);"
        "from sitegen.cli.quick import nothing_to_do;"
        "assert nothing_to_do(['compile', '-q']);"
        "new = {name for name in set(sys.modules) - before"
        " if name.partition('.')[0] not in sys.stdlib_module_names};"
        "print(*sorted(new))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=bench,
        check=True,
        capture_output=True,
        text=True,
    )
    assert done.stdout.split() == [
        "sitegen",
        "sitegen.archive_build",
        "sitegen.archive_build.folders",
        "sitegen.archive_build.shipped",
        "sitegen.archive_build.tool",
        "sitegen.cli",
        "sitegen.cli.quick",
        "sitegen.rebuild",
        "sitegen.rebuild.fastcheck",
        "sitegen.rebuild.scan",
        "sitegen.rebuild.seal",
    ]


def test_a_fault_leaves_the_published_site_as_it_was(bench: Path) -> None:
    """With a fault in a record, exit code 1, and no published byte changes."""
    before = site_files(bench / "published")
    record = next((bench / "records" / "devices").glob("*.yaml"))
    text = record.read_text()
    try:
        record.write_text(text + "nmae: x\n")
        done = run_tool("compile", cwd=bench)
        assert done.returncode == 1
        assert f"records/devices/{record.name}:" in done.stderr
        assert "Traceback" not in done.stderr
        assert site_files(bench / "published") == before
        listed = run_tool("check", "--json", cwd=bench)
        assert listed.returncode == 1
        (fault,) = json.loads(listed.stdout)
        assert fault["code"] == "unknown-field"
        assert fault["line"] == len(text.splitlines()) + 1
    finally:
        record.write_text(text)


def test_a_hundred_faults_are_told_at_once_and_nothing_is_lost(
    bench: Path, tmp_path: Path
) -> None:
    """An archive turned faulty tells every fault in its place; the site stays."""
    archive = shutil.copytree(bench, tmp_path / "mine")
    case = Path(__file__).resolve().parents[1] / "cases" / "faults"
    for name in ("records", "series", "texts"):
        shutil.rmtree(archive / name)
    shutil.copytree(case / "archive", archive, dirs_exist_ok=True)
    before = site_files(archive / "published")
    done = run_tool("compile", cwd=archive)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    told = done.stderr.splitlines()
    expected = (case / "expected.txt").read_text(encoding="utf-8").splitlines()
    assert len(expected) >= 30
    assert [line for line in expected if line not in told] == []
    assert told[-1].endswith("nothing was published.")
    assert site_files(archive / "published") == before


def test_every_code_can_be_looked_up(bench: Path) -> None:
    """``check --about`` explains a code, and an unknown one is wrong usage."""
    done = run_tool("check", "--about", "unknown-field", cwd=bench)
    assert done.returncode == 0
    assert done.stdout.startswith("unknown-field: ")
    assert run_tool("check", "--about", "nonsense", cwd=bench).returncode == 2


def test_wrong_usage_and_an_unwritable_folder_have_their_codes(bench: Path) -> None:
    """An unknown command ends with 2, an output that cannot be written with 3."""
    assert run_tool("frobnicate", cwd=bench).returncode == 2
    in_the_way = bench.parent / "file"
    in_the_way.write_text("")
    done = run_tool("compile", "--out", str(in_the_way / "below"), cwd=bench)
    assert done.returncode == 3, done.stderr
    assert "Traceback" not in done.stderr


def test_a_page_is_explained_in_sentences(bench: Path, tmp_path: Path) -> None:
    """``explain`` and ``--why`` name the edited file; an unknown page ends with 2."""
    archive = shutil.copytree(bench, tmp_path / "mine")
    assert run_tool("compile", "-q", cwd=archive).returncode == 0
    device = next((archive / "records" / "devices").glob("*.yaml"))
    page = f"devices/{device.stem}/index.html"
    device.write_text(device.read_text() + "note: It hums.\n")
    record = f"records/devices/{device.name}"
    now = run_tool("explain", f"/devices/{device.stem}/", "--now", cwd=archive)
    assert now.returncode == 0
    assert "It may have to be made anew," in now.stdout
    assert f"because {record} changed." in now.stdout
    done = run_tool("compile", "--why", cwd=archive)
    assert f"1 file because {record} changed:\n  {page}\n" in done.stdout
    told = run_tool("explain", page, cwd=archive)
    assert f"{page}: the page of {device.stem}.\n" in told.stdout
    assert "note: It hums., was nothing" in told.stdout
    data = json.loads(run_tool("explain", page, "--json", cwd=archive).stdout)
    assert data["file"] == page
    assert data["hops"][-1]["what"] == record
    assert f"archive:{record}" in data["files"]
    unknown = run_tool("explain", "/nowhere/", cwd=archive)
    assert unknown.returncode == 2
    assert "no compile of this archive has written such a file" in unknown.stderr
