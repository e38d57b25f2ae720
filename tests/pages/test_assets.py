"""The lists of stylesheets, scripts and icons."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitegen.pages.assets import (
    CHART_RUNTIME,
    ICONS,
    JOINED,
    SCRIPTS,
    SINGLE,
    STYLES,
    STYLESHEET,
    joined,
)

ASSETS = Path(__file__).resolve().parents[2] / "assets"


PARTS = (*SINGLE, *(part for parts in JOINED.values() for part in parts))


@pytest.mark.parametrize(
    ("folder", "listed"), [("css", STYLES), ("js", PARTS), ("icons", ICONS)]
)
def test_list_and_folder_agree(folder: str, listed: tuple[str, ...]) -> None:
    """Each file of the folder is listed once, and each listed file is there."""
    found = sorted(path.name for path in (ASSETS / folder).iterdir())
    assert sorted(listed) == found


def test_published_names_differ() -> None:
    """No two files are published under one name."""
    names = [*SCRIPTS, *ICONS, STYLESHEET, CHART_RUNTIME]
    assert len(set(names)) == len(names)


def test_what_cannot_be_outdone_comes_first_and_print_last() -> None:
    """Cautions go before all; what other rules rest on is next, paper comes last."""
    assert STYLES[:2] == ("care.css", "tokens.css")
    assert STYLES[-1] == "print.css"


def test_joined() -> None:
    """Parts are joined in order, each on lines of its own, without marks within."""
    parts = [b"a{}\n\n", b"\xef\xbb\xbfb{}", b"c{}\r\n"]
    assert joined(parts) == b"a{}\nb{}\nc{}\n"
    assert joined([b"(f)()", b"(g)()\n"], b";\n") == b"(f)()\n;\n(g)()\n"
