"""Loads a whole archive folder with the loader alone, without the engine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sitegen.errors import Fault, sort_faults
from sitegen.load import (
    ADDRESSES_FILE,
    SETTINGS_FILE,
    ArchiveIndex,
    LoadedSeries,
    Located,
    Tree,
    bare_tree,
    check_references,
    facts_of,
    facts_of_settings,
    faults_of,
    load_addresses,
    load_archive_settings,
    load_record,
    locate,
    no_settings,
    present_in,
    read_series,
)
from sitegen.model import Addresses, Archive, Instrument, Record

Key = tuple[str, str]
# What the tool itself keeps beside the records.
_NOT_RECORDS = (".sitegen", "published", "own")


@dataclass(frozen=True, slots=True)
class LoadedArchive:
    """Everything that a folder holds, and everything that is wrong with it.

    Attributes:
        located: which file holds what.
        records: records without fault, by kind and id.
        series: what became of each series file, by its name.
        archive: the settings, when they have no fault.
        addresses: addresses moved or gone.
        index: what the checks between records saw.
        faults: everything wrong, in reading order; prose is not looked into.
    """

    located: Located
    records: Mapping[Key, Record]
    series: Mapping[str, LoadedSeries]
    archive: Archive | None
    addresses: Addresses
    index: ArchiveIndex
    faults: tuple[Fault, ...]


def listing(folder: Path) -> list[str]:
    """Return the paths of an archive's files, relative and sorted."""
    found = (
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file()
    )
    return sorted(path for path in found if path.split("/")[0] not in _NOT_RECORDS)


def load_folder(folder: Path) -> LoadedArchive:
    """Return what a folder holds, with every fault that the loader finds."""
    located = locate(listing(folder))
    faults = [*located.faults]
    trees: dict[Key, Tree] = {}
    records: dict[Key, Record] = {}
    for (kind, name), path in located.records.items():
        loaded = load_record(kind, name, (folder / path).read_bytes(), path)
        faults += loaded.faults
        trees[kind, name] = loaded.tree
        if loaded.record is not None:
            records[kind, name] = loaded.record
    archive = _settings(folder, faults, trees)
    addresses = _addresses(folder, faults, trees)
    series = _series(folder, located, records, faults)
    index = ArchiveIndex(
        records={key: facts_of(key[0], record) for key, record in records.items()},
        present=present_in(located),
        archive=None if archive is None else facts_of_settings(archive),
        addresses=addresses,
    )

    def tree_of(kind: str, name: str) -> Tree:
        if kind == "series":
            return bare_tree(located.series[name])
        return trees[kind, name]

    faults += faults_of(check_references(index), tree_of)
    return LoadedArchive(
        located, records, series, archive, addresses, index, tuple(sort_faults(faults))
    )


def _settings(
    folder: Path, faults: list[Fault], trees: dict[Key, Tree]
) -> Archive | None:
    path = folder / SETTINGS_FILE
    if not path.is_file():
        faults.append(no_settings())
        return None
    loaded = load_archive_settings(path.read_bytes(), SETTINGS_FILE)
    faults += loaded.faults
    trees["archive", ""] = loaded.tree
    return loaded.record


def _addresses(folder: Path, faults: list[Fault], trees: dict[Key, Tree]) -> Addresses:
    path = folder / ADDRESSES_FILE
    if not path.is_file():
        return Addresses()
    loaded = load_addresses(path.read_bytes(), ADDRESSES_FILE)
    faults += loaded.faults
    trees["addresses", ""] = loaded.tree
    return loaded.record or Addresses()


def _series(
    folder: Path,
    located: Located,
    records: Mapping[Key, Record],
    faults: list[Fault],
) -> dict[str, LoadedSeries]:
    read = {
        record.id: sorted(record.fractions)
        for record in records.values()
        if isinstance(record, Instrument)
    }
    found = {}
    for name, path in located.series.items():
        found[name] = read_series((folder / path).read_bytes(), path, read)
        faults += found[name].faults
    return found
