"""A newcomer's first weeks: from nothing to a linked result, and what follows it.

All that the tool says on the way stands in ``tests/cases/newcomer/expected.txt``, with
folders and times masked. ``SITEGEN_EXPECTED=write`` writes that file anew, to be read
over.
"""

from __future__ import annotations

import csv
import datetime as dt
import math
import os
import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page
from scipy import optimize

from sitegen.archive_build import shipped_folder
from tests.browser.conftest import serving
from tests.measure.test_fit import dense

pytestmark = pytest.mark.browser

CASE = Path(__file__).resolve().parents[1] / "cases" / "newcomer"
EXPECTED = CASE / "expected.txt"
DEVICE, FORMER = "harbour-1", "harbour-one"
RUN = "harbour-one-example-filter-high-2026-01-23"
VOLUME_M3 = 31.5
ZERO = 0.5
Floats = npt.NDArray[np.float64]

DOOR = """\
date: 2026-02-01
kind: correction
affects: [run:{run}]
text: The door was opened for a moment at minute 20.
"""
COMPARISON = """\
title: One cleaner against the example
question: Do two units of one model differ?
configurations:
  - harbour-one.example-filter.high
  - example-cleaner.example-filter.high
figure: ranked
"""
FILM = """\
title: A first result
url: https://example.com/watch/a-first-result
date: 2026-02-05
chapters:
  - {at: "0:00", title: The room}
  - {at: "3:10", title: The run}
devices: [harbour-1]
comparisons: [first]
disclosure: Nobody paid for this film.
"""


class Newcomer:
    """Runs the tool in an empty folder, and keeps what it says."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.told: list[str] = []

    def step(self, what: str) -> None:
        """Begin a step of the story."""
        self.told += ["", f"# {what}", ""]

    def run(self, *words: str, code: int = 0) -> str:
        """Run one command and return what it printed."""
        done = subprocess.run(
            [sys.executable, "-m", "sitegen", *words],
            cwd=self.folder,
            check=False,
            capture_output=True,
            text=True,
            stdin=subprocess.DEVNULL,
            env={**os.environ, "NO_COLOR": "1", "COLUMNS": "80"},
        )
        shown = " ".join(f'"{word}"' if " " in word else word for word in words)
        self.told += [f"$ sitegen {shown}", *done.stdout.splitlines()]
        self.told += [f"  {line}".rstrip() for line in done.stderr.splitlines()]
        if code:
            self.told.append(f"  (exit code {code})")
        assert done.returncode == code, done.stderr
        assert "Traceback" not in done.stderr
        return done.stdout

    def write(self, path: str, text: str) -> None:
        """Write a file by hand."""
        target = self.folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")
        self.told.append(f"(written by hand: {path})")

    def story(self) -> str:
        """Return all that was said, folders, times and digests masked."""
        text = "\n".join(self.told).strip() + "\n"
        text = text.replace(str(self.folder), "FOLDER")
        text = re.sub(r"in \d+\.\d s\.", "in SECONDS.", text)
        return re.sub(r"\b\d+ files written, \d+ unchanged", "N written, M same", text)


def readings(name: str) -> tuple[Floats, Floats]:
    """Return minutes and µg/m³ of a raw log, read without the tool."""
    minutes, values = [], []
    if name.endswith(".csv"):
        with (CASE / name).open(encoding="utf-8") as file:
            for row in csv.DictReader(file):
                minutes.append(dt.datetime.fromisoformat(row["timestamp"]))
                values.append(float(row["PM2.5"]))
    else:
        lines = (CASE / name).read_text(encoding="latin-1").splitlines()[3:]
        for line in lines:
            day, clock, level, _ = line.split(";")
            minutes.append(dt.datetime.strptime(f"{day} {clock}", "%d.%m.%Y %H:%M:%S"))
            values.append(1000 * float(level.replace(",", ".")))
    since = [(moment - minutes[0]).total_seconds() / 60 for moment in minutes]
    return np.array(since), np.array(values)


def natural(name: str) -> tuple[Floats, Floats]:
    """Return minutes and µg/m³ of a natural decay of the new archive."""
    text = (shipped_folder("content") / "start/series" / f"{name}.csv").read_text(
        encoding="utf-8"
    )
    rows = [line.split(",") for line in text.splitlines() if line[:1].isdigit()]
    return (
        np.array([float(row[0]) / 60 for row in rows]),
        np.array([float(row[1]) for row in rows]),
    )


def pooled(rates: Sequence[float], sds: Sequence[float]) -> float:
    """Return the random-effects mean of some rates, by restricted likelihood."""
    x, v = np.array(rates), np.array(sds) ** 2

    def against(tau2: float) -> float:
        w = 1 / (v + tau2)
        mean = float((w * x).sum() / w.sum())
        rest = float((w * (x - mean) ** 2).sum())
        return float(0.5 * (np.log(1 / w).sum() + math.log(w.sum()) + rest))

    # It may be least at zero, which a bounded search only comes near to.
    found = optimize.minimize_scalar(against, bounds=(0, 1), options={"xatol": 1e-12})
    tau2 = 0.0 if against(0.0) <= found.fun else float(found.x)
    w = 1 / (v + tau2)
    return float((w * x).sum() / w.sum())


def independent_cadr(site: Path) -> float:
    """Return the CADR in m³/h, from the raw logs and the windows that pages print."""
    with (site / "data/runs.csv").open(encoding="utf-8") as file:
        rows = {row["run"]: row for row in csv.DictReader(file) if _is_whole(row)}

    def part(run: str, minutes: Floats) -> npt.NDArray[np.bool_]:
        first, last = (float(rows[run][f"window_{at}_min"]) for at in ("start", "end"))
        return (minutes >= first - 1e-6) & (minutes <= last + 1e-6)

    logs = []
    for name in ("counter-a.csv", "counter-b.txt"):
        minutes, levels = readings(name)
        inside = part(RUN, minutes)
        log = np.log(levels[inside] - ZERO)
        logs.append(log - log.mean())
    with_device = dense(minutes[inside] / 60, np.mean(logs, axis=0))
    alone = []
    for name in ("natural-2026-01-12", "natural-2026-01-16"):
        minutes, levels = natural(name)
        inside = part(name, minutes)
        alone.append(dense(minutes[inside] / 60, np.log(levels[inside] - ZERO)))
    room = pooled([each["decay"] for each in alone], [each["sd"] for each in alone])
    return VOLUME_M3 * (with_device["decay"] - room)


def _is_whole(row: dict[str, str]) -> bool:
    return row["instrument"] == "all" and row["fraction"] == "pm2_5"


def _result(site: Path, device: str) -> dict[str, str]:
    with (site / "data/results.csv").open(encoding="utf-8") as file:
        return next(row for row in csv.DictReader(file) if row["device"] == device)


def _first_result(me: Newcomer) -> None:
    me.step("An archive of one's own, and a device in it")
    me.run(
        "start", "bench", "--name", "Harbour bench", "--currency", "EUR",
        "--room", "Net store", "--volume", "31.5", "--height", "2.5",
        "--instrument", "Counter A", "--instrument", "Counter B",
        "--address", "https://harbour.example/",
    )  # fmt: skip
    example = me.folder / "bench/records/devices/example-cleaner.yaml"
    text = example.read_text(encoding="utf-8")
    text = text.replace("name: Example cleaner", "name: Harbour One")
    me.write("bench/records/devices/harbour-one.yaml", text)
    me.step("Two raw logs of one run, of different instruments")
    logs = [str(CASE / name) for name in ("counter-a.csv", "counter-b.txt")]
    for log in logs:
        (me.folder / Path(log).name).write_bytes(Path(log).read_bytes())
    words = [
        "intake", "counter-a.csv", "counter-b.txt", "--archive", "bench",
        "-i", "counter-a", "-i", "counter-b",
        "--of", "harbour-one.example-filter.high",
        "-e", "injected=4", "-e", "mixing_off=8", "-e", "device_on=9.5",
    ]  # fmt: skip
    me.run(*words, code=1)
    me.run(*words, "--log", "time.zone=+00:00", "--yes", "--keep")
    me.step("Checked and compiled")
    me.run("check", "bench", "--today", "2026-01-24")
    me.run("compile", "bench")


def _shows_the_cadr(page: Page, address: str, site: Path) -> None:
    """Hold the device's page and the data to the independent calculation."""
    wanted = independent_cadr(site)
    assert float(_result(site, FORMER)["cadr_m3h"]) == pytest.approx(wanted, rel=1e-5)
    page.goto(f"{address}devices/{FORMER}/")
    cell = page.locator(".strip > div", has_text="CADR").first.inner_text()
    shown = re.search(r"(\d+(?:\.\d+)?)\s*m³/h", cell)
    assert shown, cell
    digits = len(shown[1].partition(".")[2])
    assert float(shown[1]) == pytest.approx(wanted, abs=0.5 * 10**-digits + 1e-9)


def test_a_newcomers_first_weeks(tmp_path: Path, chromium: Browser) -> None:
    """From two raw logs to the device's page with the right CADR, and on from there."""
    me = Newcomer(tmp_path)
    site = tmp_path / "bench/published"
    page = chromium.new_page()
    _first_result(me)
    with serving(site) as address:
        _shows_the_cadr(page, address, site)

        me.step("A correction")
        path = "bench/records/changes/2026-02-01-door.yaml"
        me.write(path, DOOR.format(run=RUN))
        me.run("compile", "bench")
        page.goto(f"{address}devices/{FORMER}/")
        assert "Under correction" in page.locator("main").inner_text()

        me.step("Another name; the old address leads on")
        me.write("bench/records/comparisons/first.yaml", COMPARISON)
        me.run("release", "bench", "--today", "2026-02-02")
        renaming = ("rename", f"device:{FORMER}", DEVICE, "bench", "--on", "2026-02-03")
        me.run(*renaming)
        me.run("check", "bench", "--today", "2026-02-03")
        me.run("compile", "bench")
        page.goto(f"{address}devices/{FORMER}/")
        page.wait_for_url(f"**/devices/{DEVICE}/**")
        assert page.locator("h1").inner_text() == "Harbour One"

        me.step("An edition for a film, its text and its picture")
        me.run("pin", "first", "bench", "--today", "2026-02-04")
        me.run("compile", "bench")
        page.goto(f"{address}c/first/2026-02-04/")
        cadr = round(float(_result(site, DEVICE)["cadr_m3h"]))
        assert str(cadr) in page.locator("main").inner_text()
        me.write("bench/records/videos/first-film.yaml", FILM)
        sheet = ("sheet", "first-film", "bench", "--today", "2026-02-05")
        text = me.run(*sheet, "--limit", "1200")
        assert len(text.rstrip("\n")) <= 1200
        for link in re.findall(r"https://harbour\.example/(\S*)", text):
            page.goto(f"{address}{link}")
            assert page.locator("main h1").count() == 1
        for line in me.run("stills", "first", "bench", "--out", "frames").splitlines():
            if line.endswith(".png"):
                with Image.open(tmp_path / line) as picture:
                    assert f"{picture.width}x{picture.height}" in line
    page.close()
    if os.environ.get("SITEGEN_EXPECTED") == "write":
        EXPECTED.write_text(me.story(), encoding="utf-8")
    assert me.story().splitlines() == EXPECTED.read_text(encoding="utf-8").splitlines()
