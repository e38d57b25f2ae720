"""The description of the data files."""

from __future__ import annotations

import dataclasses
import hashlib
import json
import warnings
from pathlib import Path
from typing import Any

import pytest

from sitegen.findings.views import ReadingRow, ResultRow, RunRow
from sitegen.pages.datafiles import readings_csv, results_csv, results_json, runs_csv
from sitegen.pages.datapackage import datapackage_json, file_facts, package_name
from sitegen.pages.frame import Site

SITE = Site(
    name="Quiet Bench",
    tagline="",
    base="https://example.org/bench/",
    language="en",
    units="metric",
    currency="EUR",
    simulated=True,
    publisher="Invented Workshop",
    contact="",
    licence="CC BY 4.0",
    licence_url="https://example.com/licence",
    disclosure="",
    navigation=(),
)
RESULT = ResultRow(
    "fen-2",
    "none",
    "low",
    "decay-a",
    "pm2_5",
    2,
    ("r-1", "r-2"),
    "rated",
    (),
    cadr_m3h=123.456,
    rank_low=1,
    address="https://example.org/bench/devices/fen-2/",
)
RUN = RunRow(
    "r-1",
    "decay",
    "fen-2",
    "none",
    "low",
    "decay-a",
    "2026-03-12",
    "accepted",
    "rated",
    "all",
    "pm2_5",
    41,
    decay_per_h=2.5,
)
READING = ReadingRow(
    "s-1",
    "sound",
    "fen-2",
    "a",
    "none",
    "low",
    "sound-a",
    "2026-03-12",
    "accepted",
    "device",
    1,
    24.5,
    "dB(A)",
)


def files() -> dict[str, bytes]:
    return {
        "results.csv": results_csv([RESULT]),
        "runs.csv": runs_csv([RUN]),
        "readings.csv": readings_csv([READING]),
        "results.json": results_json([RESULT], SITE),
    }


def package(site: Site = SITE, data: dict[str, bytes] | None = None) -> bytes:
    results, runs, readings, also = (
        file_facts(name, each) for name, each in (data or files()).items()
    )
    return datapackage_json(site, results, runs, readings, (also,), "2026-09-01")


def described(site: Site = SITE) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(package(site))
    return found


def problems(folder: Path) -> list[list[Any]]:
    """Return what an independent reader of the standard finds wrong."""
    with warnings.catch_warnings():
        # The library's own imports warn; that is not what is tested here.
        warnings.simplefilter("ignore")
        frictionless = pytest.importorskip("frictionless")
        report = frictionless.Package(str(folder / "datapackage.json")).validate()
    found: list[list[Any]] = report.flatten(["type", "note"])
    return found


def test_an_independent_reader_agrees(tmp_path: Path) -> None:
    """A reader of the standard finds package, digests, columns and cells valid."""
    data = files()
    for name, each in {**data, "datapackage.json": package()}.items():
        (tmp_path / name).write_bytes(each)
    assert problems(tmp_path) == []


def test_an_independent_reader_would_object(tmp_path: Path) -> None:
    """The same reader objects to a text where the schema has a number."""
    data = files()
    data["results.csv"] = data["results.csv"].replace(b"123.456", b"a lot")
    for name, each in {**data, "datapackage.json": package(data=data)}.items():
        (tmp_path / name).write_bytes(each)
    assert [kind for kind, _ in problems(tmp_path)] == ["type-error"]


def test_units_stand_in_descriptions() -> None:
    """A column with a unit says so; money names the archive's currency."""
    fields = {
        field["name"]: field
        for field in described()["resources"][0]["schema"]["fields"]
    }
    assert fields["cadr_m3h"]["description"].endswith("Unit: m³/h.")
    assert fields["ownership_cost"]["description"].endswith("Unit: EUR.")
    assert "Unit" not in fields["device"]["description"]


def test_files_carry_their_digests() -> None:
    """Each file is listed with its length and SHA-256."""
    listed = {each["path"]: each for each in described()["resources"]}
    for name, data in files().items():
        assert listed[name]["bytes"] == len(data)
        assert listed[name]["hash"] == f"sha256:{hashlib.sha256(data).hexdigest()}"


@pytest.mark.parametrize(
    ("licence", "url", "expected"),
    [
        ("CC BY 4.0", "", {"title": "CC BY 4.0", "name": "CC-BY-4.0"}),
        ("Ours", "https://a.example", {"title": "Ours", "path": "https://a.example"}),
        ("Ours", "", {"title": "Ours", "name": "notspecified"}),
    ],
)
def test_licence(licence: str, url: str, expected: dict[str, str]) -> None:
    """An open licence has its listed id; another is told by its title and address."""
    site = dataclasses.replace(SITE, licence=licence, licence_url=url)
    assert described(site)["licenses"] == [expected]


def test_simulated_data_are_said_to_be() -> None:
    """Simulated data say so in the first sentence, and only they."""
    assert described()["description"].startswith("All data are simulated.")
    real = described(dataclasses.replace(SITE, simulated=False))
    assert "simulated" not in json.dumps(real)


@pytest.mark.parametrize(
    ("text", "name"),
    [("Quernhølm Bénch", "quernhlm-bench"), ("  A & B  ", "a-b"), ("試験", "archive")],
)
def test_package_name(text: str, name: str) -> None:
    """A package's name holds letters, digits and hyphens, and is never empty."""
    assert package_name(text) == name
