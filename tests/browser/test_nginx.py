"""The demonstration served by nginx as the README has it: under a path, compressed."""

from __future__ import annotations

import gzip
import http.client
import os
import re
import shutil
import socket
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from sitegen.archive_build.manifest import media_type
from tests.browser import test_everywhere as everywhere
from tests.browser.conftest import Watched
from tests.conftest import Compiled

NGINX = shutil.which("nginx") or shutil.which("nginx", path="/usr/sbin:/usr/local/sbin")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(NGINX is None, reason="needs Debian's nginx"),
]
README = Path(__file__).resolve().parents[2] / "README.md"
COMPRESSED = ("html", "css", "js", "json", "csv", "atom", "xml", "svg")
SMOKE = (
    "",
    "devices/ruddlesk-merl-200/",
    "runs/qh-0001/",
    "tables/everything/",
    "compare/",
    "c/merl-200-filters/",
    "data/",
)


def _free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


@pytest.fixture(scope="module")
def by_nginx(demo: Compiled, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the demonstration behind the README's own configuration."""
    (block,) = re.findall(r"```nginx\n(.*?)```", README.read_text("utf-8"), re.DOTALL)
    assert block.count("/srv/bench/published/") == 1
    block = block.replace("/srv/bench/published/", f"{demo.site}/")
    home = tmp_path_factory.mktemp("nginx")
    port = _free_port()
    (home / "nginx.conf").write_text(
        f"""
        {"user root;" if os.geteuid() == 0 else ""}
        pid {home}/pid;
        error_log {home}/error.log;
        daemon off;
        events {{}}
        http {{
            access_log off;
            client_body_temp_path {home}/a;
            proxy_temp_path {home}/b;
            fastcgi_temp_path {home}/c;
            uwsgi_temp_path {home}/d;
            scgi_temp_path {home}/e;
            server {{
                listen 127.0.0.1:{port};
                {block}
            }}
        }}
        """
    )
    assert NGINX is not None
    server = subprocess.Popen(
        [NGINX, "-e", f"{home}/error.log", "-c", f"{home}/nginx.conf"]
    )
    for _ in range(200):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                break
        assert server.poll() is None, (home / "error.log").read_text()
        time.sleep(0.05)
    yield f"http://127.0.0.1:{port}/bench/"
    server.terminate()
    server.wait(timeout=20)


def _asked(
    address: str, path: str, **headers: str
) -> tuple[int, dict[str, str], bytes]:
    host = address.split("/")[2]
    connection = http.client.HTTPConnection(host, timeout=10)
    connection.request("GET", f"/bench/{path}", headers=headers)
    answer = connection.getresponse()
    found = {name.lower(): value for name, value in answer.getheaders()}
    body = answer.read()
    connection.close()
    return answer.status, found, body


def test_every_kind_of_file_has_its_type_and_is_whole(
    by_nginx: str, demo: Compiled
) -> None:
    """One file of each ending comes with its media type, byte for byte."""
    files = demo.files()
    by_ending = {path.rpartition(".")[2]: path for path in sorted(files)}
    del by_ending["written"]
    assert len(by_ending) >= 12
    for ending, path in by_ending.items():
        status, headers, body = _asked(by_nginx, path)
        assert (status, body) == (200, files[path]), path
        assert headers["content-type"] == media_type(path), path
        assert headers["x-content-type-options"] == "nosniff"
        kept = re.search(r"^assets/[^/]+\.[0-9a-f]{10}\.[a-z]+$", path) is not None
        assert ("immutable" in headers["cache-control"]) == kept, path
        assert kept or headers["cache-control"] == "no-cache", path
        assert ending


def test_texts_are_compressed_and_media_are_not(by_nginx: str, demo: Compiled) -> None:
    """Text of some length is compressed where a browser takes it; pictures never."""
    files = demo.files()
    seen = set()
    for path, data in sorted(files.items()):
        ending = path.rpartition(".")[2]
        if len(data) < 2_000 or ending in seen or path.startswith("."):
            continue
        seen.add(ending)
        _, headers, body = _asked(by_nginx, path, **{"Accept-Encoding": "gzip"})
        if ending in COMPRESSED:
            assert headers.get("content-encoding") == "gzip", path
            assert gzip.decompress(body) == data, path
            assert len(body) < len(data) * 0.8, path
        else:
            assert "content-encoding" not in headers, path
    assert {"html", "js", "css", "csv", "json", "png", "jpg", "zip"} <= seen


def test_an_unchanged_file_is_not_sent_again(by_nginx: str) -> None:
    """A browser that has a page asks, and is told that it has it."""
    _, headers, _ = _asked(by_nginx, "devices/index.html")
    status, _, body = _asked(
        by_nginx, "devices/index.html", **{"If-None-Match": headers["etag"]}
    )
    assert (status, body) == (304, b"")


def test_what_is_missing_or_hidden_is_not_found(by_nginx: str) -> None:
    """Unknown addresses show the site's own page; the tool's list is not served."""
    for path in ("nowhere/", "devices/nowhere", ".written", "assets/"):
        status, _, body = _asked(by_nginx, path)
        assert status == 404, path
        if not path.startswith("."):
            assert b"</html>" in body
            assert b"Index of" not in body


def test_a_folder_without_its_slash_leads_to_its_page(by_nginx: str) -> None:
    """An address typed without the last slash leads on, below the path."""
    status, headers, _ = _asked(by_nginx, "devices")
    assert status == 301
    assert headers["location"].endswith("/bench/devices/")


@pytest.mark.parametrize("path", SMOKE)
def test_smoke_quiet_pages(watched: Watched, by_nginx: str, path: str) -> None:
    """A page works without an error and asks nobody else."""
    everywhere.test_a_page_is_quiet_and_asks_nobody_else(watched, by_nginx, path)


def test_smoke_links(page: Page, by_nginx: str, on_disk: str) -> None:
    """Links lead from page to page, served and on disk."""
    everywhere.test_links_lead_from_page_to_page_on_disk_and_served(
        page, on_disk, by_nginx
    )


def test_smoke_address_bar(page: Page, by_nginx: str) -> None:
    """The address bar shows the folder."""
    everywhere.test_the_address_bar_shows_the_folder(page, by_nginx)


def test_smoke_sorting(page: Page, by_nginx: str) -> None:
    """A table sorts."""
    page.goto(f"{by_nginx}tables/everything/")
    button = page.locator("th button:visible").first
    button.click()
    expect(
        page.locator("th[aria-sort='ascending'], th[aria-sort='descending']")
    ).to_have_count(1)


def test_smoke_chart(page: Page, by_nginx: str) -> None:
    """The interactive chart replaces the drawing once it comes into view."""
    page.goto(f"{by_nginx}devices/ruddlesk-merl-200/")
    chart = page.locator("figure .chart").first
    chart.scroll_into_view_if_needed()
    expect(chart.locator("svg")).to_be_visible(timeout=15_000)


def test_smoke_without_scripts(chromium: Browser, by_nginx: str) -> None:
    """Without scripts the page and its drawing stand all the same."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{by_nginx}devices/ruddlesk-merl-200/index.html")
    expect(page.locator("h1")).to_have_text("Merl 200")
    expect(page.locator("figure svg").first).to_be_visible()
    context.close()
