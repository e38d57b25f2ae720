"""Steps from the archive's files to records, faults, and what may be shown."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any
from zlib import crc32

from pydantic import BaseModel, TypeAdapter

from sitegen.archive_build.codecs import record_codec, typed_codec
from sitegen.archive_build.parsed import Parsed, StoredFault, stored, unstored
from sitegen.errors import FaultsFound
from sitegen.load import (
    ADDRESSES_FILE,
    SETTINGS_FILE,
    ArchiveIndex,
    Facts,
    Loaded,
    Problem,
    Tree,
    bare_tree,
    check_references,
    facts_of,
    facts_of_settings,
    faults_of,
    held_back,
    load_addresses,
    load_archive_settings,
    load_record,
    locate,
    no_settings,
    read_series,
    read_yaml,
    visible,
)
from sitegen.model import KINDS, Addresses, Archive, Record, adapter
from sitegen.rebuild import Ask, Codec, Step, json_codec

SHARES = 64
"""Into so many shares lists are divided that would wake everything if one changed."""

FOLDERS = ("records", "series", "texts", "photos", "audio")


def share_of(name: str) -> str:
    """Return the share into which an id falls."""
    return str(crc32(name.encode()) % SHARES)


# Where everything is


def _located(ask: Ask) -> dict[str, Any]:
    paths = [
        f"{folder}/{path}"
        for folder in FOLDERS
        for path in ask.listing(f"archive:{folder}", "")
    ]
    # A settings file whose name ends otherwise would be passed over in silence.
    other = "archive.yml"
    if ask.file_or_none(f"archive:{other}") is not None:
        paths.append(other)
    found = locate(paths)
    return {
        "records": sorted([*key, path] for key, path in found.records.items()),
        "series": dict(found.series),
        "texts": dict(found.texts),
        "media": sorted(found.media),
        "faults": [asdict(stored(fault)) for fault in found.faults],
    }


def _ids(ask: Ask, kind: str) -> list[str]:
    located = ask("located")
    if kind == "prose":
        return sorted(located["texts"])
    return [name for of_kind, name, _ in located["records"] if of_kind == kind]


def _paths_by_share(ask: Ask) -> dict[str, dict[str, str]]:
    """Paths of records and series by share and ``KIND:ID``."""
    located = ask("located")
    places = [(kind, name, path) for kind, name, path in located["records"]]
    places += [("series", name, path) for name, path in located["series"].items()]
    found: dict[str, dict[str, str]] = {}
    for kind, name, path in places:
        found.setdefault(share_of(name), {})[f"{kind}:{name}"] = path
    return found


def _paths_in(ask: Ask, share: str) -> dict[str, str]:
    """One share of all paths: a file that is new wakes only what lies in its share."""
    paths: dict[str, str] = ask("paths_by_share").get(share, {})
    return paths


def _record_path(ask: Ask, kind: str, record_id: str) -> str:
    return str(ask("paths_in", share_of(record_id))[f"{kind}:{record_id}"])


def _series_path(ask: Ask, name: str) -> str:
    return str(ask("paths_in", share_of(name))[f"series:{name}"])


def _text_path(ask: Ask, name: str) -> str:
    return str(ask("located")["texts"][name])


def _media(ask: Ask) -> list[str]:
    return list(ask("located")["media"])


# Records


def _parsed(ask: Ask, kind: str, record_id: str) -> Parsed:
    path = ask("record_path", kind, record_id)
    return _as_parsed(load_record(kind, record_id, ask.file(f"archive:{path}"), path))


def _as_parsed(loaded: Loaded[Any]) -> Parsed:
    record: BaseModel | None = loaded.record
    return Parsed(
        record=record.model_dump(mode="json") if record is not None else None,
        faults=tuple(stored(fault) for fault in loaded.faults),
    )


def _whole(parsed: Parsed) -> dict[str, Any]:
    if parsed.record is None:
        raise FaultsFound([unstored(fault) for fault in parsed.faults])
    return parsed.record


def _record(ask: Ask, kind: str, record_id: str) -> Record:
    return adapter(kind).validate_python(_whole(ask("parsed", kind, record_id)))


def _facts(ask: Ask, kind: str, record_id: str) -> Facts | None:
    parsed: Parsed = ask("parsed", kind, record_id)
    if parsed.record is None:
        return None
    return facts_of(kind, adapter(kind).validate_python(parsed.record))


def _archive_parsed(ask: Ask) -> Parsed:
    data = ask.file_or_none(f"archive:{SETTINGS_FILE}")
    if data is None:
        return Parsed(None, (stored(no_settings()),))
    return _as_parsed(load_archive_settings(data, SETTINGS_FILE))


def _archive(ask: Ask) -> Archive:
    return Archive.model_validate(_whole(ask("archive_parsed")))


def _addresses_parsed(ask: Ask) -> Parsed:
    data = ask.file_or_none(f"archive:{ADDRESSES_FILE}")
    if data is None:
        return Parsed(Addresses().model_dump(mode="json"), ())
    return _as_parsed(load_addresses(data, ADDRESSES_FILE))


def _addresses(ask: Ask) -> Addresses:
    return Addresses.model_validate(_whole(ask("addresses_parsed")))


def _primary_fraction(ask: Ask) -> str:
    return str(ask("archive").primary_fraction)


def _canonical_base(ask: Ask) -> str:
    return str(ask("archive").address)


# Series


def _instrument_fractions(ask: Ask) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name in ask("ids", "instrument"):
        parsed: Parsed = ask("parsed", "instrument", name)
        if parsed.record is not None:
            found[name] = sorted(parsed.record["fractions"])
    return found


def _series_faults(ask: Ask, name: str) -> tuple[StoredFault, ...]:
    path = ask("series_path", name)
    loaded = read_series(ask.file(f"archive:{path}"), path, ask("instrument_fractions"))
    return tuple(stored(fault) for fault in loaded.faults)


def _all_facts(ask: Ask) -> tuple[Facts, ...]:
    keys = [(kind, name) for kind in KINDS for name in ask("ids", kind)]
    found = ask.all([("facts", *key) for key in keys])
    return tuple(facts for facts in found if facts is not None)


def _present(ask: Ask) -> list[list[str]]:
    located = ask("located")
    keys = [[kind, name] for kind, name, _ in located["records"]]
    keys += [["series", name] for name in sorted(located["series"])]
    keys += [["prose", name] for name in sorted(located["texts"])]
    return keys + [["media", path] for path in located["media"]]


# Faults


def _problems(ask: Ask) -> tuple[Problem, ...]:
    """What is wrong between records, without places."""
    settings: Parsed = ask("archive_parsed")
    moved: Parsed = ask("addresses_parsed")
    archive = None
    if settings.record is not None:
        archive = facts_of_settings(Archive.model_validate(settings.record))
    addresses = Addresses()
    if moved.record is not None:
        addresses = Addresses.model_validate(moved.record)
    index = ArchiveIndex(
        records={(facts.kind, facts.id): facts for facts in ask("all_facts")},
        present=frozenset((kind, name) for kind, name in ask("present")),
        archive=archive,
        addresses=addresses,
    )
    return check_references(index)


def _faults(ask: Ask) -> tuple[StoredFault, ...]:
    """Everything wrong with the archive, with places: what is looked at first."""
    # Read while pages are made, when it would be too late to find a link among them.
    ask.listing("archive:own", "")
    located = ask("located")
    adapt = TypeAdapter(tuple[StoredFault, ...])
    found = list(adapt.validate_python(located["faults"]))
    keys = [(kind, name) for kind, name, _ in located["records"]]
    parsed = [ask("archive_parsed"), ask("addresses_parsed")]
    parsed += ask.all([("parsed", *key) for key in keys])
    for each in parsed:
        found += each.faults
    for faults in ask.all([("series_faults", name) for name in located["series"]]):
        found += faults
    for faults in ask.all([("prose_faults", name) for name in located["texts"]]):
        found += faults
    found += ask("all_media_faults")

    def tree_of(kind: str, name: str) -> Tree:
        if kind == "series":
            return bare_tree(ask("series_path", name))
        path = {"archive": SETTINGS_FILE, "addresses": ADDRESSES_FILE}.get(kind)
        path = path or ask("record_path", kind, name)
        return read_yaml(ask.file(f"archive:{path}"), path)

    problems = list(ask("problems"))
    for each in ask.all([("text_problems", *key) for key in keys]):
        problems += each
    found += [stored(fault) for fault in faults_of(problems, tree_of)]
    return tuple(found)


# What may be shown


def _visible(ask: Ask) -> dict[str, list[str]]:
    records = {(facts.kind, facts.id): facts for facts in ask("all_facts")}
    if ask.setting("show_held"):
        found: dict[str, list[str]] = {}
        for kind, name in sorted(records):
            found.setdefault(kind, []).append(name)
        return found
    return {kind: list(names) for kind, names in visible(records).items()}


def _shown(ask: Ask, kind: str) -> list[str]:
    if kind == "prose":
        return list(ask("ids", "prose"))
    return list(ask("visible").get(kind, []))


def _shown_in(ask: Ask, kind: str, share: str) -> dict[str, bool]:
    """One share of the ids of a kind; see ``_paths_in``."""
    return dict.fromkeys(ask("shown_by_share", kind).get(share, ()), True)


def _shown_by_share(ask: Ask, kind: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name in ask("shown", kind):
        found.setdefault(share_of(name), []).append(name)
    return found


def _held(ask: Ask) -> list[str]:
    """Ids held back, as ``KIND:ID``; only a preview shows any of them."""
    if not ask.setting("show_held"):
        return []
    records = {(facts.kind, facts.id): facts for facts in ask("all_facts")}
    return sorted(f"{kind}:{name}" for kind, name in held_back(records))


def _is_held(ask: Ask, kind: str, record_id: str) -> bool:
    return f"{kind}:{record_id}" in ask("held")


def source_steps() -> tuple[Step, ...]:
    """Return the steps from files to records."""
    parsed: Codec[Any] = typed_codec(Parsed)
    return (
        Step("located", _located, json_codec),
        Step("ids", _ids, json_codec),
        Step("paths_by_share", _paths_by_share, json_codec),
        Step("paths_in", _paths_in, json_codec),
        Step("record_path", _record_path, json_codec),
        Step("series_path", _series_path, json_codec),
        Step("text_path", _text_path, json_codec),
        Step("media", _media, json_codec),
        Step("parsed", _parsed, parsed),
        Step("record", _record, record_codec),
        Step("facts", _facts, typed_codec(Facts | None)),
        Step("all_facts", _all_facts, typed_codec(tuple[Facts, ...])),
        Step("present", _present, json_codec),
        Step("problems", _problems, typed_codec(tuple[Problem, ...])),
        Step("faults", _faults, typed_codec(tuple[StoredFault, ...])),
        Step("visible", _visible, json_codec),
        Step("shown", _shown, json_codec),
        Step("shown_by_share", _shown_by_share, json_codec),
        Step("shown_in", _shown_in, json_codec),
        Step("held", _held, json_codec),
        Step("is_held", _is_held, json_codec),
        Step("archive_parsed", _archive_parsed, parsed),
        Step("archive", _archive, typed_codec(Archive)),
        Step("addresses_parsed", _addresses_parsed, parsed),
        Step("addresses", _addresses, typed_codec(Addresses)),
        Step("primary_fraction", _primary_fraction, json_codec),
        Step("canonical_base", _canonical_base, json_codec),
        Step("instrument_fractions", _instrument_fractions, json_codec),
        Step("series_faults", _series_faults, typed_codec(tuple[StoredFault, ...])),
    )
