"""What is installed from the built wheel works without the checkout."""

from __future__ import annotations

import subprocess
import sys
import venv
from pathlib import Path

from tests.conftest import ROOT, copied


def test_the_wheel_alone_compiles_the_demonstration(tmp_path: Path) -> None:
    """Installed into an empty environment, away from the checkout, it compiles."""
    wheels = tmp_path / "wheels"
    subprocess.run(
        [
            sys.executable,
            "-m",
            "build",
            "--wheel",
            "--no-isolation",
            "--outdir",
            str(wheels),
            str(ROOT),
        ],
        check=True,
        capture_output=True,
    )
    (wheel,) = wheels.glob("*.whl")
    venv.create(tmp_path / "empty", with_pip=True)
    python = tmp_path / "empty" / "bin" / "python"
    subprocess.run(
        [
            str(python),
            "-m",
            "pip",
            "install",
            "--quiet",
            "-c",
            str(ROOT / "constraints.txt"),
            str(wheel),
        ],
        check=True,
        capture_output=True,
    )
    archive = copied(ROOT / "demo_site", tmp_path / "archive")
    done = subprocess.run(
        [str(tmp_path / "empty" / "bin" / "sitegen"), "compile", str(archive)],
        cwd=tmp_path,
        check=False,
        capture_output=True,
        text=True,
        env={"PATH": "/usr/bin:/bin"},
    )
    assert done.returncode == 0, done.stderr
    assert (archive / "published" / "index.html").is_file()
    assert list((archive / "published" / "assets").glob("site.*.css"))
