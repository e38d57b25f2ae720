"""No page of the demonstration lacks a caution that its record calls for.

What a record calls for is reckoned here from the YAML alone, by the rules as they are
told to people, not by the code under test.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from sitegen.archive_build import compile_archive, published_folders
from tests.conftest import Compiled

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = ROOT / "content" / "cautions" / "en"


def _records(demo: Compiled, kind: str) -> dict[str, dict[str, Any]]:
    found = {}
    for path in (demo.archive / "records" / kind).rglob("*.yaml"):
        record = yaml.safe_load(path.read_text(encoding="utf-8"))
        found[path.stem] = record
    return found


def _shown(page: Path) -> set[str]:
    """Return the codes of the cautions that stand on a page, heading and text."""
    text = page.read_text(encoding="utf-8")
    found = set(
        re.findall(
            r'<div class="care" role="note" aria-labelledby="caution-([\w-]+)">', text
        )
    )
    for code in found:
        lines = (SHIPPED / f"{code}.md").read_text(encoding="utf-8").splitlines()
        heading = lines[0].removeprefix("# ")
        assert heading in text, (page, code)
        # The whole text stands there, to its last words.
        assert lines[-1][-40:].replace("'", "&#x27;") in text.replace(
            "&#39;", "&#x27;"
        ) or (lines[-1][-40:] in text), (page, code)
    return found


def _of_device(record: dict[str, Any]) -> set[str]:
    """Return what stands for as long as a device runs."""
    features = set(record.get("features", ()))
    speeds = record["speeds"]
    wanted = set()
    if record["form"] == "kit" or "modified" in record:
        wanted.add("modified-fan")
    if {"ioniser", "ozone", "photocatalytic"} & features or any(
        str(speed.get("ioniser")).lower() in {"yes", "true", "on"} for speed in speeds
    ):
        wanted.add("ozone")
    if "uvc" in features or any(
        str(speed.get("uvc")).lower() in {"yes", "true", "on"} for speed in speeds
    ):
        wanted.add("uv-c")
    if record["form"] == "in-duct":
        wanted.add("in-duct")
    return wanted


def _of_method(record: dict[str, Any]) -> set[str]:
    if record["kind"] == "power":
        return {"mains"}
    if record["kind"] == "sound":
        return set()
    burns = record["aerosol_kind"] in {"smoke", "other"}
    return {"test-aerosol"} | ({"smoke-and-fire"} if burns else set())


def _missing(page: Path, wanted: set[str]) -> set[str]:
    return wanted - _shown(page)


def test_devices(demo: Compiled) -> None:
    """A device's page warns of what the device is and has, and of its filters."""
    seen: set[str] = set()
    for name, record in _records(demo, "devices").items():
        page = demo.site / "devices" / name / "index.html"
        if not page.is_file():
            assert record.get("held"), name
            continue
        wanted = _of_device(record) | {"health-and-ventilation", "sizing"}
        if record.get("filters"):
            wanted.add("used-filters")
        assert not _missing(page, wanted), name
        seen |= wanted
    # The demonstration has a device of every kind, or the test would say little.
    assert {"modified-fan", "ozone", "uv-c", "in-duct", "used-filters"} <= seen


def test_runs_and_methods(demo: Compiled) -> None:
    """A run's page warns of its method and of what ran; a method's of itself."""
    devices, methods = _records(demo, "devices"), _records(demo, "methods")
    for name, record in methods.items():
        page = demo.site / "methods" / name / "index.html"
        assert not _missing(page, _of_method(record)), name
    runs = 0
    for name, record in _records(demo, "runs").items():
        page = demo.site / "runs" / name / "index.html"
        if not page.is_file():
            continue
        wanted = _of_method(methods[record["method"]])
        if "device" in record:
            wanted |= _of_device(devices[record["device"]])
        assert not _missing(page, wanted), name
        runs += 1
    assert runs > 200


def test_finder_filters_bench_and_lists(demo: Compiled) -> None:
    """Finder, filters, bench and lists have the cautions of what they show."""
    site = demo.site
    assert not _missing(site / "index.html", {"sizing", "health-and-ventilation"})
    names = [path.stem for path in (demo.archive / "records/filters").rglob("*.yaml")]
    with_page = [n for n in names if (site / "filters" / n / "index.html").is_file()]
    assert len(with_page) > 30
    for name in with_page:
        assert not _missing(site / "filters" / name / "index.html", {"used-filters"})
    used: set[str] = set()
    for record in _records(demo, "methods").values():
        used |= _of_method(record)
    assert not _missing(site / "bench" / "index.html", used)
    devices = _records(demo, "devices")
    pages = [site / "compare" / "index.html", site / "devices" / "index.html"]
    pages += [
        p
        for p in site.glob("tables/*/index.html")
        if p.parent.name in _stems(demo, "tables")
    ]
    pages += [
        p
        for p in site.glob("c/*/index.html")
        if p.parent.name in _stems(demo, "comparisons")
    ]
    for page in pages:
        linked = set(
            re.findall(r'href="[^"]*devices/([a-z0-9-]+)/index.html', page.read_text())
        )
        wanted = {"health-and-ventilation"}
        for name in linked & set(devices):
            wanted |= _of_device(devices[name])
        assert not _missing(page, wanted), page


def _stems(demo: Compiled, kind: str) -> set[str]:
    return {path.stem for path in (demo.archive / "records" / kind).rglob("*.yaml")}


@pytest.mark.parametrize("layout", ["parts/caution.html", "device.html", "run.html"])
def test_a_layout_of_the_archive_cannot_leave_them_out(
    bench: Path, layout: str
) -> None:
    """An own layout without the cautions is a fault that names what it leaves out."""
    text = (ROOT / "layouts" / layout).read_text(encoding="utf-8")
    if layout.startswith("parts/"):
        changed = text.replace("{{ caution.html|safe }}", "")
    else:
        changed = re.sub(r"\{\{ cautions(_row)?\(given.cautions\) \}\}", "", text)
    assert changed != text
    target = bench / "own" / "layouts" / layout
    target.parent.mkdir(parents=True)
    target.write_text(changed, encoding="utf-8")
    outcome = compile_archive(published_folders(bench), workers=1)
    assert outcome.stopped
    assert {fault.code for fault in outcome.faults} == {"caution-left-out"}
    page = "device.html" if layout.startswith("parts/") else layout
    assert f"own/layouts/{page}" in {fault.place.file for fault in outcome.faults}


def test_an_archive_cannot_replace_them(bench: Path) -> None:
    """Texts of cautions come from the package; a file of the archive changes none."""
    for folder in ("own/cautions", "own/content/cautions", "cautions"):
        (bench / folder).mkdir(parents=True)
        (bench / folder / "sizing.md").write_text("# Fine\n\nAll is fine.\n")
    folders = published_folders(bench)
    assert not compile_archive(folders, workers=1).stopped
    page = (folders.out / "index.html").read_text(encoding="utf-8")
    assert "All is fine." not in page
    assert "Sizing is a guide" in page
