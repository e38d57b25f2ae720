"""Records: kept as plain data and taken back, and what they name."""

from __future__ import annotations

import json
import typing
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from sitegen.load import load_record, locate
from sitegen.model import (
    KINDS,
    Archive,
    DecayRun,
    Device,
    Measured,
    Part,
    Record,
    adapter,
    references,
)
from tests.archives import LoadedArchive, listing, load_folder

DEMO = Path(__file__).resolve().parents[2] / "demo_site"


@pytest.fixture(scope="module")
def demo() -> LoadedArchive:
    """The demonstration archive, loaded once."""
    return load_folder(DEMO)


def test_every_record_comes_back_from_plain_data(demo: LoadedArchive) -> None:
    """A record kept as JSON and read again is the same record, amounts and all."""
    assert len(demo.records) > 600
    for (kind, _), record in demo.records.items():
        kept = json.loads(json.dumps(record.model_dump(mode="json")))
        again = adapter(kind).validate_python(kept)
        assert again == record
        assert type(again) is type(record)
        assert again.model_dump(mode="json") == kept


def test_settings_and_addresses_come_back_from_plain_data(demo: LoadedArchive) -> None:
    """The settings and the list of addresses are kept the same way."""
    assert demo.archive is not None
    kept = json.loads(json.dumps(demo.archive.model_dump(mode="json")))
    assert Archive.model_validate(kept) == demo.archive
    moved = json.loads(json.dumps(demo.addresses.model_dump(mode="json")))
    assert type(demo.addresses).model_validate(moved) == demo.addresses


def test_every_kind_but_the_tool_s_own_is_in_the_demonstration(
    demo: LoadedArchive,
) -> None:
    """The round trip is tried on every kind that a tester writes by hand."""
    kinds = {kind for kind, _ in demo.records}
    assert set(KINDS) - kinds <= {"edition", "release"}


def test_an_edition_and_a_release_come_back_from_plain_data() -> None:
    """The records that the tool writes are kept the same way."""
    edition = {
        "id": "e",
        "comparison": "c",
        "pinned": "2026-04-01",
        "title": "As shown",
        "columns": ["device", "cadr_m3h"],
        "rows": [["heron", "120.5"], ["stork", ""]],
        "assumptions": {"tariff": "0.31 EUR"},
    }
    release = {
        "id": "2026-04-01",
        "date": "2026-04-01",
        "ids": {"device": ["heron"], "prose": ["about"]},
        "digests": {"heron.mat.low decay-1": "ab"},
    }
    for kind, data in (("edition", edition), ("release", release)):
        record = adapter(kind).validate_python(data)
        kept = json.loads(json.dumps(record.model_dump(mode="json")))
        assert adapter(kind).validate_python(kept) == record


def test_a_record_cannot_be_changed(demo: LoadedArchive) -> None:
    """Records are frozen, so that what was loaded is what is published."""
    record = demo.records["device", "netloft-box"]
    with pytest.raises(ValidationError, match="frozen"):
        record.held = True


def parts(annotation: Any) -> set[type[BaseModel]]:
    """Return every model that an annotation can hold."""
    found: set[type[BaseModel]] = set()
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        found.add(annotation)
        for info in annotation.model_fields.values():
            found |= parts(info.annotation)
    for inner in typing.get_args(annotation):
        found |= parts(inner)
    return found


def test_every_field_says_what_it_holds() -> None:
    """Each field of each record has a sentence, which a fault shows when it lacks."""
    models = set().union(
        *(parts(kind.model) for kind in KINDS.values()), parts(Archive)
    )
    assert len(models) > 40
    for model in models:
        assert issubclass(model, Part)
        assert model.model_config["extra"] == "forbid"
        assert model.model_config["frozen"]
        for name, info in model.model_fields.items():
            assert info.description, f"{model.__name__}.{name}"
            assert info.description.endswith("."), f"{model.__name__}.{name}"


def test_a_quantity_is_a_number_or_a_value_with_uncertainty() -> None:
    """A plain number is a value without uncertainty."""
    plain = Measured.model_validate("2.5")
    assert (plain.value, plain.uncertainty, plain.u) == (2.5, None, 0.0)
    full = Measured.model_validate({"value": "2.5", "uncertainty": "0.1"})
    assert (full.value, full.u) == (2.5, 0.1)
    with pytest.raises(ValidationError, match="not-a-number"):
        Measured.model_validate({"value": True})
    with pytest.raises(ValidationError, match="out-of-bounds"):
        Measured.model_validate({"value": 1, "uncertainty": -1})
    with pytest.raises(ValidationError):
        Measured.model_validate(True)


def named(record: Record) -> dict[str, tuple[str, str, bool]]:
    """Return kind, id and firmness of each reference, by dotted path."""
    return {
        ".".join(map(str, found.path)): (found.kind, found.id, found.rests)
        for found in references(record)
    }


def test_a_run_names_what_it_rests_on() -> None:
    """Device, method and listed natural decays carry a run; its successor does not."""
    run = DecayRun.model_validate(
        {
            "id": "r",
            "kind": "decay",
            "device": "heron",
            "specimen": "a",
            "filter": "mat",
            "speed": "low",
            "method": "decay-1",
            "started": "2026-03-01T10:00Z",
            "series": "r",
            "natural": ["n-1", "n-2"],
            "superseded_by": "r-2",
        }
    )
    assert named(run) == {
        "method": ("method", "decay-1", True),
        "superseded_by": ("run", "r-2", False),
        "device": ("device", "heron", True),
        "natural.0": ("run", "n-1", True),
        "natural.1": ("run", "n-2", True),
    }


def test_a_device_names_its_filters_at_their_places() -> None:
    """References are found inside lists of groups, with the position in their path."""
    device = Device.model_validate(
        {
            "id": "heron",
            "name": "Heron",
            "maker": "Nobody",
            "form": "kit",
            "speeds": [{"id": "low", "label": "Low"}],
            "filters": [{"id": "mat"}, {"id": "felt", "pieces": 2}],
            "superseded_by": "stork",
        }
    )
    assert named(device) == {
        "filters.0.id": ("filter", "mat", True),
        "filters.1.id": ("filter", "felt", True),
        "superseded_by": ("device", "stork", False),
    }


def test_references_of_the_demonstration_are_as_its_files_have_them(
    demo: LoadedArchive,
) -> None:
    """Each reference's path leads to the same word in the file that names it."""
    located = locate(listing(DEMO))
    count = 0
    for key, record in list(demo.records.items())[::7]:
        path = located.records[key]
        tree = load_record(*key, (DEMO / path).read_bytes(), path).tree
        for found in references(record):
            assert tree.value(found.path) == found.id
            count += 1
    assert count > 150
