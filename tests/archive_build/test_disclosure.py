"""Who pays is said before any link that earns, on every page that has one."""

from __future__ import annotations

import re
from pathlib import Path

from sitegen.archive_build import compile_archive, published_folders
from sitegen.desk.start import Beginning, start_archive
from tests.conftest import Compiled, site_files

_LINK = re.compile(r"<a [^>]*>")
SHOP = "https://shop.example.org/?via=bench"


def _disclosed_first(html: str, disclosure: str) -> bool:
    """Whether the disclosure stands before the first link that earns."""
    first = next(
        (found.start() for found in _LINK.finditer(html) if "sponsored" in found[0]),
        None,
    )
    return first is None or disclosure in html[:first]


def test_every_page_of_the_demonstration_discloses_first(demo: Compiled) -> None:
    """No page has a link that earns before it says so, and all are marked."""
    disclosure = "Links marked as sponsored would earn the invented co-operative"
    earning = 0
    for path, data in demo.files().items():
        if not path.endswith(".html"):
            continue
        html = data.decode()
        assert _disclosed_first(html, disclosure), path
        for link in _LINK.findall(html):
            if "via=quernholm" in link:
                earning += 1
                assert 'rel="sponsored nofollow noopener"' in link, path
    assert earning >= 8


def test_a_link_that_earns_in_a_text_is_marked_and_disclosed(tmp_path: Path) -> None:
    """A text's link with the title "sponsored" is marked, once the page has said so."""
    archive = tmp_path / "archive"
    start_archive(
        archive, Beginning("Bench", "https://example.org/b/", "EUR", "metric")
    )
    text = f'\n[A shop]({SHOP} "sponsored"), [again]({SHOP} "sponsored").\n'
    with (archive / "texts/glossary.md").open("a", encoding="utf-8") as file:
        file.write(text)
    change = archive / "records/changes/2026-03-01-shop.yaml"
    change.write_text(f"date: 2026-03-01\nkind: addition\ntext: |\n  {text.strip()}\n")
    outcome = compile_archive(published_folders(archive))
    assert outcome.report is not None, outcome.faults
    files = site_files(archive / "published")
    settings = (archive / "archive.yaml").read_text(encoding="utf-8")
    disclosure = " ".join(
        re.split(r"disclosure: >-?", settings)[1].split("\n\n")[0].split()
    )[:40]
    for path in ("glossary/index.html", "changes/index.html", "changes.atom"):
        page = files[path].decode()
        assert page.count(disclosure) >= 1, path
        assert "<!--" not in page
        if path.endswith(".html"):
            assert page.count('rel="sponsored nofollow noopener"') == 2
            assert _disclosed_first(page, disclosure)


def test_the_page_of_who_pays_names_every_unit(demo: Compiled) -> None:
    """How each device came to the bench stands on one page, with the bench's text."""
    html = (demo.site / "funding/index.html").read_text(encoding="utf-8")
    devices = list((demo.archive / "records/devices").glob("*.yaml"))
    held = [one for one in devices if "held: yes" in one.read_text(encoding="utf-8")]
    for device in set(devices) - set(held):
        assert f"devices/{device.stem}/index.html" in html, device.stem
    assert "Money and loans" in html
    assert "lending fees" in html
    for device in set(devices) - set(held):
        page = demo.site / "devices" / device.stem / "index.html"
        text = page.read_text(encoding="utf-8")
        assert "funding/index.html" in text
        head = text[: text.index("<dl")]
        assert "Bought" in head or "Lent" in head or "Given" in head, device.stem


def test_a_new_archive_says_who_pays(tmp_path: Path) -> None:
    """Without a text of its own the page shows what the settings say."""
    archive = tmp_path / "archive"
    start_archive(
        archive, Beginning("Bench", "https://example.org/b/", "EUR", "metric")
    )
    compile_archive(published_folders(archive))
    html = (archive / "published/funding/index.html").read_text(encoding="utf-8")
    assert "<h1>Who pays for this</h1>" in html
