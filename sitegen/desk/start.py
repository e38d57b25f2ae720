"""A new archive, with a commented example of every record, that compiles at once."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from sitegen.archive_build import shipped_folder
from sitegen.errors import Place, UsageFault, fault_lines

# What the version control of the tester's choice need not keep.
IGNORED = """\
# The published site and the state of the tool can be made again at any time.
published/
.sitegen/
"""
# In the YAML files of content/start these words stand where a scalar is filled in.
_PLACEHOLDER = re.compile(r"START-(NAME|ADDRESS|CURRENCY|UNITS)\b")


@dataclass(frozen=True, slots=True)
class Beginning:
    """What a new archive is told about itself.

    Attributes:
        name: name of the archive.
        address: canonical base address of the published site.
        currency: ISO 4217 code of the currency that costs are reckoned in.
        units: ``metric`` or ``us``: which readers see first.
    """

    name: str
    address: str
    currency: str
    units: str


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
        raise UsageFault(f"{folder} is a file; name a folder that is new or empty")
    if folder.is_dir() and any(folder.iterdir()):
        raise UsageFault(f"{folder} is not empty; name a folder that is new or empty")
    files = {".gitignore": IGNORED.encode(), **_filled(beginning)}
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return tuple(sorted(folder / name for name in files))


def _filled(beginning: Beginning) -> dict[str, bytes]:
    """Return the files of a new archive by their paths, placeholders filled."""
    # A JSON string is a double-quoted YAML scalar: whatever stands in it stays text.
    words = {
        "NAME": json.dumps(beginning.name, ensure_ascii=False),
        "ADDRESS": json.dumps(beginning.address, ensure_ascii=False),
        "CURRENCY": json.dumps(beginning.currency, ensure_ascii=False),
        "UNITS": json.dumps(beginning.units, ensure_ascii=False),
    }
    source = shipped_folder("content") / "start"
    files: dict[str, bytes] = {}
    for path in sorted(source.rglob("*")):
        if path.is_file():
            name = path.relative_to(source).as_posix()
            data = path.read_bytes()
            files[name] = _with_words(data, words) if path.suffix == ".yaml" else data
    _check_settings(files)
    return files


def _with_words(data: bytes, words: Mapping[str, str]) -> bytes:
    text = data.decode("utf-8")
    return _PLACEHOLDER.sub(lambda found: words[found[1]], text).encode("utf-8")


def _check_settings(files: Mapping[str, bytes]) -> None:
    from sitegen.load import SETTINGS_FILE, load_archive_settings  # noqa: PLC0415

    faults = load_archive_settings(files[SETTINGS_FILE], SETTINGS_FILE).faults
    if faults:
        # The file is not written, so that a line in it would be no help.
        told = [replace(fault, place=Place("start")) for fault in faults]
        raise UsageFault(fault_lines(told))
