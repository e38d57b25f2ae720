"""Runs the tool as a tester does, in a process of its own."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path


def run_tool(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run one command in a folder and return what it said."""
    return subprocess.run(
        [sys.executable, "-m", "sitegen", *words],
        cwd=cwd,
        check=False,
        capture_output=True,
        text=True,
    )
