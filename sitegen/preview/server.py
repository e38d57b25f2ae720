"""The preview's server: one folder, on this machine only.

The published bytes never carry what the preview needs. The script that reloads the
page, its style and the looser policy are put into each page as it is served.
"""

from __future__ import annotations

import mimetypes
from collections.abc import AsyncIterator, Callable, Mapping
from pathlib import Path
from urllib.parse import urlsplit

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

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
_NO_STORE = {"Cache-Control": "no-store"}


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
        return Response(with_reload(make()), media_type="text/html", headers=_NO_STORE)

    async def page(request: Request) -> Response:
        return _served(folder, request.path_params["path"])

    async def own(request: Request) -> Response:
        name = request.path_params["name"]
        kinds = {"preview.js": "text/javascript", "preview.css": "text/css"}
        if name not in kinds:
            return Response(status_code=404)
        data = (own_files / name).read_bytes()
        return Response(data, media_type=kinds[name], headers=_NO_STORE)

    async def events(request: Request) -> Response:
        page = urlsplit(request.headers.get("referer", "")).path

        async def stream() -> AsyncIterator[str]:
            async for situation in bulletin.listen(page):
                yield f"data: {situation.as_json()}\n\n"

        return StreamingResponse(
            stream(), media_type="text/event-stream", headers=_NO_STORE
        )

    return Starlette(
        routes=[
            Route(f"{OWN}/events", events),
            Route(f"{OWN}/{{name}}", own),
            Route(f"{DESK}/{{name}}/", at_desk),
            Route("/{path:path}", page),
        ],
        middleware=[Middleware(TrustedHostMiddleware, allowed_hosts=list(HOSTS))],
    )


def _served(folder: Path, asked: str) -> Response:
    root = folder.resolve()
    if "\0" in asked:
        return Response(status_code=404)
    target = (root / asked).resolve()
    if not target.is_relative_to(root):
        return Response(status_code=404)
    if target.is_dir():
        if asked and not asked.endswith("/"):
            return RedirectResponse(f"/{asked}/", headers=_NO_STORE)
        target /= "index.html"
    if target.is_file():
        return _file(target, 200)
    missing = root / "404.html"
    if missing.is_file():
        return _file(missing, 404)
    return _page(_NOTHING, 404)


def _page(html: str, status: int) -> Response:
    return Response(
        with_reload(html), status, headers=_NO_STORE, media_type="text/html"
    )


def _file(path: Path, status: int) -> Response:
    try:
        data = path.read_bytes()
    except OSError:
        # It went since we looked; the page will be loaded again.
        return _page(_NOTHING, 404)
    media, _ = mimetypes.guess_type(path.name)
    if path.suffix == ".atom":
        media = "application/atom+xml"
    if media == "text/html":
        data = with_reload(data.decode("utf-8")).encode("utf-8")
    return Response(
        data,
        status,
        headers=_NO_STORE,
        media_type=media or "application/octet-stream",
    )


def with_reload(html: str) -> str:
    """Return a page with the preview's script, style and policy put in."""
    opened = html.replace(
        "default-src 'none';", "default-src 'none'; connect-src 'self';", 1
    )
    return opened.replace("</head>", _HEAD, 1)
