"""Code flows one way: each package imports only what stands before it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "sitegen"
ORDER = (
    "errors",
    "model",
    "load",
    "measure",
    "findings",
    "figures",
    "pages",
    "archive_build",
    ("desk", "preview"),
    "cli",
)
MAY_USE_REBUILD = {"archive_build", "preview", "cli", "rebuild"}


def _ranks() -> dict[str, int]:
    ranks: dict[str, int] = {}
    for rank, names in enumerate(ORDER):
        for name in (names,) if isinstance(names, str) else names:
            ranks[name] = rank
    return ranks


def _imports(path: Path) -> set[str]:
    """Return the packages of ours that a file imports, wherever in it."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            base = node.module or ""
            names = [base, *(f"{base}.{alias.name}" for alias in node.names)]
        for name in names:
            parts = name.split(".")
            if parts[0] == "sitegen" and len(parts) > 1:
                found.add(parts[1])
    return {name for name in found if (PACKAGE / name).is_dir()}


FILES = sorted(path for path in PACKAGE.rglob("*.py") if path.parent != PACKAGE)


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_point_one_way(path: Path) -> None:
    """A file imports only its own package and those that stand before it."""
    own = path.relative_to(PACKAGE).parts[0]
    ranks = _ranks()
    for other in _imports(path) - {own}:
        if other == "rebuild":
            assert own in MAY_USE_REBUILD, f"{path} uses the engine"
        elif own == "rebuild":
            assert other == "errors", f"the engine uses {other}"
        else:
            assert ranks[other] < ranks[own], f"{own} imports {other}"


def test_every_package_has_its_place() -> None:
    """No package stands outside the order."""
    packages = {
        path.name for path in PACKAGE.iterdir() if (path / "__init__.py").is_file()
    }
    assert packages == {*_ranks(), "rebuild"}
