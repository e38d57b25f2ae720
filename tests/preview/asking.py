"""Asks the preview's server for a page, without a socket."""

from __future__ import annotations

import asyncio

from starlette.applications import Starlette
from starlette.types import Message


async def _asked(
    server: Starlette, path: str, host: str = "127.0.0.1:8640"
) -> tuple[int, dict[str, str], bytes]:
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
        "headers": [(b"host", host.encode())],
        "server": ("127.0.0.1", 8640),
        "client": ("127.0.0.1", 1),
    }
    await server(scope, receive, send)
    start = sent[0]
    headers = {key.decode(): value.decode() for key, value in start["headers"]}
    body = b"".join(m.get("body", b"") for m in sent[1:])
    return start["status"], headers, body


def asked(
    server: Starlette, path: str, host: str = "127.0.0.1:8640"
) -> tuple[int, dict[str, str], bytes]:
    """Return status, headers and body of one request."""
    return asyncio.run(_asked(server, path, host))
