"""The same mistake gets the same words, whichever command or record it is made in."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from sitegen.errors import CODES
from tests.cli.running import run_tool

SOURCE = Path(__file__).resolve().parents[2] / "sitegen"
# What refuses a command; its words come out of the tables.
REFUSALS = {"UsageFault", "UsageError", "BadParameter", "ClickException", "fail"}
DEVICE = "records/devices/example-cleaner.yaml"
RUN = "records/runs/example-cleaner-high-1.yaml"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A new archive."""
    assert run_tool("start", "mine", "-q", cwd=tmp_path).returncode == 0
    return tmp_path / "mine"


def _called(call: ast.Call) -> str:
    made = call.func
    return made.attr if isinstance(made, ast.Attribute) else getattr(made, "id", "")


def _literal_refusals(path: Path) -> list[str]:
    """Return the places where a file refuses a command in words of its own."""
    return [
        f"{path.relative_to(SOURCE)}:{node.lineno}"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and _called(node) in REFUSALS
        and node.args
        and isinstance(node.args[0], ast.Constant | ast.JoinedStr | ast.BinOp)
    ]


def test_no_refusal_has_words_of_its_own() -> None:
    """Outside the tables nothing that refuses a command is given a text as it is."""
    files = [
        path
        for path in sorted(SOURCE.rglob("*.py"))
        if not path.is_relative_to(SOURCE / "errors")
    ]
    assert [place for path in files for place in _literal_refusals(path)] == []


def _machine_texts() -> list[str]:
    """Return the texts with which the machine's refusals are told, in the source."""
    found = []
    for path in sorted(SOURCE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            told = None
            if isinstance(node, ast.Call) and _called(node) == "MachineFault":
                told = node.args[0]
            elif isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == (
                "message"
            ):
                told = node.value if path.parent.name != "errors" else None
            if isinstance(told, ast.JoinedStr) and "MachineFault" in path.read_text():
                found.append(ast.unparse(told))
    return found


def test_a_refusal_of_the_machine_says_what_to_do() -> None:
    """Each such sentence goes on, behind a semicolon, with what helps."""
    texts = _machine_texts()
    assert len(texts) >= 8
    assert [text for text in texts if "; " not in text] == []


def test_no_two_codes_say_the_same() -> None:
    """One mistake has one code: no two entries say the same and advise the same."""
    said: dict[tuple[str, str, str], str] = {}
    for code, entry in CODES.items():
        words = (entry.what, entry.allowed, entry.remedy)
        assert said.setdefault(words, code) == code


def _words(text: str, code: str) -> set[str]:
    """Return what is said with a code, without place and field."""
    ends = f"[{code}]"
    lines = [line for line in text.splitlines() if line.endswith(ends)]
    assert lines, text
    what = CODES[code].what.partition("{")[0]
    return {line[line.index(what) :] for line in lines}


@pytest.mark.parametrize(
    ("code", "commands"),
    [
        (
            "unknown-reference",
            [
                ["run", "nothing", "--reject", "Door."],
                ["rename", "run:nothing", "other", "--on", "2026-01-20"],
            ],
        ),
        (
            "unknown-reference",
            [
                ["price", "nothing", "9"],
                ["rename", "device:nothing", "other", "--on", "2026-01-20"],
            ],
        ),
        (
            "options-together",
            [
                ["release", "--change", "price"],
                ["release", "--because", "x"],
            ],
        ),
        (
            "reason-missing",
            [
                ["gone", "table:everything", "--because", " ", "--on", "2026-01-20"],
            ],
        ),
    ],
)
def test_commands_say_the_same(
    code: str, commands: list[list[str]], bench: Path
) -> None:
    """Wrong usage of several commands ends with 2 and with the code's own words."""
    said = []
    for words in commands:
        done = run_tool(*words, cwd=bench)
        assert done.returncode == 2, done.stderr
        said.append({text.partition(";")[0] for text in _words(done.stderr, code)})
    if code != "options-together":
        assert all(each == said[0] for each in said)


@pytest.mark.parametrize(
    "words",
    [
        ["run", "x", "--reject", "y"],
        ["price", "x", "9"],
        ["rename", "run:x", "y", "--on", "2026-01-20"],
        ["gone", "run:x", "--because", "y", "--on", "2026-01-20"],
        ["check"],
        ["compile"],
        ["worklist"],
    ],
)
def test_a_folder_that_is_no_archive(words: list[str], tmp_path: Path) -> None:
    """Every command says in the same words that the folder holds no archive."""
    done = run_tool(*words, cwd=tmp_path)
    assert done.returncode in {1, 2}
    assert CODES["no-settings"].what in done.stdout + done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("code", "command", "record", "old", "new"),
    [
        (
            "not-an-amount",
            ["price", "example-cleaner", "1.234,50"],
            DEVICE,
            "{amount: 199.00",
            '{amount: "1.234,50"',
        ),
        (
            "rate-missing",
            ["price", "example-cleaner", "9", "--currency", "USD"],
            DEVICE,
            'amount: 199.00, currency: "EUR"',
            "amount: 199.00, currency: USD",
        ),
        (
            "window-backward",
            ["run", "example-cleaner-high-1", "--window", "9", "3", "--because", "x"],
            RUN,
            "series: ",
            "window_min: {start: 9, end: 3, reason: x}\nseries: ",
        ),
    ],
)
def test_by_hand_or_by_command(
    code: str, command: list[str], record: str, old: str, new: str, bench: Path
) -> None:
    """What check says of a record edited by hand, the command says before it edits."""
    refused = run_tool(*command, cwd=bench)
    assert refused.returncode == 1
    path = bench / record
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    compiled = run_tool("compile", cwd=bench)
    assert compiled.returncode == 1
    assert _words(refused.stderr, code) == _words(compiled.stderr, code)
