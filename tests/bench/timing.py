"""Running commands in processes of their own, and what they took."""

from __future__ import annotations

import hashlib
import os
import platform
import shutil
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

# Runs a command of sitegen and tells the peak memory of this process alone.
_CLI = """
import resource, sys
from sitegen.cli.commands import run
code = run(sys.argv[1:])
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print("peak", peak // 1024 if sys.platform == "darwin" else peak)
sys.exit(code)
"""


@dataclass(frozen=True, slots=True)
class Took:
    """What a command took.

    Attributes:
        seconds: from start to end of the process.
        cpu_s: processor time of the process and those that it started; unlike the
            other it hardly depends on what else the machine does.
        peak_mb: largest memory of the process itself, MB; 0 where it was not asked.
    """

    seconds: float
    cpu_s: float
    peak_mb: float = 0.0


def took(command: Sequence[str], folder: Path | None = None) -> Took:
    """Run a command and say how long it took.

    Raises:
        CalledProcessError: if it fails.
    """
    before = os.times()
    started_s = time.perf_counter()
    done = subprocess.run(
        command, check=True, capture_output=True, text=True, cwd=folder
    )
    seconds = time.perf_counter() - started_s
    after = os.times()
    cpu_s = after.children_user + after.children_system
    cpu_s -= before.children_user + before.children_system
    last = done.stdout.strip().rpartition("\n")[2].split()
    peak = float(last[1]) / 1000 if last[:1] == ["peak"] else 0.0
    return Took(seconds, cpu_s, peak)


def sitegen(*arguments: str) -> list[str]:
    """Return the command as a user starts it."""
    return [sys.executable, "-m", "sitegen.cli", *arguments]


def sitegen_measured(*arguments: str) -> list[str]:
    """Return the command with its peak memory told at the end."""
    return [sys.executable, "-c", _CLI, *arguments]


def median_s(times: int, *acts: Callable[[], float]) -> list[float]:
    """Return the median of each act's seconds; they take turns."""
    found: list[list[float]] = [[] for _ in acts]
    for _ in range(times):
        for each, act in zip(found, acts, strict=True):
            each.append(act())
    return [statistics.median(each) for each in found]


def ninja_took(folder: Path, inputs: int, outputs: int) -> Callable[[], float] | None:
    """Build as many files with ninja once; return what times its doing nothing.

    One command a file, each with one input; None where there is no ninja.
    """
    program = shutil.which("ninja")
    if program is None:
        return None
    (folder / "in").mkdir(parents=True)
    for at in range(inputs):
        (folder / f"in/{at}").touch()
    lines = ["rule make", "  command = : > $out"]
    lines += [f"build out/{at}: make in/{at % inputs}" for at in range(outputs)]
    (folder / "build.ninja").write_text("\n".join(lines) + "\n", encoding="utf-8")
    took([program], folder)
    return lambda: took([program], folder).seconds


def snapshot(folder: Path) -> dict[str, tuple[int, str]]:
    """Return time of writing and digest of every file below a folder."""
    found = {}
    for place, _, names in os.walk(folder):
        for name in names:
            path = Path(place, name)
            digest = hashlib.sha256(path.read_bytes()).hexdigest()
            found[str(path.relative_to(folder))] = (path.stat().st_mtime_ns, digest)
    return found


def machine() -> str:
    """Return what the figures were taken with."""
    names = ("numpy", "scipy", "pandas", "altair", "vl-convert-python", "pydantic")
    libraries = ", ".join(f"{name} {version(name)}" for name in (*names, "jinja2"))
    return (
        f"{os.cpu_count()} cores, {platform.system()} {platform.machine()}, "
        f"{platform.python_implementation()} {platform.python_version()}; {libraries}"
    )
