"""A page in the other units is the page that an archive in those units publishes."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from sitegen.archive_build import compile_archive, published_folders
from sitegen.desk.start import Beginning, start_archive

TURNED = ("devices", "runs", "filters", "bench", "methods")


def turned(page: str) -> str:
    """Return the content of a page with its readings exchanged, as the script does."""
    page = re.sub(
        r'<span data-other="([^"]*)">[^<]*</span>',
        lambda found: html.unescape(found[1]),
        page,
    )
    page = re.sub(r"<svg data-drawn (?!hidden).*?</svg>", "", page, flags=re.DOTALL)
    page = page.replace("<svg data-drawn hidden", "<svg")
    return re.sub(r"<[^>]* data-others[^>]*>", _tag, page)


def _tag(found: re.Match[str]) -> str:
    tag = found[0].replace(" data-others", "")
    for name, value in re.findall(r' data-other-([a-z-]+)="([^"]*)"', tag):
        tag = re.sub(rf'( {name})="[^"]*"', rf'\1="{value}"', tag, count=1)
    return re.sub(r' data-other-[a-z-]+="[^"]*"', "", tag)


def plain(page: str) -> str:
    """Return the content of a page with its first readings alone."""
    page = re.sub(r'<span data-other="[^"]*">([^<]*)</span>', r"\1", page)
    page = re.sub(r"<svg data-drawn hidden.*?</svg>", "", page, flags=re.DOTALL)
    page = page.replace("<svg data-drawn", "<svg")
    page = re.sub(r' data-other-[a-z-]+="[^"]*"', "", page)
    return page.replace(" data-others", "")


def content(page: str) -> str:
    """Return what stands between the form for the units and the foot."""
    return html.unescape(
        page.partition("</form>")[2].partition('<footer class="foot')[0]
    )


@pytest.fixture(scope="module")
def in_us(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same archive in US units, published."""
    bench = tmp_path_factory.mktemp("us") / "bench"
    us = Beginning("My bench", "https://example.org/bench/", "EUR", "us")
    start_archive(bench, us)
    assert not compile_archive(published_folders(bench), workers=1).stopped
    return bench / "published"


def test_turned_pages_are_those_of_the_other_units(
    bench_compiled: Path, in_us: Path
) -> None:
    """Both ways, text for text, attribute for attribute."""
    metric = bench_compiled / "published"
    seen = 0
    for kind in TURNED:
        for path in sorted((metric / kind).rglob("index.html")):
            mine = path.read_text()
            there = (in_us / path.relative_to(metric)).read_text()
            if 'id="units"' not in mine:
                assert content(mine) == content(there)
                continue
            seen += 1
            assert content(turned(mine)) == content(plain(there)), path
            assert content(turned(there)) == content(plain(mine)), path
    assert seen >= 4
