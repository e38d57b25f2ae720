"""The preview's server serves one folder, to this machine, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.applications import Starlette

from sitegen.preview.server import make_server, with_reload
from sitegen.preview.state import Bulletin
from tests.preview.asking import asked

ROOT = Path(__file__).resolve().parent.parent.parent


@pytest.fixture
def server(tmp_path: Path) -> Starlette:
    """A server over a small compiled folder, with a secret beside it."""
    site = tmp_path / "site"
    (site / "devices").mkdir(parents=True)
    (site / "index.html").write_text(
        "<html><head><meta content=\"default-src 'none'; img-src 'self'\">"
        "</head></html>"
    )
    (site / "devices" / "index.html").write_text("<html><head></head>devices</html>")
    (site / "404.html").write_text("<html><head></head>not here</html>")
    (tmp_path / "secret.txt").write_text("secret")
    (site / "out.txt").symlink_to(tmp_path / "secret.txt")
    return make_server(site, Bulletin(), ROOT / "assets" / "preview")


def test_a_page_gets_the_reload_script_on_the_fly(server: Starlette) -> None:
    """What is served carries the preview's script, what lies on disk does not."""
    status, headers, body = asked(server, "/")
    assert status == 200
    assert b"/_preview/preview.js" in body
    assert b"connect-src 'self'" in body
    assert headers["cache-control"] == "no-store"


def test_a_folder_without_its_slash_is_sent_on(server: Starlette) -> None:
    """A folder's address without the slash redirects to the one with it."""
    status, headers, _ = asked(server, "/devices")
    assert (status, headers["location"]) == (307, "/devices/")


def test_what_is_missing_gets_the_site_s_own_page(server: Starlette) -> None:
    """An unknown address answers 404 with the site's own page."""
    status, _, body = asked(server, "/nowhere/")
    assert status == 404
    assert b"not here" in body


@pytest.mark.parametrize(
    "path", ["/../secret.txt", "/devices/../../secret.txt", "/out.txt", "/%2e%2e/x"]
)
def test_nothing_outside_the_folder_is_served(server: Starlette, path: str) -> None:
    """No path and no link leads out of the compiled folder."""
    status, _, body = asked(server, path)
    assert status == 404
    assert body != b"secret"


@pytest.mark.parametrize("host", ["example.org", "evil.test:8640"])
def test_another_host_is_refused(server: Starlette, host: str) -> None:
    """A request that names another host is refused."""
    status, _, _ = asked(server, "/", host)
    assert status == 400


def test_reload_is_put_in_once() -> None:
    """Only the head's end gets the script, whatever the page's text says."""
    html = "<head></head><p>&lt;/head&gt;</p></head>"
    assert with_reload(html).count("preview.js") == 1
