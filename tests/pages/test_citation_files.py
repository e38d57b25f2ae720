"""The files that say how the data are cited."""

from __future__ import annotations

import dataclasses
import re
from typing import Any

import jsonschema
import pytest
import yaml

from sitegen.pages.citation_files import citation_bib, citation_cff
from sitegen.pages.frame import Site
from sitegen.pages.words import ENGLISH
from tests.pages.builders import SITE

# What version 1.2.0 of the Citation File Format asks of the keys used here, written
# down from its guide (the schema's own descriptions); no other key is allowed.
CFF: dict[str, Any] = {
    "type": "object",
    "additionalProperties": False,
    "required": ["authors", "cff-version", "message", "title"],
    "properties": {
        "cff-version": {"const": "1.2.0"},
        "message": {"type": "string", "minLength": 1},
        "title": {"type": "string", "minLength": 1},
        "type": {"enum": ["dataset", "software"]},
        "authors": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "required": ["name"],
                "additionalProperties": False,
                "properties": {"name": {"type": "string", "minLength": 1}},
            },
        },
        "abstract": {"type": "string", "minLength": 1},
        "keywords": {
            "type": "array",
            "minItems": 1,
            "uniqueItems": True,
            "items": {"type": "string", "minLength": 1},
        },
        "url": {"type": "string", "pattern": "^(https|http|ftp|sftp)://.+"},
        "repository": {"type": "string", "pattern": "^(https|http|ftp|sftp)://.+"},
        "license": {"enum": ["CC-BY-4.0", "PDDL-1.0", "ODC-By-1.0", "CC0-1.0"]},
        "license-url": {"type": "string", "pattern": "^(https|http|ftp|sftp)://.+"},
        "version": {"type": "string", "minLength": 1},
        "date-released": {
            "type": "string",
            "pattern": r"^[0-9]{4}-(0[1-9]|1[0-2])-[0-3][0-9]$",
        },
    },
}


def cff(site: Site = SITE, released: str = "") -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load(citation_cff(site, ENGLISH, released))
    jsonschema.validate(found, CFF)
    return found


def test_it_is_valid_with_and_without_a_release() -> None:
    """Before the first release there is no version; then it is the release's day."""
    assert "version" not in cff()
    found = cff(released="2026-04-01")
    assert (found["version"], found["date-released"]) == ("2026-04-01", "2026-04-01")
    assert found["type"] == "dataset"
    assert found["url"] == "https://example.org/"


@pytest.mark.parametrize(
    ("licence", "url", "said"),
    [
        ("CC BY 4.0", "https://example.com/l", {"license": "CC-BY-4.0"}),
        ("ODC PDDL 1.0", "", {"license": "PDDL-1.0"}),
        ("Ours", "https://example.com/l", {"license-url": "https://example.com/l"}),
        ("Ours", "", {}),
    ],
)
def test_licence(licence: str, url: str, said: dict[str, str]) -> None:
    """A listed licence is told by its id, another by its address."""
    found = cff(dataclasses.replace(SITE, licence=licence, licence_url=url))
    assert {k: v for k, v in found.items() if k.startswith("license")} == said


@pytest.mark.parametrize(
    "name",
    ["NO", "1e3", 'A "bench"', "a: b # c", "- x", "&a *b", "\\n", "试验 é", "{}"],
)
def test_any_name_reads_back(name: str) -> None:
    """Whatever YAML would make of a name, it reads back as it is."""
    found = cff(dataclasses.replace(SITE, name=name, publisher=name))
    assert found["title"] == name
    assert found["authors"] == [{"name": name}]


def test_bibtex_has_an_entry_for_each_release() -> None:
    """Each release has an entry with a key and a date of its own, newest first."""
    text = citation_bib(SITE, ENGLISH, ["2026-01-05", "2026-04-01"]).decode()
    keys = re.findall(r"@misc\{(.*),", text)
    assert keys == ["bench-data-2026-04-01", "bench-data-2026-01-05"]
    assert re.findall(r"date +=\s\{(.*)\}", text) == ["2026-04-01", "2026-01-05"]
    assert text.count("{") == text.count("}")


def test_bibtex_without_a_release() -> None:
    """Before the first release there is one entry, without a date."""
    text = citation_bib(SITE, ENGLISH).decode()
    assert text.count("@misc") == 1
    assert "date" not in text
