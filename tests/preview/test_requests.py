"""The preview's server, asked with raw bytes as an attacker would."""

from __future__ import annotations

import os
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn

from sitegen.preview.server import make_server
from sitegen.preview.session import ADDRESS, bound_socket
from sitegen.preview.state import Bulletin

ROOT = Path(__file__).resolve().parent.parent.parent
SECRET = b"what nobody may read"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A compiled folder, with secrets beside and hidden in it."""
    site = tmp_path_factory.mktemp("preview") / "site"
    (site / "devices" / "alder").mkdir(parents=True)
    (site / "empty").mkdir()
    (site / "data").mkdir()
    for path in ("", "devices/", "devices/alder/"):
        (site / path / "index.html").write_text(
            "<html><head><meta content=\"default-src 'none'\"></head>home</html>"
        )
    (site / "404.html").write_text("<html><head></head>not here</html>")
    (site / "changes.atom").write_text("<feed/>")
    (site / "data" / "results.csv").write_text("device\r\n")
    (site / "odd #1?.txt").write_text("odd")
    (site / ".written").write_bytes(SECRET)
    (site / ".hidden").mkdir()
    (site / ".hidden" / "index.html").write_bytes(SECRET)
    (site.parent / "secret.txt").write_bytes(SECRET)
    (site.parent / "site-2").mkdir()
    (site.parent / "site-2" / "index.html").write_bytes(SECRET)
    (site / "link.txt").symlink_to(site.parent / "secret.txt")
    (site / "away").symlink_to(site.parent)
    (site / "devices" / "out").mkdir()
    (site / "devices" / "out" / "index.html").symlink_to(site.parent / "secret.txt")
    (site / "loop").symlink_to("loop")
    os.mkfifo(site / "pipe.txt")
    return site


@pytest.fixture(scope="module")
def listener() -> Iterator[socket.socket]:
    """The socket that a preview listens on."""
    found = bound_socket(0)
    yield found
    found.close()


@pytest.fixture(scope="module")
def port(site: Path, listener: socket.socket) -> Iterator[int]:
    """The port of a running server, as the preview runs it."""
    app = make_server(site, Bulletin(), ROOT / "assets" / "preview")
    config = uvicorn.Config(app, log_level="critical", lifespan="off")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield int(listener.getsockname()[1])
    server.should_exit = True
    thread.join()


def raw(port: int, request: bytes) -> bytes:
    """Return all that is answered to some bytes."""
    with socket.create_connection((ADDRESS, port), timeout=10) as stream:
        stream.sendall(request)
        stream.shutdown(socket.SHUT_WR)
        answer = b""
        while piece := stream.recv(65_536):
            answer += piece
    return answer


def asked(
    port: int, target: bytes, host: bytes = b"127.0.0.1", method: bytes = b"GET"
) -> tuple[int, dict[bytes, bytes], bytes]:
    """Return status, headers and body of one request."""
    request = method + b" " + target + b" HTTP/1.1\r\nHost: " + host
    answer = raw(port, request + b"\r\nConnection: close\r\n\r\n")
    head, _, body = answer.partition(b"\r\n\r\n")
    first, *lines = head.split(b"\r\n")
    headers = dict(line.lower().split(b": ", 1) for line in lines)
    return int(first.split(b" ")[1]), headers, body


def test_it_listens_on_loopback_only(listener: socket.socket, port: int) -> None:
    """The socket is bound to 127.0.0.1: no other address of the machine answers."""
    assert listener.getsockname() == ("127.0.0.1", port)
    others = {
        info[4][0]
        for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    } - {"127.0.0.1", "127.0.1.1"}
    for address in others:
        with pytest.raises(OSError, match=r".*"):
            socket.create_connection((str(address), port), timeout=2)


@pytest.mark.parametrize(
    "host",
    [
        b"evil.invalid",
        b"evil.invalid:80",
        b"127.0.0.1.evil.invalid",
        b"localhost.evil.invalid",
        b"evil.invalid#127.0.0.1",
        b"127.0.0.1@evil.invalid",
        b"2130706433",
        b"0.0.0.0",
        b"[::1]",
        b"",
        b"127.0.0.1\0",
    ],
)
def test_another_host_is_refused(port: int, host: bytes) -> None:
    """A name that leads here by trickery of the naming system is refused."""
    answer = raw(port, b"GET / HTTP/1.1\r\nHost: " + host + b"\r\n\r\n")
    assert answer.startswith(b"HTTP/1.1 400")
    assert b"home" not in answer


@pytest.mark.parametrize(
    "request_",
    [
        b"GET / HTTP/1.1\r\n\r\n",
        b"GET / HTTP/1.0\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nHost: evil.invalid\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: evil.invalid\r\nHost: 127.0.0.1\r\n\r\n",
        b"GET http://127.0.0.1/ HTTP/1.1\r\nHost: evil.invalid\r\n\r\n",
        b"\x16\x03\x01\x02\0",
    ],
)
def test_a_request_without_one_plain_host_is_refused(
    port: int, request_: bytes
) -> None:
    """Without a Host, with two, or as no HTTP at all, nothing is served."""
    answer = raw(port, request_)
    assert b"home" not in answer
    assert not answer or answer.split(b" ")[1] in {b"400", b"404", b"505"}


OUT = [
    b"/../secret.txt",
    b"/..%2fsecret.txt",
    b"/%2e%2e/secret.txt",
    b"/%2e%2e%2fsecret.txt",
    b"/devices/../../secret.txt",
    b"/devices/%2e%2e/%2e%2e/secret.txt",
    b"/..\\secret.txt",
    b"/..%5csecret.txt",
    b"/%252e%252e/secret.txt",
    b"/.%00./secret.txt",
    b"/....//secret.txt",
    b"//etc/passwd",
    b"/%2fetc/passwd",
    b"///etc/passwd",
    b"/etc/passwd",
    b"/C:/secret.txt",
    b"/../site-2/",
    b"/..%2fsite-2/index.html",
    b"/link.txt",
    b"/away/secret.txt",
    b"/away/",
    b"/away",
    b"/devices/out/",
    b"/devices/out/index.html",
    b"/loop",
    b"/loop/x",
    b"/.written",
    b"/.hidden/",
    b"/.hidden/index.html",
    b"/devices/../.written",
    b"/index.html/",
    b"/index.html/../.written",
    b"/%c0%ae%c0%ae/secret.txt",
    b"/\xc0\xae\xc0\xae/secret.txt",
    b"/%ff%fe",
    b"/" + b"a" * 5_000,
    b"/" + b"a/" * 3_000,
    b"/%00",
    b"/index.html%00.txt",
    b"/~root",
    b"/_preview/..%2f..%2fsecret.txt",
    b"/_preview/%2e%2e/%2e%2e/pyproject.toml",
    b"/_preview/preview.js/../../../pyproject.toml",
    b"/_preview/",
    b"/_preview/server.py",
    b"http://evil.invalid/secret.txt",
]


@pytest.mark.parametrize("target", OUT)
def test_no_path_leads_out(port: int, target: bytes) -> None:
    """Every way out, spelled in any way, ends at the page that says not here."""
    status, _, body = asked(port, target)
    assert status in {400, 404}, (status, body)
    assert SECRET not in body
    assert b"root:" not in body


@pytest.mark.parametrize("target", [b"/empty/", b"/data/", b"/data", b"/empty"])
def test_no_folder_is_listed(port: int, target: bytes) -> None:
    """A folder without a page of its own shows nothing of what is in it."""
    status, headers, body = asked(port, target)
    if status == 307:
        status, _, body = asked(port, headers[b"location"])
    assert status == 404
    assert b"results.csv" not in body


def test_a_folder_leads_on_within_the_server(port: int) -> None:
    """A folder's address without its slash leads to the one with it, here."""
    status, headers, _ = asked(port, b"/devices")
    assert (status, headers[b"location"]) == (307, b"/devices/")
    for target in (
        b"//devices",
        b"//evil.invalid",
        b"/\\evil.invalid",
        b"/devices//..//",
    ):
        status, headers, _ = asked(port, target)
        place = headers.get(b"location", b"/")
        assert place.startswith(b"/")
        assert not place.startswith((b"//", b"/\\"))


def test_odd_names_and_kinds(port: int) -> None:
    """A file is served under its name as it is, as what its ending says."""
    assert asked(port, b"/odd%20%231%3F.txt")[2] == b"odd"
    for target, media in (
        (b"/", b"text/html; charset=utf-8"),
        (b"/data/results.csv", b"text/csv; charset=utf-8"),
        (b"/changes.atom", b"application/atom+xml"),
        (b"/_preview/preview.js", b"text/javascript; charset=utf-8"),
    ):
        status, headers, _ = asked(port, target)
        assert (status, headers[b"content-type"]) == (200, media)


@pytest.mark.parametrize(
    ("method", "target", "status"),
    [
        (b"GET", b"/", 200),
        (b"HEAD", b"/", 200),
        (b"GET", b"/nowhere", 404),
        (b"GET", b"/devices", 307),
        (b"GET", b"/_preview/preview.css", 200),
        (b"POST", b"/", 405),
        (b"PUT", b"/new.html", 405),
        (b"DELETE", b"/index.html", 405),
        (b"OPTIONS", b"/", 405),
        (b"TRACE", b"/", 405),
    ],
)
def test_no_answer_is_kept_or_lent(
    port: int, site: Path, method: bytes, target: bytes, status: int
) -> None:
    """No answer may be cached, guessed at, or taken in by another site."""
    before = {path: path.stat().st_mtime_ns for path in site.glob("*.html")}
    found, headers, body = asked(port, target, method=method)
    assert found == status
    assert headers[b"cache-control"] == b"no-store"
    assert headers[b"x-content-type-options"] == b"nosniff"
    assert headers[b"cross-origin-resource-policy"] == b"same-origin"
    assert b"access-control-allow-origin" not in headers
    assert not {b"etag", b"last-modified", b"expires"} & set(headers)
    assert before == {path: path.stat().st_mtime_ns for path in site.glob("*.html")}
    if method == b"HEAD":
        assert body == b""


def test_conditions_and_ranges_change_nothing(port: int) -> None:
    """A browser that believes it has the page already is given it all the same."""
    answer = raw(
        port,
        b"GET / HTTP/1.1\r\nHost: localhost\r\nIf-None-Match: *\r\n"
        b"If-Modified-Since: Fri, 01 Jan 2100 00:00:00 GMT\r\nRange: bytes=0-1\r\n"
        b"Connection: close\r\n\r\n",
    )
    assert answer.startswith(b"HTTP/1.1 200")
    assert answer.endswith(b"home</html>")


def test_a_pipe_does_not_hold_the_server_up(port: int) -> None:
    """What is no file is not read, and the next request is answered."""
    assert asked(port, b"/pipe.txt")[0] == 404
    assert asked(port, b"/")[0] == 200


def test_a_file_that_goes_while_it_is_asked_for(port: int, site: Path) -> None:
    """A file made anew or gone is served whole or not at all, never as an error."""
    target = site / "moving.html"
    stop = threading.Event()

    def move() -> None:
        while not stop.is_set():
            target.write_text("<html><head></head>moving</html>")
            target.unlink()

    mover = threading.Thread(target=move)
    mover.start()
    try:
        statuses = {asked(port, b"/moving.html")[0] for _ in range(150)}
    finally:
        stop.set()
        mover.join()
    assert statuses <= {200, 404}
