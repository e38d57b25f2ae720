"""How faults and warnings are shown: by file, with their lines."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from sitegen.cli.shown_faults import shown_faults
from sitegen.errors import Fault, Place
from tests.cli.running import run_tool

ESC = "\x1b["


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive."""
    folder = tmp_path_factory.mktemp("bench")
    assert run_tool("start", "mine", cwd=folder).returncode == 0
    return folder / "mine"


def shown(folder: Path, text: bytes, *faults: Fault, name: str = "a.yaml") -> list[str]:
    (folder / name).write_bytes(text)
    return list(shown_faults(folder, faults))


def fault(line: int, column: int, file: str = "a.yaml") -> Fault:
    return Fault("unknown-field", Place(file, line, column), "x", {})


@pytest.mark.parametrize(
    ("text", "line", "column", "source", "caret"),
    [
        # Below the place; what the line is indented by is left out.
        ("a: 1\n    b: 22\n", 2, 8, "b: 22", "   ^"),
        # Each of these letters takes two columns of a terminal.
        ("名前: x\n", 1, 5, "名前: x", "      ^"),
        # What cannot be seen is spelled out, and the caret moves with it.
        ("a:\t1\n", 1, 4, "a:\\t1", "    ^"),
        # A byte-order mark and other line ends do not shift the place.
        ("\ufeffa: 1\r\nb: 2\r\n", 2, 4, "b: 2", "   ^"),
        # The last line may lack its end; a place behind it is shown all the same.
        ("a: [1", 1, 6, "a: [1", "     ^"),
        # Without a column the line as a whole is meant.
        ("a: 1\n", 1, 0, "a: 1", None),
    ],
)
def test_line_and_caret(
    tmp_path: Path, text: str, line: int, column: int, source: str, caret: str | None
) -> None:
    """The line stands below its fault, and the caret below the very place."""
    heading, _, *rest = shown(tmp_path, text.encode(), fault(line, column))
    assert heading == "a.yaml"
    assert rest[0] == f"      | {source}"
    if caret is None:
        assert "^" not in "".join(rest)
    else:
        assert rest[1] == f"      | {caret}"


def test_a_long_line_is_cut_around_its_place(tmp_path: Path) -> None:
    """Of a line of thousands of letters what is near the place is shown."""
    text = "a: " + "x" * 5000 + "HERE" + "y" * 5000
    lines = shown(tmp_path, text.encode(), fault(1, 5004))
    line, caret = (each.removeprefix("      | ") for each in lines[2:4])
    assert len(line) < 90
    assert line.startswith("…")
    assert line.endswith("…")
    assert line[caret.index("^") :].startswith("HERE")


def test_grouped_by_file_in_reading_order(tmp_path: Path) -> None:
    """Each file is named once; a blank line parts it from the next."""
    (tmp_path / "b.yaml").write_text("x: 1\n")
    faults = (fault(1, 1, "b.yaml"), fault(2, 1), fault(1, 1))
    lines = shown(tmp_path, b"x: 1\nx: 2\n", *faults)
    assert [line for line in lines if line and not line.startswith(" ")] == [
        "a.yaml",
        "b.yaml",
    ]
    places = [line.split()[0] for line in lines if "unknown-field" in line]
    assert places == ["1:1", "2:1", "1:1"]
    assert lines.count("") == 1


def test_no_line_from_outside_the_archive_is_shown(tmp_path: Path) -> None:
    """A link that leads out, a missing file and the archive as a whole show none."""
    inside = tmp_path / "in"
    inside.mkdir()
    (tmp_path / "secret.yaml").write_text("secret: yes\n")
    (inside / "a.yaml").symlink_to(tmp_path / "secret.yaml")
    places = ("a.yaml", "gone.yaml", "../secret.yaml", "")
    told = "\n".join(shown_faults(inside, [fault(1, 1, name) for name in places]))
    assert "secret: yes" not in told
    assert "\narchive\n" in f"\n{told}\n"


def _broken(bench: Path) -> tuple[Path, str]:
    record = bench / "records/devices/example-cleaner.yaml"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("form: portable", "form: portible"), "utf-8")
    return record, text


def test_faults_are_counted_and_the_next_step_is_named(bench: Path) -> None:
    """The list goes to stdout, the summary and what to do to stderr, and it ends 1."""
    record, text = _broken(bench)
    try:
        done = run_tool("check", cwd=bench)
        quiet = run_tool("check", "-q", cwd=bench)
        data = run_tool("check", "--json", cwd=bench)
    finally:
        record.write_text(text, encoding="utf-8")
    assert [done.returncode, quiet.returncode, data.returncode] == [1, 1, 1]
    assert "      | form: portible\n      |       ^\n" in done.stdout
    assert done.stderr.splitlines() == [
        "1 fault, no warnings in 1 file.",
        "Next: correct the faults, then check again. Explained: "
        "sitegen check --about not-one-of",
    ]
    assert (quiet.stdout, quiet.stderr) == (done.stdout, "")
    (told,) = json.loads(data.stdout)
    assert list(told) == [
        "code",
        "severity",
        "file",
        "line",
        "column",
        "field",
        "text",
    ]


def test_warnings_end_with_zero_and_write_no_page(bench: Path) -> None:
    """Warnings alone are no failure; records stay, and nothing is published."""
    before = {path: path.read_bytes() for path in (bench / "records").rglob("*.yaml")}
    done = run_tool("check", "--today", "2030-01-01", "--json", cwd=bench)
    assert done.returncode == 0
    told = json.loads(done.stdout)
    assert {each["severity"] for each in told} == {"warning"}
    assert {"price-old", "natural-stale"} <= {each["code"] for each in told}
    assert before == {path: path.read_bytes() for path in before}
    assert not (bench / "published").exists()


def test_a_code_that_is_nearly_right_is_guessed(bench: Path) -> None:
    """An unknown code is wrong usage, and the one meant is named."""
    done = run_tool("check", "--about", "price-olt", cwd=bench)
    assert done.returncode == 2
    assert 'did you mean "price-old"' in done.stderr


@pytest.mark.parametrize(
    ("setting", "coloured"),
    [({}, True), ({"NO_COLOR": "1"}, False), ({"TERM": "dumb"}, False)],
)
def test_colour_on_a_terminal_alone(
    bench: Path, setting: dict[str, str], *, coloured: bool
) -> None:
    """A terminal gets colours unless it or the user says no; a pipe never does."""
    parent, child = pty.openpty()
    environment = {**os.environ, "TERM": "xterm", "COLUMNS": "60", **setting}
    environment.pop("NO_COLOR", None) if "NO_COLOR" not in setting else None
    words = ["check", "-q", "--today", "2026-01-20"]
    with subprocess.Popen(
        [sys.executable, "-m", "sitegen", *words],
        cwd=bench,
        env=environment,
        stdout=child,
        stderr=subprocess.PIPE,
    ) as running:
        os.close(child)
        told = b""
        while True:
            try:
                piece = os.read(parent, 4096)
            except OSError:
                break
            if not piece:
                break
            told += piece
        running.wait()
    os.close(parent)
    text = told.decode()
    assert "single-run" in text
    assert (ESC in text) is coloured
    assert ESC not in run_tool(*words, cwd=bench).stdout
