"""``data/datapackage.json``: the data files as a Data Package (version 2).

The standard is at <https://datapackage.org>. Paths in it are relative to the file,
so that a downloaded folder stays a valid package.
"""

from __future__ import annotations

import hashlib
import json
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sitegen.pages import addresses
from sitegen.pages.data_columns import ENUMS, KEYS, Column, Table, columns
from sitegen.pages.frame import Site
from sitegen.pages.words import ENGLISH, Words

_PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
# Ids of licences for data as the Open Definition lists them; the standard wants one
# of these as a licence's name, anything else is said by title and path alone.
_OPEN_LICENCES = frozenset(
    {
        "CC0-1.0",
        "CC-BY-3.0",
        "CC-BY-4.0",
        "CC-BY-SA-3.0",
        "CC-BY-SA-4.0",
        "ODC-BY-1.0",
        "ODC-PDDL-1.0",
        "ODbL-1.0",
    }
)


@dataclass(frozen=True, slots=True)
class FileFacts:
    """What is said of a file that is downloaded.

    Attributes:
        name: its name below ``data/``, for example ``series/alder-3.zip``.
        size: its length, bytes.
        sha256: its digest, hexadecimal.
    """

    name: str
    size: int
    sha256: str


def file_facts(name: str, data: bytes) -> FileFacts:
    """Return what is said of a file.

    Args:
        name: its name below ``data/``.
        data: its bytes.
    """
    return FileFacts(name, len(data), hashlib.sha256(data).hexdigest())


def datapackage_json(
    site: Site,
    results: FileFacts,
    runs: FileFacts,
    readings: FileFacts,
    others: Sequence[FileFacts] = (),
    released: str = "",
    words: Words = ENGLISH,
) -> bytes:
    """Return the description of all data files.

    Args:
        site: what is said of the archive.
        results: facts of ``results.csv``.
        runs: facts of ``runs.csv``.
        readings: facts of ``readings.csv``.
        others: facts of further files: ``results.json`` and zipped series.
        released: day of the last release, ISO, or ``""``.
        words: the interface's words.
    """
    base = addresses.HOME.canonical(site.base)
    package: dict[str, Any] = {
        "$schema": _PROFILE,
        "name": package_name(site.name),
        "title": site.name,
        "description": description(site, words),
        "homepage": base,
        "id": addresses.data_file("datapackage.json").canonical(site.base),
        "licenses": [_licence(site)],
        "sources": [{"title": site.name, "path": base}],
        "contributors": [{"title": site.publisher, "roles": ["publisher"]}],
        "keywords": list(keywords(site, words)),
        "resources": [
            _table(site, "results", results, words),
            _table(site, "runs", runs, words),
            _table(site, "readings", readings, words),
            *(_other(each) for each in sorted(others, key=lambda each: each.name)),
        ],
    }
    if released:
        package["version"] = released
    text = json.dumps(package, ensure_ascii=False, indent=1, allow_nan=False)
    return f"{text}\n".encode()


def description(site: Site, words: Words) -> str:
    """Return what the data are, for machines and search engines: whole sentences."""
    said = words(
        "Results of {site}: clean air delivery rates of room air cleaners, clearance "
        "times, sound levels, power and costs, with their uncertainty, the runs and "
        "readings that they rest on, and the measured series.",
        site=site.name,
    )
    if site.simulated:
        said = f"{words('All data are simulated.')} {said}"
    return said


def keywords(site: Site, words: Words) -> tuple[str, ...]:
    """Return words by which the data are found."""
    found = (
        words("air cleaner"),
        words("clean air delivery rate"),
        words("particle decay"),
        words("sound level"),
        words("energy use"),
    )
    return (*found, words("simulated")) if site.simulated else found


def package_name(text: str) -> str:
    """Return a text as a name of a package: lower-case letters, digits, hyphens."""
    plain = unicodedata.normalize("NFKD", text).casefold()
    ascii_only = plain.encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", ascii_only).strip("-") or "archive"


def licence_id(site: Site) -> str:
    """Return the listed id of the data's licence, or ``""`` when it has none."""
    name = site.licence.strip().replace(" ", "-")
    return name if name in _OPEN_LICENCES else ""


def _licence(site: Site) -> dict[str, str]:
    licence = {"title": site.licence}
    if name := licence_id(site):
        licence["name"] = name
    elif not site.licence_url:
        # A name or a path is wanted; this is the Open Definition's word for neither.
        licence["name"] = "notspecified"
    if site.licence_url:
        licence["path"] = site.licence_url
    return licence


def _file(facts: FileFacts) -> dict[str, Any]:
    return {
        "path": facts.name,
        "bytes": facts.size,
        "hash": f"sha256:{facts.sha256}",
    }


def _table(site: Site, name: Table, facts: FileFacts, words: Words) -> dict[str, Any]:
    titles = {
        "results": words("Results: one row per configuration, method and fraction"),
        "runs": words("Runs: one row per run, instrument and fraction"),
        "readings": words("Readings of sound and power: one row per reading"),
    }
    return {
        "name": name,
        "type": "table",
        "title": titles[name],
        **_file(facts),
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"'},
        "schema": {
            "fields": [
                _field(site, each, name, words) for each in columns(name, words)
            ],
            "missingValues": [""],
            "primaryKey": list(KEYS[name]),
        },
    }


def _field(site: Site, column: Column, table: Table, words: Words) -> dict[str, Any]:
    meaning = column.meaning
    unit = site.currency if column.unit == "currency" else column.unit
    if unit:
        meaning = words("{meaning} Unit: {unit}.", meaning=meaning, unit=unit)
    field: dict[str, Any] = {
        "name": column.name,
        "type": column.holds,
        "title": column.title,
        "description": meaning,
    }
    constraints: dict[str, Any] = {}
    if column.name in KEYS[table]:
        constraints["required"] = True
    if column.name in ENUMS:
        constraints["enum"] = list(ENUMS[column.name])
    if constraints:
        field["constraints"] = constraints
    return field


def _other(facts: FileFacts) -> dict[str, Any]:
    end = facts.name.rpartition(".")[2]
    kind = {"json": "application/json", "zip": "application/zip"}.get(end)
    resource: dict[str, Any] = {
        "name": package_name(facts.name),
        **_file(facts),
        "format": end,
    }
    if kind:
        resource["mediatype"] = kind
    return resource
