"""Worker processes end with the compile that started them."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

HOLD = """
import os, sys, time
from pathlib import Path
from sitegen.archive_build.folders import published_folders
from sitegen.archive_build.pool import process_pool

def main():
    with process_pool(published_folders(Path(sys.argv[1])), 2) as pool:
        print(pool.submit(os.getpid).result(), flush=True)
        pool.submit(time.sleep, 600).result()

if __name__ == "__main__":
    main()
"""


def _runs(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8")
    except FileNotFoundError:
        return False
    return state.rpartition(")")[2].split()[0] != "Z"


def test_workers_end_when_the_compile_is_killed(tmp_path: Path) -> None:
    """After SIGKILL no worker is left waiting for work that will never come."""
    script = tmp_path / "hold.py"
    script.write_text(HOLD, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, str(script), str(tmp_path)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    ) as process:
        try:
            assert process.stdout is not None
            worker = int(process.stdout.readline())
            assert _runs(worker)
        finally:
            process.kill()
    for _ in range(600):
        if not _runs(worker):
            return
        time.sleep(0.1)
    raise AssertionError(worker)
