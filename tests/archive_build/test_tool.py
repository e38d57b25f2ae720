"""The tool's digest knows of everything that can change a result."""

from __future__ import annotations

import ast
import re
import sys
from importlib.metadata import PackageNotFoundError, packages_distributions, requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from sitegen.archive_build import tool

PACKAGE = Path(tool.__file__).resolve().parent.parent
# What steps are made of; ``cluster`` only says where they run.
LAYERS = ("model", "load", "measure", "findings", "figures", "pages", "archive_build")
NOT_OF_STEPS = {"cluster.py"}


def _stem(name: str) -> str:
    return re.sub(r"[-_.]+", "_", name).lower()


def _imported() -> set[str]:
    """Return the distributions that our code imports, wherever in it."""
    homes = packages_distributions()
    found: set[str] = set()
    for layer in LAYERS:
        for path in (PACKAGE / layer).rglob("*.py"):
            if path.name in NOT_OF_STEPS:
                continue
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                names = []
                if isinstance(node, ast.Import):
                    names = [alias.name for alias in node.names]
                elif isinstance(node, ast.ImportFrom):
                    names = [node.module or ""]
                for name in names:
                    top = name.partition(".")[0]
                    if top not in sys.stdlib_module_names and top != "sitegen":
                        found.update(homes[top])
    return found


def _with_what_they_rest_on(names: set[str]) -> set[str]:
    """Return distributions with all that is installed for them, extras left out."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if _stem(name) in found:
            continue
        try:
            rests_on = requires(name) or []
        except PackageNotFoundError:
            continue  # for another system or an older Python
        found.add(_stem(name))
        waiting += [
            line.name
            for line in map(Requirement, rests_on)
            if line.marker is None or line.marker.evaluate({"extra": ""})
        ]
    return found


def test_every_distribution_that_steps_rest_on_counts() -> None:
    """No library that could change a byte is left out of the digest."""
    known = set(tool._DISTRIBUTIONS)  # noqa: SLF001
    assert _with_what_they_rest_on(_imported()) - known == set()


def test_another_version_of_a_library_is_another_tool(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The digest follows the versions installed, and nothing else beside them."""
    packages = tmp_path / "site-packages"
    (packages / "MarkupSafe-3.0.dist-info").mkdir(parents=True)
    monkeypatch.setattr(sys, "path", [str(packages)])
    first = tool.tool_digest()
    (packages / "unrelated-1.0.dist-info").mkdir()
    assert tool.tool_digest() == first
    (packages / "MarkupSafe-3.0.dist-info").rename(
        packages / "MarkupSafe-3.1.dist-info"
    )
    assert tool.tool_digest() != first
