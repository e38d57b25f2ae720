"""The worklist as a page beside the preview."""

from __future__ import annotations

import asyncio
import datetime as dt
from pathlib import Path

import html5lib
import pytest
from starlette.applications import Starlette
from starlette.types import Message

from sitegen.desk.start import Beginning, start_archive
from sitegen.preview.desk import WORKLIST, worklist_page
from sitegen.preview.server import make_server
from sitegen.preview.session import preview_folders
from sitegen.preview.state import Bulletin

ROOT = Path(__file__).resolve().parent.parent.parent
DAY = dt.date(2030, 1, 1)


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new archive."""
    folder = tmp_path_factory.mktemp("bench") / "mine"
    start_archive(folder, Beginning("B", "https://example.org/", "EUR", "metric"))
    return folder


def test_page_of_the_worklist(archive: Path) -> None:
    """It is whole HTML, names the day, and links the records concerned."""
    page = worklist_page(preview_folders(archive), DAY)
    html5lib.HTMLParser(strict=True).parse(page)
    assert "As of 2030-01-01." in page
    assert "natural decay" in page
    assert 'href="/runs/' in page
    assert "default-src 'none'" in page


def test_faults_stand_in_its_place(tmp_path: Path) -> None:
    """With faults the page tells them, inert, in place of a list."""
    start_archive(tmp_path, Beginning("B", "https://example.org/", "EUR", "metric"))
    settings = tmp_path / "archive.yaml"
    text = settings.read_text(encoding="utf-8") + '"<b>x": 1\n'
    settings.write_text(text, encoding="utf-8")
    page = worklist_page(preview_folders(tmp_path), DAY)
    html5lib.HTMLParser(strict=True).parse(page)
    assert "The records have faults" in page
    assert "<b>x" not in page


async def _answer(server: Starlette, path: str) -> tuple[int, bytes]:
    sent: list[Message] = []

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Message) -> None:
        sent.append(message)

    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "headers": [(b"host", b"127.0.0.1:8640")],
        "server": ("127.0.0.1", 8640),
        "client": ("127.0.0.1", 1),
    }
    await server(scope, receive, send)
    return sent[0]["status"], b"".join(m.get("body", b"") for m in sent[1:])


def _asked(server: Starlette, path: str) -> tuple[int, bytes]:
    return asyncio.run(_answer(server, path))


def test_served_below_desk_and_nowhere_else(tmp_path: Path) -> None:
    """The server makes the page when asked, with the script that reloads it."""
    made = iter(["<html><head></head>first</html>", "<html><head></head>second</html>"])
    server = make_server(
        tmp_path, Bulletin(), ROOT / "assets/preview", {WORKLIST: lambda: next(made)}
    )
    status, body = _asked(server, "/_desk/worklist/")
    assert (status, b"first" in body, b"preview.js" in body) == (200, True, True)
    assert b"second" in _asked(server, "/_desk/worklist/")[1]
    assert _asked(server, "/_desk/other/")[0] == 404
    assert _asked(server, "/worklist/")[0] == 404
