"""Cautions, where an archive's own stylesheet would rather not show them."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

from sitegen.archive_build import compile_archive, published_folders
from sitegen.desk.start import Beginning, start_archive
from tests.browser.conftest import serving

HIDING = (
    ".care { display: none !important }",
    "div.care[role] { visibility: hidden !important; opacity: 0 !important }",
    ".care { position: absolute !important; left: -99rem !important }",
    ".care { height: 0 !important; overflow: hidden !important }",
    ".care { clip-path: circle(0) !important; transform: scale(0) !important }",
    ".care p, .care h3 { display: none !important }",
    "@layer care { .care { display: none !important } }",
)

# How large the text of each caution is drawn, and where; px.
SEEN = """() => [...document.querySelectorAll(".care h3, .care p")].map((e) => {
  const box = e.getBoundingClientRect();
  return {
    seen: e.checkVisibility({ opacityProperty: true, visibilityProperty: true }),
    left: box.left, width: box.width, height: box.height,
  };
})"""


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive, for styles of one's own."""
    folder = tmp_path_factory.mktemp("styled") / "archive"
    start_archive(folder, Beginning())
    return folder


def test_no_stylesheet_hides_a_caution(page: Page, archive: Path) -> None:
    """Whatever the archive's stylesheets say, each caution is drawn where it stands."""
    css = archive / "own" / "assets" / "css"
    css.mkdir(parents=True)
    (css / "care.css").write_text(".care { display: none !important }\n")
    (css / "print.css").write_text("\n".join(HIDING))
    folders = published_folders(archive)
    assert not compile_archive(folders, workers=1).stopped
    with serving(folders.out) as address:
        page.goto(address + "devices/example-cleaner/")
        parts = page.evaluate(SEEN)
    assert len(parts) > 4
    for part in parts:
        assert part["seen"]
        assert part["left"] >= 0
        assert part["width"] > 100
        assert part["height"] > 10
