"""The preview's server: one folder, on this machine only.

The published bytes never carry what the preview needs. The script that reloads the
page, its style and the looser policy are put into each page as it is served.
"""

from __future__ import annotations

import os
from collections.abc import AsyncIterator, Callable, Mapping
from pathlib import Path
from urllib.parse import quote, urlsplit

from starlette.applications import Starlette
from starlette.datastructures import MutableHeaders
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from sitegen.archive_build.manifest import media_type
from sitegen.preview.state import Bulletin

HOSTS = ("127.0.0.1", "localhost")
OWN = "/_preview"
DESK = "/_desk"
_HEAD = (
    f'<link rel="stylesheet" href="{OWN}/preview.css">'
    f'<script src="{OWN}/preview.js" defer></script></head>'
)
# With a head, so that it is loaded again and shows faults like any other page.
_NOTHING = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8">'
    "<title>Preview</title></head><body><p>Nothing has been compiled yet.</p>"
    "</body></html>"
)
# On every answer, refusals too. What is held is shown here: no other site that is open
# in the browser may take it in as a script or picture, and no cache may keep it.
_ALWAYS = {
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}


class _Headed:
    """Puts the headers on every answer.

    Args:
        app: what answers.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def headed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _ALWAYS.items():
                    headers[name] = value
            await send(message)

        await self._app(scope, receive, headed)


def make_server(
    folder: Path,
    bulletin: Bulletin,
    own_files: Path,
    desk: Mapping[str, Callable[[], str]] | None = None,
) -> Starlette:
    """Return the application that serves one compiled folder.

    Args:
        folder: the compiled site.
        bulletin: tells when it was compiled anew.
        own_files: folder with ``preview.js`` and ``preview.css``.
        desk: what makes each page below ``/_desk/``, by name; made anew when asked
            for, so that it costs a save nothing.
    """
    pages = desk or {}

    def at_desk(request: Request) -> Response:
        make = pages.get(request.path_params["name"])
        if make is None:
            return Response(status_code=404)
        return _page(make(), 200)

    async def page(request: Request) -> Response:
        return _served(folder, request.path_params["path"])

    async def own(request: Request) -> Response:
        name = request.path_params["name"]
        kinds = {"preview.js": "text/javascript", "preview.css": "text/css"}
        if name not in kinds:
            return Response(status_code=404)
        data = (own_files / name).read_bytes()
        return Response(data, media_type=kinds[name])

    async def events(request: Request) -> Response:
        page = urlsplit(request.headers.get("referer", "")).path

        async def stream() -> AsyncIterator[str]:
            async for situation in bulletin.listen(page):
                yield f"data: {situation.as_json()}\n\n"

        return StreamingResponse(stream(), media_type="text/event-stream")

    return Starlette(
        routes=[
            Route(f"{OWN}/events", events),
            Route(f"{OWN}/{{name}}", own),
            Route(f"{DESK}/{{name:path}}/", at_desk),
            Route("/{path:path}", page),
        ],
        middleware=[
            Middleware(_Headed),
            Middleware(
                TrustedHostMiddleware, allowed_hosts=list(HOSTS), www_redirect=False
            ),
        ],
    )


def _served(folder: Path, asked: str) -> Response:
    root = folder.resolve()
    try:
        found = _found(root, asked)
        if isinstance(found, Response):
            return found
        return _file(found, 200)
    except (OSError, ValueError):
        # A name that no system could have, or a file that is being made anew.
        return _missing(root)


def _found(root: Path, asked: str) -> Path | Response:
    """Return the file asked for, or where to ask instead.

    Raises:
        OSError: if there is none.
        ValueError: if there can be none of that name.
    """
    # Unlike the method of a path, this takes a link that leads to itself for nothing.
    target = Path(os.path.realpath(root / asked))
    inside = target.relative_to(root)
    # Hidden files are the tool's own notes.
    if any(part.startswith(".") for part in (*inside.parts, *asked.split("/"))):
        raise FileNotFoundError(asked)
    if target.is_dir():
        if asked and not asked.endswith("/"):
            return RedirectResponse(quote(f"/{inside.as_posix()}/"))
        target = Path(os.path.realpath(target / "index.html"))
    elif asked.endswith("/"):
        raise FileNotFoundError(asked)
    if not target.is_relative_to(root) or not target.is_file():
        raise FileNotFoundError(asked)
    return target


def _missing(root: Path) -> Response:
    try:
        return _file(root / "404.html", 404)
    except OSError:
        return _page(_NOTHING, 404)


def _page(html: str, status: int) -> Response:
    return Response(with_reload(html), status, media_type="text/html")


def _file(path: Path, status: int) -> Response:
    data = path.read_bytes()
    media = media_type(path.name)
    if media.startswith("text/html"):
        data = with_reload(data.decode("utf-8")).encode("utf-8")
    return Response(data, status, media_type=media)


def with_reload(html: str) -> str:
    """Return a page with the preview's script, style and policy put in."""
    opened = html.replace(
        "default-src 'none';", "default-src 'none'; connect-src 'self';", 1
    )
    return opened.replace("</head>", _HEAD, 1)
