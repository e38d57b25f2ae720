"""What the machine refuses ends in one sentence, and what is published stays whole."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import copied, site_files

TEXT = "texts/glossary.md"
PAGE = "glossary/index.html"

# Root reads and writes whatever the permissions say, unless it gives that up.
_ORDINARY = (
    ["setpriv", "--bounding-set=-dac_override,-dac_read_search"]
    if os.geteuid() == 0
    else []
)


def _run(*words: str, cwd: Path, most_bytes: int = 0) -> tuple[int, list[str]]:
    """Run a command as an ordinary user; return its code and what it said."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))

    done = subprocess.run(
        [*_ORDINARY, sys.executable, "-m", "sitegen", *words],
        cwd=cwd,
        check=False,
        capture_output=True,
        text=True,
        preexec_fn=limit if most_bytes else None,
    )
    return done.returncode, done.stderr.splitlines()


@pytest.fixture(scope="module")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive, compiled once."""
    folder = tmp_path_factory.mktemp("machine")
    assert _run("start", "mine", cwd=folder)[0] == 0
    assert _run("compile", "mine", "-q", cwd=folder) == (0, [])
    return folder / "mine"


def _edit(archive: Path) -> None:
    """Change a text, so that there is something to write."""
    with (archive / TEXT).open("a", encoding="utf-8") as file:
        file.write("\nMore words.\n")


@pytest.fixture(scope="module")
def clean(compiled: Path) -> dict[str, bytes]:
    """What a clean compile publishes after the edit."""
    archive = copied(compiled, compiled.with_name("clean"))
    _edit(archive)
    assert _run("compile", "-q", cwd=archive) == (0, [])
    files = site_files(archive / "published")
    assert files != site_files(compiled / "published")
    return files


@pytest.fixture
def bench(compiled: Path, tmp_path: Path) -> Iterator[Path]:
    """A copy of the compiled archive, edited."""
    archive = shutil.copytree(compiled, tmp_path / "mine")
    _edit(archive)
    yield archive
    for path in [archive, *archive.rglob("*")]:
        path.chmod(0o755)


def _refused(archive: Path, *says: str, most_bytes: int = 0) -> None:
    """Compile, and hold that it ends in one sentence with all files as they were."""
    before = site_files(archive / "published")
    code, lines = _run("compile", cwd=archive, most_bytes=most_bytes)
    assert code == 3, lines
    (line,) = lines
    assert line.startswith("sitegen: ")
    for part in says:
        assert part in line
    assert site_files(archive / "published") == before


def _recovers(archive: Path, clean: dict[str, bytes]) -> None:
    """Compile again; all is as a clean compile of the same archive has it."""
    assert _run("compile", "-q", cwd=archive) == (0, [])
    assert site_files(archive / "published") == clean


def test_a_folder_that_cannot_be_written(bench: Path, clean: dict[str, bytes]) -> None:
    """A read-only page is named with the reason; nothing has changed."""
    folder = (bench / "published" / PAGE).parent
    folder.chmod(0o555)
    _refused(bench, str(folder), "Permission denied")
    folder.chmod(0o755)
    _recovers(bench, clean)


def test_a_state_that_cannot_be_written(bench: Path, clean: dict[str, bytes]) -> None:
    """A read-only state is named with the reason; nothing has changed."""
    state = bench / ".sitegen" / "state"
    state.chmod(0o555)
    _refused(bench, ".sitegen/state", "Permission denied")
    state.chmod(0o755)
    _recovers(bench, clean)


def test_a_record_that_cannot_be_read(bench: Path, clean: dict[str, bytes]) -> None:
    """An unreadable record is named with the reason; nothing has changed."""
    record = bench / "records" / "devices" / "example-cleaner.yaml"
    record.touch()
    record.chmod(0)
    _refused(bench, str(record), "Permission denied")
    record.chmod(0o644)
    _recovers(bench, clean)


def test_a_folder_of_records_that_cannot_be_read(
    bench: Path, clean: dict[str, bytes]
) -> None:
    """An unreadable folder is named; its records are not taken for deleted."""
    folder = bench / "records" / "devices"
    folder.chmod(0)
    _refused(bench, str(folder), "Permission denied")
    folder.chmod(0o755)
    _recovers(bench, clean)


@pytest.mark.parametrize("most_bytes", [1_000, 5_000, 60_000, 4_000_000])
def test_no_room_left(bench: Path, clean: dict[str, bytes], most_bytes: int) -> None:
    """Where no file may grow beyond a limit, every published file stays whole.

    The limit stands for a full disk: writing fails half-way, be it a page or the
    state. A page that still fits may be written.
    """
    before = site_files(bench / "published")
    code, lines = _run("compile", cwd=bench, most_bytes=most_bytes)
    assert code in {0, 3}
    assert code == 0 or len(lines) == 1, lines
    now = site_files(bench / "published")
    assert now.keys() == before.keys()
    changed = {path for path in now if now[path] != before[path]}
    assert changed <= {PAGE, ".written"}
    _recovers(bench, clean)


def test_a_compile_waits_for_another_and_names_it(bench: Path) -> None:
    """Two at once: the second says whom it waits for, and goes on afterwards."""
    hold = (
        "import sys; from pathlib import Path; from sitegen.rebuild.lock import *;"
        "lock = StateLock(Path(sys.argv[1])); lock.take(0, print);"
        "print('held', flush=True); sys.stdin.read()"
    )
    with (
        subprocess.Popen(
            [sys.executable, "-c", hold, str(bench / ".sitegen" / "state")],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        ) as first,
        subprocess.Popen(
            [sys.executable, "-m", "sitegen", "compile"],
            cwd=bench,
            stderr=subprocess.PIPE,
            text=True,
        ) as second,
    ):
        assert first.stdin is not None
        assert first.stdout is not None
        assert second.stderr is not None
        assert first.stdout.readline() == "held\n"
        said = second.stderr.readline()
        first.stdin.close()
        rest = second.stderr.read()
    if said.startswith("Waiting"):  # unless it was there before the first
        assert f"process {first.pid}, which has been compiling" in said
    assert "files written" in said + rest
    assert second.returncode == 0


def test_a_damaged_state_is_told_in_one_line(
    bench: Path, clean: dict[str, bytes]
) -> None:
    """Garbage in the state's file: one line says so, and all is compiled anew."""
    (bench / ".sitegen" / "state" / "state.sqlite").write_bytes(b"garbage" * 999)
    code, lines = _run("compile", cwd=bench)
    assert code == 0
    assert [line for line in lines if "was damaged; it was thrown away" in line]
    assert len(lines) == 3
    _recovers(bench, clean)


def test_a_late_fault_names_what_stays(bench: Path) -> None:
    """A broken own layout: exit code 1, the fault, what stays, what was written."""
    layout = bench / "own" / "layouts" / "methods.html"
    layout.parent.mkdir(parents=True)
    layout.write_text("{% if %}", encoding="utf-8")
    code, lines = _run("compile", cwd=bench)
    assert code == 1
    assert lines[0].startswith("own/layouts/methods.html:1: ")
    assert lines[1:] == [
        "Because of the layout methods.html with those that it uses, 1 file stays as it"
        " was: methods/index.html.",
        "1 fault, no warnings; 1 file written, nothing removed.",
    ]
