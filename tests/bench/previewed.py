"""A preview that runs, and how long an open page waits for the news of a save."""

from __future__ import annotations

import http.client
import json
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

_EVENTS = "/_preview/events"


@dataclass(frozen=True, slots=True)
class Heard:
    """When an open page heard of a save.

    Attributes:
        ready_s: from the save until the page was told to load itself anew, s.
        done_s: from the save until all else was compiled too, s.
    """

    ready_s: float
    done_s: float


def save_to_reload(
    archive: Path, pages: Sequence[str], edit: Callable[[], None], times: int
) -> list[list[Heard]]:
    """Return how long it takes from each of some saves to the event in the browser.

    Args:
        archive: an archive whose published site is up to date; the preview begins
            from a copy of it, because only what follows is measured.
        pages: addresses; each is open, alone, for some saves.
        edit: saves an edit that changes them.
        times: how many edits for each page.
    """
    aside = archive / ".sitegen" / "preview"
    shutil.rmtree(aside, ignore_errors=True)
    shutil.copytree(archive / "published", aside / "site")
    shutil.copytree(archive / ".sitegen" / "state", aside / "state")
    found = []
    with _running(archive) as address:
        for page in pages:
            with _listening(address, page) as news:
                next(news)
                # The first one warms up: what is imported then stays.
                each = [_heard(edit, news) for _ in range(times + 1)]
            found.append(each[1:])
    return found


def _heard(edit: Callable[[], None], news: Iterator[dict[str, object]]) -> Heard:
    time.sleep(0.5)
    started_s = time.perf_counter()
    edit()
    at = []
    for _ in range(2):
        told = next(news)
        at.append(time.perf_counter() - started_s)
        if told["stopped"]:
            raise RuntimeError(told["lines"])
    return Heard(*at)


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
def _listening(address: str, page: str) -> Iterator[Iterator[dict[str, object]]]:
    connection = http.client.HTTPConnection(urlsplit(address).netloc, timeout=600)
    connection.request("GET", _EVENTS, headers={"Referer": address.rstrip("/") + page})
    answer = connection.getresponse()

    def news() -> Iterator[dict[str, object]]:
        for line in answer:
            if line.startswith(b"data: "):
                yield json.loads(line[6:])

    try:
        yield news()
    finally:
        connection.close()
