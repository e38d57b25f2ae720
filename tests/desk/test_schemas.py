"""Schemas take what the loader takes, and refuse what a field alone can refuse."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML

from sitegen.desk.schemas import schema_comment, schemas
from sitegen.desk.start import Beginning, start_archive
from sitegen.load import load_addresses, load_archive_settings, load_record, read_yaml
from sitegen.load.records import Loaded
from sitegen.model import KINDS

ROOT = Path(__file__).resolve().parents[2]
ALL = schemas()
# What no schema of one record says: rules between fields, and of YAML itself.
BETWEEN = {
    "alias",
    "calibrations-out-of-order",
    "chapters-out-of-order",
    "configuration-twice",
    "control-character",
    "empty-list",
    "empty-value",
    "filter-none",
    "id-twice",
    "key-not-a-text",
    "key-twice",
    "list-or-where",
    "months-or-hours",
    "no-fractions",
    "not-an-id",
    "not-one-test",
    "order-not-shown",
    "rating-without-date",
    "rejected-without-decision",
    "row-width",
    "scatter-needs-axes",
    "superseded-without-successor",
    "tag",
    "window-backward",
}


def _as_an_editor_reads(data: bytes) -> Any:
    """Return a record as YAML 1.2 has it, dates as the texts that they are there."""
    reader = YAML(typ="safe", pure=True)
    reader.version = (1, 2)
    return json.loads(json.dumps(reader.load(data), default=_iso))


def _iso(value: Any) -> str:
    # The reader makes dates of them all the same; YAML 1.2's core schema has none.
    assert isinstance(value, dt.date)
    moment = isinstance(value, dt.datetime)
    return f"{value.isoformat()}Z" if moment else value.isoformat()


def _records(archive: Path) -> Iterator[tuple[str, Path]]:
    for kind in KINDS.values():
        for path in sorted((archive / "records" / kind.folder).rglob("*.yaml")):
            yield kind.name, path


def _refusals(kind: str, data: Any) -> list[str]:
    validator = jsonschema.Draft202012Validator(ALL[kind])
    return [error.message for error in validator.iter_errors(data)]


def _is_refused_in_an_editor(kind: str, data: bytes) -> bool:
    try:
        return bool(_refusals(kind, _as_an_editor_reads(data)))
    except ValueError:
        # A number of thousands of digits, which no reader takes.
        return True


@pytest.mark.parametrize("kind", sorted(ALL))
def test_every_schema_is_one(kind: str) -> None:
    """Each schema is valid under its dialect and describes its fields."""
    jsonschema.Draft202012Validator.check_schema(ALL[kind])
    fields = list(ALL[kind].get("properties", {}).values())
    # A part whose own sentence is the same has it where the part is described.
    assert all({"description", "$ref"} & field.keys() for field in fields)
    assert "id" not in ALL[kind].get("required", ())


def _all_of(archive: Path) -> Iterator[tuple[str, Path]]:
    """Yield every record with its kind, settings and addresses too."""
    yield "archive", archive / "archive.yaml"
    addresses = archive / "records" / "addresses.yaml"
    if addresses.is_file():
        yield "addresses", addresses
    yield from _records(archive)


def test_every_record_of_the_demo_is_taken() -> None:
    """No schema refuses a record of the demo, as an editor reads it or as we do."""
    count = 0
    for kind, path in _all_of(ROOT / "demo_site"):
        data = read_yaml(path.read_bytes(), path.name).data
        for read in (data, _as_an_editor_reads(path.read_bytes())):
            assert _refusals(kind, read) == [], path
        count += 1
    assert count > 600


def test_every_record_of_a_new_archive_is_taken(tmp_path: Path) -> None:
    """No schema refuses a record that a tester begins with, and all kinds are there."""
    start_archive(tmp_path / "mine", Beginning())
    kinds = set()
    for kind, path in _all_of(tmp_path / "mine"):
        assert _refusals(kind, _as_an_editor_reads(path.read_bytes())) == [], path
        kinds.add(kind)
    # These two are written by commands.
    assert kinds == ALL.keys() - {"edition", "release"}


@pytest.mark.parametrize(
    ("case", "least"),
    [("faults", 11), ("faults_in_settings", 1), ("hostile/faults", 5)],
)
def test_a_fault_of_a_field_is_refused_by_both(case: str, least: int) -> None:
    """A record with a fault in one field is refused by its schema as well."""
    folder = ROOT / "tests" / "cases" / case / "archive"
    judged = 0
    for kind, path in _all_of(folder):
        data = path.read_bytes()
        loaded: Loaded[Any]
        if kind == "archive":
            loaded = load_archive_settings(data, path.name)
        elif kind == "addresses":
            loaded = load_addresses(data, path.name)
        else:
            loaded = load_record(kind, path.stem, data, path.name)
        codes = {fault.code for fault in loaded.faults}
        if loaded.tree.whole and codes - BETWEEN:
            # Bounds of numbers show where they are read as numbers, as editors do.
            refused = _refusals(kind, loaded.tree.data)
            assert refused or _is_refused_in_an_editor(kind, data), (path, codes)
            judged += 1
    assert judged >= least


def test_units_and_words_come_from_the_models() -> None:
    """A field's description says its unit, a choice its words, a bound its limit."""
    run = ALL["run"]["$defs"]
    assert run["Conditions"]["properties"]["humidity_pct"]["maximum"] == 100
    assert "°C" in run["Conditions"]["properties"]["temperature_c"]["description"]
    log = ALL["instrument"]["$defs"]["LogForm"]["properties"]
    assert log["delimiter"]["enum"] == ["comma", "semicolon", "tab", "space"]


@pytest.mark.parametrize(
    ("path", "comment"),
    [
        ("archive.yaml", "$schema=.schemas/archive.json"),
        ("records/addresses.yaml", "$schema=../.schemas/addresses.json"),
        ("records/runs/2026/a.yaml", "$schema=../../../.schemas/run.json"),
        ("records/other/a.yaml", None),
        ("series/a.csv", None),
    ],
)
def test_a_record_leads_to_its_schema(path: str, comment: str | None) -> None:
    """The comment leads from the folder of the record to the schema of its kind."""
    found = schema_comment(path)
    assert found == (f"# yaml-language-server: {comment}" if comment else None)
    assert not found or re.fullmatch(r"# yaml-language-server: \$schema=\S+", found)
