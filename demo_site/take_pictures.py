"""Takes the README's pictures of the demonstration, in Debian's Chromium.

    .venv/bin/python demo_site/take_pictures.py

Needs the test extra (see DEVELOPERS.md). The site is compiled first.
"""

from __future__ import annotations

import io
import shutil
import sys
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from sitegen.archive_build import compile_archive, published_folders

HERE = Path(__file__).resolve().parent
PICTURES = (
    ("device", "devices/ruddlesk-merl-200/index.html", 1280, 1150, "light"),
    ("comparison", "c/merl-200-filters/index.html", 1280, 1150, "light"),
    ("phone", "devices/ruddlesk-merl-200/index.html", 390, 844, "dark"),
)


def main() -> int:
    """Compile the demonstration and write ``pictures/NAME.png``."""
    folders = published_folders(HERE)
    outcome = compile_archive(folders)
    if outcome.stopped:
        print("The demonstration has faults; see: sitegen check demo_site")
        return 1
    program = shutil.which("chromium")
    if program is None:
        print("Debian's chromium is needed: apt-get install chromium")
        return 3
    target = HERE / "pictures"
    target.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=program, args=["--no-sandbox"]
        )
        for name, path, width, height, scheme in PICTURES:
            context = browser.new_context(
                viewport={"width": width, "height": height},
                color_scheme="dark" if scheme == "dark" else "light",
                java_script_enabled=False,
            )
            page = context.new_page()
            page.goto(f"{folders.out.as_uri()}/{path}")
            data = page.screenshot()
            with Image.open(io.BytesIO(data)) as picture:
                few = picture.convert("RGB").quantize(96)
                few.save(target / f"{name}.png", optimize=True)
            context.close()
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
