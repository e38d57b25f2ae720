"""How long a table of 5,000 rows takes a browser: to be ready, sort, filter, reckon.

    python -m tests.bench.large_table

Milliseconds of script, best and middle of some, in Chromium without throttling. What
else runs on the machine slows it: the best is the fairest.
"""

from __future__ import annotations

import shutil
import statistics
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Page, sync_playwright

from tests.browser.conftest import serving
from tests.browser.large import large_table

ROUNDS = 9
SORT = """(name) => {
  const button = document.querySelector(`th[data-name=${name}] button`);
  const began = performance.now();
  button.click();
  return performance.now() - began;
}"""
TYPE = """([id, text]) => {
  const field = document.getElementById(id);
  const began = performance.now();
  field.value = text;
  field.dispatchEvent(new Event('input', { bubbles: true }));
  return performance.now() - began;
}"""
READY = """() => {
  const found = performance.getEntriesByType('navigation')[0];
  return found.domContentLoadedEventEnd - found.domInteractive;
}"""


def line(what: str, times: list[float]) -> str:
    """Return one line of the report."""
    middle = statistics.median(times)
    return f"{what:<34} best {min(times):6.0f} ms   middle {middle:6.0f} ms\n"


def report(page: Page) -> str:
    """Return what the open page takes."""
    found = ""
    for name in ("sound_dba", "cadr_m3h", "price", "filter_class", "device"):
        times = [page.evaluate(SORT, name) for _ in range(ROUNDS)]
        found += line(f"sort by {name}", times)
    for what, field, texts in (
        ("filter by text", "in-text", ("device 12", "")),
        ("filter by sound", "in-sound", ("38", "")),
        ("own tariff", "in-tariff", ("0.5", "")),
    ):
        times = []
        for _ in range(ROUNDS):
            times.append(page.evaluate(TYPE, [field, texts[0]]))
            page.wait_for_timeout(500)
            page.evaluate(TYPE, [field, texts[1]])
            page.wait_for_timeout(500)
        found += line(what, times)
    return found


def main() -> None:
    """Print the report."""
    program = shutil.which("chromium")
    with TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        path = large_table(folder, 1000)
        browser = playwright.chromium.launch(
            executable_path=program, args=["--no-sandbox"]
        )
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        with serving(folder) as address:
            ready = []
            for _ in range(5):
                page.goto(f"{address}{path}")
                ready.append(page.evaluate(READY))
            sys.stdout.write(line("ready, after the page is read", ready))
            sys.stdout.write(report(page))
        browser.close()


if __name__ == "__main__":
    main()
