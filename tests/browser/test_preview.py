"""The preview as the tester sees it in the browser."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from sitegen.desk.start import Beginning, start_archive

pytestmark = pytest.mark.browser

LONG_MS = 60_000


@dataclass(frozen=True, slots=True)
class Previewed:
    """An archive under preview.

    Attributes:
        archive: its folder.
        address: where it is served.
    """

    archive: Path
    address: str


@pytest.fixture
def previewed(tmp_path: Path) -> Iterator[Previewed]:
    """A new archive, served by the command as a tester would run it."""
    archive = tmp_path / "mine"
    start_archive(
        archive, Beginning("Bench", "https://example.org/b/", "EUR", "metric")
    )
    process = subprocess.Popen(
        [sys.executable, "-m", "sitegen", "preview", str(archive), "--port", "0"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    assert process.stdout is not None
    address = ""
    for line in process.stdout:
        found = re.search(r"http://127\.0\.0\.1:\d+/", line)
        if found:
            address = found[0]
            break
    assert address, "the preview printed no address"
    yield Previewed(archive, address)
    process.terminate()
    process.stdout.read()
    process.wait(20)
    process.stdout.close()


def test_an_edit_reloads_a_fault_is_shown_and_recovers(
    page: Page, previewed: Previewed
) -> None:
    """A saved edit is seen at once; a fault with its place; then the page again."""
    record = previewed.archive / "records/devices/example-cleaner.yaml"
    before = record.read_text(encoding="utf-8")
    page.goto(f"{previewed.address}devices/example-cleaner/")
    expect(page.locator("h1")).to_have_text("Example cleaner")

    record.write_text(before.replace("name: Example", "name: Other"), encoding="utf-8")
    expect(page.locator("h1")).to_have_text("Other cleaner", timeout=LONG_MS)

    record.write_text(before + "\nnmae: x\n", encoding="utf-8")
    line = len(before.splitlines()) + 2
    told = page.get_by_text(f"example-cleaner.yaml:{line}:1")
    expect(told.first).to_be_visible(timeout=LONG_MS)
    # The last good page is still there behind it.
    expect(page.locator("h1")).to_have_text("Other cleaner")

    record.write_text(before, encoding="utf-8")
    expect(page.locator("h1")).to_have_text("Example cleaner", timeout=LONG_MS)
    expect(told).to_have_count(0)
    published = previewed.archive / "published"
    assert not published.exists()
