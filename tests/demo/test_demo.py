"""The demonstration archive holds every case that a reader should be able to find."""

from __future__ import annotations

import importlib.util
import re
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any
from urllib.parse import urlsplit

import pytest
import yaml

from sitegen.load import (
    ADDRESSES_FILE,
    SETTINGS_FILE,
    ArchiveIndex,
    check_references,
    facts_of,
    facts_of_settings,
    load_addresses,
    load_archive_settings,
    load_record,
    locate,
    present_in,
    read_series,
    visible,
)

DEMO = Path(__file__).resolve().parent.parent.parent / "demo_site"
FOLDERS = ("records", "series", "texts", "photos", "audio")
HOSTS = frozenset({"example.org", "example.com", "example.net"})
# One run for each of the three ways in which a series tells the time.
REGENERATED = ("qh-0001", "qh-0129", "qh-0205")


@dataclass(frozen=True, slots=True)
class Demo:
    """The demo's records as they load, and all that is wrong with them.

    Attributes:
        records: plain data of each record by kind and id.
        faults: every fault and warning, as text.
        shown: what is not held back: ids by kind.
    """

    records: Mapping[tuple[str, str], Any]
    faults: tuple[str, ...]
    shown: Mapping[str, tuple[str, ...]]

    def of(self, kind: str) -> dict[str, Any]:
        """Return the records of a kind by id."""
        return {name: data for (of, name), data in self.records.items() if of == kind}

    def runs(self, *kinds: str) -> dict[str, Any]:
        """Return the runs of some kinds by id."""
        return {n: run for n, run in self.of("run").items() if run["kind"] in kinds}


def _listing() -> list[str]:
    return sorted(
        path.relative_to(DEMO).as_posix()
        for folder in FOLDERS
        for path in (DEMO / folder).rglob("*")
        if path.is_file()
    )


@pytest.fixture(scope="module")
def demo() -> Demo:
    """Every record of the demo, loaded and held against the others."""
    located = locate(_listing())
    faults: list[Any] = list(located.faults)
    facts, records = {}, {}
    for key, path in located.records.items():
        loaded = load_record(*key, (DEMO / path).read_bytes(), path)
        faults += loaded.faults
        if loaded.record is not None:
            facts[key] = facts_of(key[0], loaded.record)
            records[key] = loaded.record.model_dump(mode="json")
    settings = load_archive_settings((DEMO / SETTINGS_FILE).read_bytes(), SETTINGS_FILE)
    moved = load_addresses((DEMO / ADDRESSES_FILE).read_bytes(), ADDRESSES_FILE)
    faults += [*settings.faults, *moved.faults]
    assert settings.record is not None
    assert moved.record is not None
    index = ArchiveIndex(
        records=facts,
        present=present_in(located),
        archive=facts_of_settings(settings.record),
        addresses=moved.record,
    )
    faults += check_references(index)
    shown = {kind: tuple(names) for kind, names in visible(facts).items()}
    return Demo(records, tuple(map(str, faults)), shown)


def test_nothing_is_wrong_with_any_record(demo: Demo) -> None:
    """No record has a fault or a warning, alone or held against the others."""
    assert demo.faults == ()


def test_nothing_is_wrong_with_any_series(demo: Demo) -> None:
    """Every series reads without a fault, and every decay run has its own."""
    fractions = {
        name: sorted(data["fractions"]) for name, data in demo.of("instrument").items()
    }
    paths = sorted((DEMO / "series").rglob("*.csv"))
    for path in paths:
        loaded = read_series(path.read_bytes(), path.name, fractions)
        assert loaded.faults == (), path.name
    named = [run["series"] for run in demo.runs("decay", "natural-decay").values()]
    assert sorted(named) == [path.stem for path in paths]


def test_devices_of_every_form_and_speed(demo: Demo) -> None:
    """There are at least 24 devices: portables, kits, a wall unit; 2 to 5 speeds."""
    devices = demo.of("device")
    forms = Counter(device["form"] for device in devices.values())
    assert len(devices) >= 24
    assert forms["portable"] >= 12
    assert forms["kit"] >= 3
    assert forms["wall"] >= 1
    speeds = {len(device["speeds"]) for device in devices.values()}
    assert {2, 3, 4, 5} <= speeds
    assert sum(len(device["filters"]) > 1 for device in devices.values()) >= 5


def test_devices_of_every_origin_and_fate(demo: Demo) -> None:
    """Bought, lent, given; withdrawn, superseded, modified, held; ioniser, lamp."""
    devices = demo.of("device")
    how = {
        specimen["acquired"]["how"]
        for device in devices.values()
        for specimen in device["specimens"]
    }
    assert how == {"bought", "lent", "given"}
    for field in ("withdrawn", "superseded_by", "modified"):
        assert any(device[field] for device in devices.values()), field
    twins = [name for name, data in devices.items() if len(data["specimens"]) == 2]
    tested = {
        (run["device"], run["specimen"])
        for run in demo.runs("decay").values()
        if run["device"] in twins
    }
    assert len(tested) == 2 * len(twins) == 2
    for part in ("ioniser", "uvc"):
        speeds = [
            {speed[part] for speed in device["speeds"]} for device in devices.values()
        ]
        assert {True, False} in speeds, part


def test_what_is_held_takes_its_runs_along(demo: Demo) -> None:
    """One device is held, it has runs, and neither is among what may be shown."""
    held = [name for name, data in demo.of("device").items() if data["held"]]
    assert len(held) == 1
    runs = {n for n, run in demo.of("run").items() if run.get("device") == held[0]}
    assert len(runs) >= 6
    assert held[0] not in demo.shown["device"]
    assert not runs & set(demo.shown["run"])


def test_claims_ratings_prices_and_links(demo: Demo) -> None:
    """Claims in several units and in none, all outcomes, two currencies, sponsors."""
    devices = demo.of("device").values()
    units = {claim["unit"] for device in devices for claim in device["claims"]}
    assert {"m3/h", "cfm", "L/s", "unstated"} <= units
    outcomes = {rating["outcome"] for device in devices for rating in device["ratings"]}
    assert outcomes == {"found", "not_found", "not_checked"}
    prices = [price for device in devices for price in device["prices"]]
    assert {price["currency"] for price in prices} == {"EUR", "USD"}
    assert {price["kind"] for price in prices} == {"list", "paid", "carriage", "duty"}
    links = [link["sponsored"] for device in devices for link in device["links"]]
    assert {True, False} == set(links)


def test_the_bench_has_its_instruments_and_methods(demo: Demo) -> None:
    """Three particle instruments, sound and power; methods in several versions."""
    kinds = Counter(data["kind"] for data in demo.of("instrument").values())
    assert kinds["particle"] >= 3
    assert kinds["sound"] >= 1
    assert kinds["power"] >= 1
    methods = Counter(data["kind"] for data in demo.of("method").values())
    assert methods["decay"] >= 2
    assert methods["sound"] >= 1
    assert methods["power"] >= 1


def test_there_are_runs_enough(demo: Demo) -> None:
    """At least 180 decay runs with repeats, natural decays, sound and power."""
    decays = demo.runs("decay")
    assert len(decays) >= 180
    assert len(demo.runs("natural-decay")) >= 20
    assert len(demo.runs("sound")) >= 50
    assert len(demo.runs("power")) >= 50
    repeats = Counter(
        (run["device"], run["filter"], run["speed"], run["method"])
        for run in decays.values()
    )
    assert sum(count >= 2 for count in repeats.values()) >= 60


def test_rejected_runs_say_why(demo: Demo) -> None:
    """At least 4 decay runs are rejected, for several causes, with words to each."""
    rejected = [
        run["decision"]
        for run in demo.runs("decay").values()
        if run["status"] == "rejected"
    ]
    assert len(rejected) >= 4
    assert len({decision["cause"] for decision in rejected}) >= 4
    assert all(len(decision["text"]) > 40 for decision in rejected)


def test_what_is_published_beside_the_runs(demo: Demo) -> None:
    """3 videos, 6 tables, 8 comparisons of three figures, 6 changes, a correction."""
    assert len(demo.of("video")) >= 3
    assert len(demo.of("table")) >= 6
    comparisons = demo.of("comparison").values()
    assert len(comparisons) >= 8
    figures = {comparison["figure"] for comparison in comparisons}
    assert figures == {"decay", "scatter", "ranked"}
    changes = [change["kind"] for change in demo.of("change").values()]
    assert len(changes) >= 6
    assert {"correction", "withdrawal", "method", "retest"} <= set(changes)
    listed = yaml.safe_load((DEMO / ADDRESSES_FILE).read_text("utf-8"))["addresses"]
    assert any("moved_to" in item for item in listed)
    assert any("gone" in item for item in listed)


def test_prose_pages_say_that_all_is_simulated() -> None:
    """Each prose page opens with a heading and says that it is a simulation."""
    pages = sorted((DEMO / "texts").glob("*.md"))
    assert {page.stem for page in pages} >= {
        "about",
        "funding",
        "glossary",
        "how-to-read",
        "method-notes",
    }
    for page in pages:
        text = page.read_text("utf-8")
        assert text.startswith("# "), page.name
        assert "simulat" in text, page.name
    everything = "".join(page.read_text("utf-8") for page in pages)
    for kind in ("device", "comparison", "run", "method", "table"):
        assert f"]({kind}:" in everything, kind
    assert re.search(r"!\[[^\]]+\]\(comparison:", everything)


def _addresses() -> Iterator[tuple[str, str]]:
    for path in sorted(DEMO.rglob("*")):
        below = path.relative_to(DEMO)
        if below.parts[0] in {"published", ".sitegen"} or not path.is_file():
            continue
        if path.suffix in {".yaml", ".md", ".csv", ".py"}:
            text = path.read_text("utf-8")
            for found in re.findall(r"(?:https?|ftp)://[^\s\"'<>)\]}]+", text):
                yield below.as_posix(), urlsplit(found).hostname or ""
            for found in re.findall(r"mailto:[^\s\"'<>]+@([\w.-]+)", text):
                yield below.as_posix(), found


def test_only_reserved_hosts_are_named() -> None:
    """Every web and mail address is one that RFC 2606 reserves for examples."""
    named = list(_addresses())
    assert len(named) > 20
    assert [each for each in named if each[1] not in HOSTS] == []


@pytest.fixture
def simulation(monkeypatch: pytest.MonkeyPatch) -> Iterator[ModuleType]:
    """The demo's script, loaded from its path and forgotten again."""
    names = ("physics", "demo_simulate")
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    monkeypatch.syspath_prepend(str(DEMO))
    spec = importlib.util.spec_from_file_location(names[1], DEMO / "simulate.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[names[1]] = module
    spec.loader.exec_module(module)
    yield module
    for name in names:
        sys.modules.pop(name, None)


def test_series_come_from_the_script_byte_for_byte(simulation: ModuleType) -> None:
    """The script draws series and records of three runs again exactly as they are."""
    world = simulation.load()
    for run_id in REGENERATED:
        made = simulation.files_of(world, run_id)
        assert f"series/{run_id}.csv" in made
        for name, text in made.items():
            assert text.encode("utf-8") == (DEMO / name).read_bytes(), name


def test_every_run_is_in_the_plan(simulation: ModuleType, demo: Demo) -> None:
    """The plan and the archive have the same runs."""
    assert set(simulation.load().runs) == set(demo.of("run"))
