"""The tool's own version, as a digest that changes whenever results could.

Standard library only: this is asked on every compile, also when nothing changed.
"""

from __future__ import annotations

import hashlib
import os
import sys
from pathlib import Path

# Distributions that the steps import, with those that these rest on in turn, by the
# stem of their metadata folder; a test holds that none is missing.
_DISTRIBUTIONS = (
    "altair",
    "annotated_types",
    "attrs",
    "babel",
    "feedgen",
    "jinja2",
    "jsonschema",
    "jsonschema_specifications",
    "lxml",
    "markdown_it_py",
    "markupsafe",
    "mdit_py_plugins",
    "mdurl",
    "narwhals",
    "numpy",
    "packaging",
    "pandas",
    "pillow",
    "pydantic",
    "pydantic_core",
    "python_dateutil",
    "pyyaml",
    "referencing",
    "rpds_py",
    "scipy",
    "segno",
    "typing_extensions",
    "typing_inspection",
    "tzdata",
    "vl_convert_python",
)


def tool_digest() -> str:
    """Return a digest of our sources, the interpreter and what the steps import."""
    package = Path(__file__).resolve().parent.parent
    digest = hashlib.sha256(sys.version.encode())
    for path in sorted(_sources(package)):
        digest.update(path[len(str(package)) :].encode())
        with open(path, "rb") as file:  # noqa: PTH123 - the fast path avoids pathlib
            digest.update(hashlib.sha256(file.read()).digest())
    for name in sorted(_distributions()):
        digest.update(name.encode())
    return digest.hexdigest()


def _sources(package: Path) -> list[str]:
    found: list[str] = []
    folders = [str(package)]
    while folders:
        with os.scandir(folders.pop()) as entries:
            for entry in entries:
                if entry.name.endswith(".py"):
                    found.append(entry.path)
                elif entry.is_dir() and not entry.name.startswith(("_", ".")):
                    folders.append(entry.path)
    return found


def _distributions() -> set[str]:
    found: set[str] = set()
    for folder in sys.path:
        if not folder.endswith("-packages"):
            continue
        try:
            names = os.listdir(folder)  # noqa: PTH208 - the fast path avoids pathlib
        except OSError:
            continue
        for name in names:
            stem = name.partition("-")[0].lower()
            if name.endswith(".dist-info") and stem in _DISTRIBUTIONS:
                found.add(name)
    return found
