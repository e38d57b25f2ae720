"""A browser, a server, and an eye on what pages do that they should not."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.conftest import Compiled

SUB_PATH = "/some/where/"


class SubPathHandler(SimpleHTTPRequestHandler):
    """Serves the site under a sub-path and nothing else."""

    def translate_path(self, path: str) -> str:
        """Return the file of an address under the sub-path."""
        if not path.startswith(SUB_PATH):
            return str(Path(self.directory) / "no-such-file")
        return super().translate_path("/" + path.removeprefix(SUB_PATH))

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - inherited
        """Say nothing."""


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """Debian's Chromium; its absence is a failure, not a reason to skip.

    Gone again when a module's tests are done: it keeps an event loop running, in
    which tests that start one of their own could not.
    """
    program = shutil.which("chromium")
    assert program, "the browser tests need Debian's chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=program, args=["--no-sandbox"]
        )
        yield browser
        browser.close()


@contextmanager
def serving(site: Path) -> Iterator[str]:
    """Serve a folder under a sub-path; yields its address."""
    handler = partial(SubPathHandler, directory=str(site))
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}{SUB_PATH}"
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.fixture(scope="session")
def served(demo: Compiled) -> Iterator[str]:
    """Address of the demonstration, served under a sub-path."""
    with serving(demo.site) as address:
        yield address


@pytest.fixture(scope="session")
def on_disk(demo: Compiled) -> str:
    """Address of the demonstration's folder."""
    return f"{demo.site.as_uri()}/"


@dataclass
class Watched:
    """A page, and what it did.

    Attributes:
        page: the page.
        errors: errors and warnings that the console was told.
        requests: addresses that were asked for.
    """

    page: Page
    errors: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)


def watch(page: Page) -> Watched:
    """Return a page under watch."""
    watched = Watched(page)
    page.on("pageerror", lambda error: watched.errors.append(str(error)))
    page.on(
        "console",
        lambda message: (
            watched.errors.append(message.text)
            if message.type in {"error", "warning"}
            else None
        ),
    )
    page.on("request", lambda request: watched.requests.append(request.url))
    return watched


def page_widths(page: Page) -> tuple[int, int]:
    """Return how wide a page's content is, and how wide the window, px."""
    content, window = page.evaluate(
        "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
    )
    return content, window


@pytest.fixture
def watched(chromium: Browser) -> Iterator[Watched]:
    """A fresh page on a desk, of a browser whose own language is English."""
    context = chromium.new_context(
        locale="en-US", viewport={"width": 1280, "height": 900}
    )
    yield watch(context.new_page())
    context.close()


@pytest.fixture
def page(watched: Watched) -> Page:
    """A fresh page on a desk, of a browser whose own language is English."""
    return watched.page
