"""A site served as a web server does, and a browser as slow as a cheap phone."""

from __future__ import annotations

import gzip
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

CPU_FACTOR = 4
"""How much slower than here the phone's processor is."""
ROUND_TRIP_MS = 150
DOWN_BIT_S = 1.6e6
UP_BIT_S = 0.75e6
"""A slow mobile network: the figures that browsers' makers publish for slow 4G."""

_COMPRESSED = (".html", ".css", ".js", ".json", ".csv", ".svg", ".xml", ".atom")


class Compressing(SimpleHTTPRequestHandler):
    """Serves a folder over kept connections, texts compressed."""

    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        """Answer with the file's bytes, compressed where it is text."""
        path = Path(self.translate_path(self.path.partition("?")[0]))
        if path.is_dir():
            path /= "index.html"
        if not path.is_file():
            self.send_response(404)
            self.send_header("Content-Length", "0")
            self.end_headers()
            return
        data = path.read_bytes()
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(str(path)))
        if path.suffix in _COMPRESSED:
            data = gzip.compress(data, 6)
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        # A page that has seen enough hangs up.
        with suppress(BrokenPipeError, ConnectionResetError):
            self.wfile.write(data)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - inherited
        """Say nothing."""


@contextmanager
def served(site: Path) -> Iterator[str]:
    """Serve a folder; yields its address."""
    handler = partial(Compressing, directory=str(site))
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()
    thread.join()


@contextmanager
def browser() -> Iterator[Browser]:
    """Start Debian's Chromium.

    Raises:
        FileNotFoundError: if it is not installed.
    """
    program = shutil.which("chromium")
    if program is None:
        message = "this bench needs Debian's chromium"
        raise FileNotFoundError(message)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(
            executable_path=program, args=["--no-sandbox"]
        )
        yield started
        started.close()


@contextmanager
def phone(started: Browser) -> Iterator[Page]:
    """Open a fresh page of a slow phone on a slow network, nothing kept from before."""
    context = started.new_context(
        viewport={"width": 360, "height": 740}, device_scale_factor=2, is_mobile=True
    )
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": CPU_FACTOR})
    session.send("Network.enable")
    session.send(
        "Network.emulateNetworkConditions",
        {
            "offline": False,
            "latency": ROUND_TRIP_MS,
            "downloadThroughput": DOWN_BIT_S / 8,
            "uploadThroughput": UP_BIT_S / 8,
        },
    )
    yield page
    context.close()


@contextmanager
def desk(started: Browser) -> Iterator[Page]:
    """Open a fresh page that nothing slows down."""
    context = started.new_context(viewport={"width": 1280, "height": 900})
    yield context.new_page()
    context.close()
