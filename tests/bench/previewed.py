"""A preview that runs, and how long an open page waits for the news of a save."""

from __future__ import annotations

import http.client
import json
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

_EVENTS = "/_preview/events"


def save_to_reload_s(
    archive: Path, edit: Callable[[int], None], times: int
) -> list[float]:
    """Return how long it takes from each of some saves to the event in the browser, s.

    Args:
        archive: an archive whose published site is up to date; the preview begins
            from a copy of it, because only what follows is measured.
        edit: saves the n-th edit.
        times: how many edits.
    """
    aside = archive / ".sitegen" / "preview"
    shutil.rmtree(aside, ignore_errors=True)
    shutil.copytree(archive / "published", aside / "site")
    shutil.copytree(archive / ".sitegen" / "state", aside / "state")
    found = []
    with _running(archive) as address, _listening(address) as news:
        next(news)
        for at in range(times):
            time.sleep(0.5)
            started_s = time.perf_counter()
            edit(at)
            told = next(news)
            found.append(time.perf_counter() - started_s)
            if told["stopped"]:
                raise RuntimeError(told["lines"])
    return found


@contextmanager
def _running(archive: Path) -> Iterator[str]:
    command = [
        sys.executable, "-m", "sitegen.cli", "preview", str(archive), "--port", "0",
    ]  # fmt: skip
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    try:
        if process.stdout is None:
            raise RuntimeError
        yield process.stdout.readline().strip()
    finally:
        process.terminate()
        process.wait(timeout=60)


@contextmanager
def _listening(address: str) -> Iterator[Iterator[dict[str, object]]]:
    connection = http.client.HTTPConnection(urlsplit(address).netloc, timeout=600)
    connection.request("GET", _EVENTS)
    answer = connection.getresponse()

    def news() -> Iterator[dict[str, object]]:
        for line in answer:
            if line.startswith(b"data: "):
                yield json.loads(line[6:])

    try:
        yield news()
    finally:
        connection.close()
