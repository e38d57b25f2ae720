"""A new archive, with a commented example of every record, that compiles at once."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sitegen.archive_build import shipped_folder
from sitegen.desk.schemas import schema_comment, schema_files
from sitegen.errors import Place, UsageFault, fault_lines, usage_fault

# What the version control of the tester's choice need not keep.
IGNORED = """\
# The published site and the state of the tool can be made again at any time.
published/
.sitegen/
"""
# In the YAML files of content/start these words stand where a scalar is filled in.
_PLACEHOLDER = re.compile(
    r"START-(NAME|LANGUAGE|ADDRESS|CURRENCY|UNITS|ROOM|VOLUME|FLOOR|HEIGHT|COUNTERS|COUNTER)\b"
)
# The id of the one particle counter in content/start.
_COUNTER = "counter-a"
_COUNTER_RECORD = f"records/instruments/{_COUNTER}.yaml"
# Ids of the other instruments there.
_TAKEN_IDS = frozenset({"power-meter", "sound-meter"})
FIRST_RUN = "records/runs/first-run.yaml"


@dataclass(frozen=True, slots=True)
class Beginning:
    """What a new archive is told about itself.

    Attributes:
        name: name of the archive.
        address: canonical base address of the published site.
        currency: ISO 4217 code of the currency that costs are reckoned in.
        units: ``metric`` or ``us``: which readings readers see first.
        room: name of the room.
        volume_m3: its net air volume, m³.
        height_m: its ceiling height, m.
        instruments: names of the particle counters, at least one.
        language: language of the interface, one that ships.
    """

    name: str = "My bench"
    address: str = "https://example.org/bench/"
    currency: str = "EUR"
    units: str = "metric"
    room: str = "Test room"
    volume_m3: float = 30.0
    height_m: float = 2.5
    instruments: tuple[str, ...] = ("Counter A",)
    language: str = "en"


def start_archive(folder: Path, beginning: Beginning) -> tuple[Path, ...]:
    """Write a new archive and return its files, sorted.

    Args:
        folder: where to write; made if it does not exist, otherwise empty.
        beginning: what stands in its settings.

    Raises:
        UsageFault: if the folder holds something, or the settings are not taken;
            nothing is written then.
    """
    if folder.exists() and not folder.is_dir():
        raise usage_fault("start", "folder-is-a-file", path=str(folder))
    if folder.is_dir() and any(folder.iterdir()):
        raise usage_fault("start", "folder-not-empty", path=str(folder))
    files = {".gitignore": IGNORED.encode(), **_filled(beginning)}
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return tuple(sorted(folder / name for name in files))


def _filled(beginning: Beginning) -> dict[str, bytes]:
    """Return the files of a new archive by their paths, placeholders filled."""
    ids = _instrument_ids(beginning.instruments)
    words = _words(beginning, tuple(ids))
    source = shipped_folder("content") / "start"
    files: dict[str, bytes] = {}
    for path in sorted(source.rglob("*")):
        if not path.is_file():
            continue
        name = path.relative_to(source).as_posix()
        data = path.read_bytes()
        if name == _COUNTER_RECORD:
            files.update(_counters(data, ids, words))
            continue
        data = data.replace(_COUNTER.encode(), next(iter(ids)).encode())
        files[name] = _as_record(name, data, words)
    _check_records(files)
    return {**files, **schema_files()}


def _instrument_ids(names: Sequence[str]) -> dict[str, str]:
    """Return the names of the counters by the ids that are made from them.

    Raises:
        UsageFault: if there is none, or no id, or one twice.
    """
    found: dict[str, str] = {}
    for name in names:
        plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
        stem = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:64]
        if not stem or stem in found or stem in _TAKEN_IDS:
            raise usage_fault("start", "not-an-id", "instrument", value=name)
        found[stem] = name
    if not found:
        raise usage_fault("start", "no-counter-named", "instrument")
    return found


def _words(beginning: Beginning, ids: Sequence[str]) -> dict[str, str]:
    # A JSON string is a double-quoted YAML scalar: whatever stands in it stays text.
    floor_m2 = beginning.volume_m3 / beginning.height_m if beginning.height_m else 0.0
    return {
        "NAME": json.dumps(beginning.name, ensure_ascii=False),
        "ADDRESS": json.dumps(beginning.address, ensure_ascii=False),
        "CURRENCY": json.dumps(beginning.currency, ensure_ascii=False),
        "LANGUAGE": beginning.language,
        "UNITS": json.dumps(beginning.units, ensure_ascii=False),
        "ROOM": json.dumps(beginning.room, ensure_ascii=False),
        "VOLUME": f"{beginning.volume_m3:.6g}",
        "HEIGHT": f"{beginning.height_m:.6g}",
        "FLOOR": f"{floor_m2:.3g}",
        "COUNTERS": ", ".join(ids),
    }


def _counters(
    data: bytes, ids: Mapping[str, str], words: Mapping[str, str]
) -> dict[str, bytes]:
    """Return a record for each particle counter."""
    found = {}
    for stem, name in ids.items():
        path = f"records/instruments/{stem}.yaml"
        own = {**words, "COUNTER": json.dumps(name, ensure_ascii=False)}
        found[path] = _as_record(path, data, own)
    return found


def _as_record(path: str, data: bytes, words: Mapping[str, str]) -> bytes:
    """Return a file with its words filled in and the reference to its schema."""
    if not path.endswith(".yaml"):
        return data
    comment = schema_comment(path)
    head = f"{comment}\n".encode() if comment else b""
    return head + _with_words(data, words)


def _with_words(data: bytes, words: Mapping[str, str]) -> bytes:
    text = data.decode("utf-8")
    return _PLACEHOLDER.sub(lambda found: words[found[1]], text).encode("utf-8")


def _check_records(files: Mapping[str, bytes]) -> None:
    """Refuse words that no archive, room or instrument can have."""
    from sitegen.load import (  # noqa: PLC0415 - heavy
        SETTINGS_FILE,
        load_archive_settings,
        load_record,
    )

    faults = list(load_archive_settings(files[SETTINGS_FILE], SETTINGS_FILE).faults)
    for path, data in files.items():
        kind = path.split("/")[1] if path.startswith("records/") else ""
        if kind in {"rooms", "instruments"}:
            faults += load_record(kind[:-1], Path(path).stem, data, path).faults
    if faults:
        # The files are not written, so that a line in them would be no help.
        told = [replace(fault, place=Place("start")) for fault in faults]
        raise UsageFault(fault_lines(told))
