"""What every command owes: help with an example that runs, --quiet, completion."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import click
import pytest

from sitegen.cli.commands import run, sitegen
from tests.cli.running import run_tool
from tests.conftest import Compiled

COMMANDS = sorted(sitegen.commands)
_EXAMPLE = re.compile(r"^ *(?:Examples?: )?(sitegen (?:.*\\\n)*.*)$", re.MULTILINE)


def examples(name: str) -> list[str]:
    """Return the examples in a command's help, as a terminal shows them."""
    command = sitegen.commands[name]
    context = click.Context(command, info_name=f"sitegen {name}", terminal_width=80)
    written = command.get_help(context)
    at = written.find("Example")
    found = _EXAMPLE.findall(written[at:]) if at >= 0 else []
    return [text.replace("\\\n", " ") for text in found]


ALL = [(name, text) for name in COMMANDS for text in examples(name)]


@pytest.mark.parametrize("name", COMMANDS)
def test_help_with_an_example(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each command explains itself, shows an example of itself, and can be quiet."""
    assert run([name, "--help"]) == 0
    told = capsys.readouterr().out
    assert "Example" in told
    assert "--quiet" in told
    assert examples(name)
    for text in examples(name):
        assert text.startswith(f"sitegen {name} ")


@pytest.fixture(scope="module")
def workplace(demo: Compiled, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration beside which the examples are typed, with its fits known."""
    archive = tmp_path_factory.mktemp("workplace") / "demo_site"
    unpublished = shutil.ignore_patterns("published")
    shutil.copytree(demo.archive, archive, ignore=unpublished)
    state = archive / ".sitegen" / "state"
    shutil.copytree(state, archive / ".sitegen" / "preview" / "state")
    return archive.parent


@pytest.mark.parametrize(("name", "text"), ALL, ids=[text for _, text in ALL])
def test_every_example_runs(
    name: str,
    text: str,
    workplace: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """What a help text shows works as it stands, typed beside the demonstration."""
    here = shutil.copytree(workplace, tmp_path / "here")
    monkeypatch.chdir(here)
    words = shlex.split(text)[1:]
    if name == "preview":
        _preview_runs(words, here)
        return
    if name == "release":
        # The first release: whether numbers changed since another is not asked here.
        shutil.rmtree(here / "demo_site/records/releases")
    code = run(words)
    told = capsys.readouterr()
    assert code == 0, told.err
    assert told.out or told.err


def _preview_runs(words: list[str], here: Path) -> None:
    """Start a preview, wait for its address, and end it as Ctrl-C does."""
    with subprocess.Popen(
        [sys.executable, "-m", "sitegen", *words, "--port", "0"],
        cwd=here,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as running:
        assert running.stdout is not None
        assert running.stdout.readline().startswith("http://127.0.0.1:")
        try:
            _interrupt(running)
        finally:
            running.kill()


def _interrupt(running: subprocess.Popen[str]) -> None:
    """Press Ctrl-C until it ends; the first may come before anybody listens."""
    for _ in range(60):
        running.send_signal(signal.SIGINT)
        try:
            running.wait(timeout=1)
        except subprocess.TimeoutExpired:
            continue
        return
    pytest.fail("the preview does not end")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_shells_get_a_script(shell: str, tmp_path: Path) -> None:
    """The script that the README names for each shell is printed, and is of it."""
    done = _completing(f"{shell}_source", {}, tmp_path)
    assert done.returncode == 0, done.stderr
    assert f"_SITEGEN_COMPLETE={shell}_complete" in done.stdout


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("sitegen wor", {"worklist"}),
        ("sitegen run example-cleaner-high-p", {"example-cleaner-high-power"}),
        ("sitegen price exam", {"example-cleaner", "example-filter"}),
        ("sitegen check --about price-", {"price-old", "price-older", "price-there"}),
        ("sitegen adopt dec", {"decay-1"}),
        ("sitegen run x --cause po", {"power_loss"}),
    ],
)
def test_what_a_shell_completes(typed: str, offered: set[str], tmp_path: Path) -> None:
    """Commands, options' values, ids of the archive at hand, and codes."""
    assert run_tool("start", "mine", "-q", cwd=tmp_path).returncode == 0
    words = typed.split()
    settings = {"COMP_WORDS": typed, "COMP_CWORD": str(len(words) - 1)}
    done = _completing("bash_complete", settings, tmp_path / "mine")
    found = {line.partition(",")[2] for line in done.stdout.splitlines()}
    assert found == offered


def _completing(
    what: str, settings: dict[str, str], cwd: Path
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "sitegen"],
        cwd=cwd,
        env={**os.environ, **settings, "_SITEGEN_COMPLETE": what},
        check=False,
        capture_output=True,
        text=True,
    )


def test_quiet_commands_print_results_alone(tmp_path: Path) -> None:
    """With --quiet nothing goes to stderr unless something is wrong."""
    assert run_tool("start", "mine", "-q", cwd=tmp_path).stderr == ""
    bench = tmp_path / "mine"
    for words in (
        ["compile", "-q"],
        ["check", "-q", "--today", "2026-01-20"],
        ["worklist", "-q", "--today", "2026-01-20"],
        ["addresses", "-q"],
        ["release", "-q", "--today", "2026-01-20"],
        ["pin", "two-speeds", "-q", "--today", "2026-01-20"],
        ["explain", "/devices/", "-q"],
        ["price", "example-cleaner", "189", "-q", "--on", "2026-01-21"],
    ):
        done = run_tool(*words, cwd=bench)
        assert done.returncode == 0, done.stderr
        assert done.stderr == ""


def test_group_help_lists_every_command() -> None:
    """``sitegen --help`` has a line for each command."""
    told = sitegen.get_help(click.Context(sitegen, info_name="sitegen"))
    assert all(re.search(rf"^  {name} ", told, re.MULTILINE) for name in COMMANDS)
