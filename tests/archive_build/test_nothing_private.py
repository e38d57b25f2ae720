"""Nothing of the machine, its user or the moment gets into what is published."""

from __future__ import annotations

import datetime as dt
import getpass
import io
import os
import re
import socket
import struct
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from sitegen.desk.start import Beginning, start_archive
from tests.conftest import Compiled, site_files

ROOT = Path(__file__).resolve().parents[2]
# Chunks of a PNG in which programs write texts, times and places.
PNG_TOLD = {b"tEXt", b"zTXt", b"iTXt", b"tIME", b"eXIf"}
# Paths that only a machine has; a link of the site begins with neither.
MACHINE = re.compile(rb"/(?:home|root|tmp|Users|var|private|usr|opt|mnt|work)/[\w.-]")
# Names that many texts hold anyway say nothing.
COMMON = {"root", "user", "admin", "localhost", "runner", "build"}


def _contents(files: dict[str, bytes]) -> Iterator[tuple[str, bytes]]:
    """Yield every file, and every file inside a zipped one."""
    for path, data in files.items():
        yield path, path.encode()
        yield path, data
        if path.endswith(".zip"):
            with zipfile.ZipFile(io.BytesIO(data)) as packed:
                yield path, packed.comment
                for entry in packed.infolist():
                    assert entry.date_time == (1980, 1, 1, 0, 0, 0), path
                    yield path, entry.extra + entry.comment
                    yield f"{path}:{entry.filename}", packed.read(entry)


def _png_chunks(data: bytes) -> Iterator[bytes]:
    at = 8
    while at + 8 <= len(data):
        size, kind = struct.unpack_from(">I4s", data, at)
        yield kind
        at += 12 + size


def test_no_path_user_or_host_of_this_machine(demo: Compiled) -> None:
    """The demonstration holds no absolute path, user name or host name."""
    names = {
        getpass.getuser(),
        socket.gethostname(),
        socket.getfqdn(),
        Path.home().name,
    }
    names |= {demo.archive.parent.name, demo.archive.parent.parent.name}
    wanted = [name.encode() for name in names - COMMON if len(name) > 3]
    assert wanted
    for path, data in _contents(demo.files()):
        assert not MACHINE.search(data), (path, MACHINE.search(data))
        assert not [name for name in wanted if name in data], path


def test_no_moment_of_the_compile(demo: Compiled) -> None:
    """No day or time of the compile stands in any file, in no usual spelling."""
    # The day may have changed while it was compiled; the records are all older.
    days = [dt.datetime.now(dt.UTC).date() - dt.timedelta(days=at) for at in range(2)]
    spelled = []
    for day in days:
        spelled += [
            day.isoformat(),
            day.strftime("%d %b %Y"),
            day.strftime("%Y:%m:%d"),
            day.strftime("%Y%m%d"),
            f"{day.day} {day:%B} {day.year}",
        ]
    records = "".join(
        path.read_text(encoding="utf-8")
        for path in (demo.archive / "records").rglob("*.yaml")
    )
    assert days[1].isoformat() not in records
    for path, data in _contents(demo.files()):
        if not path.endswith((".png", ".jpg")):
            assert not [text for text in spelled if text.encode() in data], path


def test_no_remark_in_any_picture(demo: Compiled) -> None:
    """No picture that is published holds a text, a time or a place."""
    pictures = 0
    for path, data in demo.files().items():
        if path.endswith(".png"):
            assert set(_png_chunks(data)) & PNG_TOLD == set(), path
            pictures += 1
        elif path.endswith(".jpg"):
            # Segments APP1 (EXIF, XMP), APP13 (captions) and COM (remarks).
            head = data[: data.index(b"\xff\xda")]
            for mark in (b"\xff\xe1", b"\xff\xed", b"\xff\xfe"):
                assert mark not in head, path
            assert b"Exif" not in data, path
            pictures += 1
    assert pictures > 30


STRANGER = """
import os, platform, socket
socket.gethostname = lambda: "zanzibar-host"
socket.getfqdn = lambda *_: "zanzibar-host.invalid"
platform.node = lambda: "zanzibar-host"
"""


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Pacific/Pago_Pago"])
def test_another_user_elsewhere_publishes_the_same(tmp_path: Path, zone: str) -> None:
    """User, home, host, folder and time zone change no byte and stand in no file."""
    sites = []
    for user in ("quagga", "okapi"):
        home = tmp_path / f"home-of-{user}"
        archive = home / "bench"
        plain = Beginning("My bench", "https://example.org/bench/", "EUR", "metric")
        start_archive(archive, plain)
        (home / "sitecustomize.py").write_text(STRANGER.replace("zanzibar", user))
        done = subprocess.run(
            [sys.executable, "-m", "sitegen.cli", "compile", "--workers", "1", "-q"],
            cwd=archive,
            env={
                "PATH": os.environ["PATH"],
                "PYTHONPATH": f"{home}:{ROOT}",
                "USER": user,
                "LOGNAME": user,
                "HOME": str(home),
                "HOSTNAME": f"{user}-host",
                "TZ": zone if user == "quagga" else "UTC",
                "LANG": "C" if user == "quagga" else "C.UTF-8",
            },
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        found = site_files(archive / "published")
        for path, data in _contents(found):
            assert user.encode() not in data, path
        sites.append(found)
    assert sites[0].keys() == sites[1].keys()
    assert [p for p in sites[0] if sites[0][p] != sites[1][p]] == []
