"""Adopt a decay method's current repeatability: a small edit of its record.

Only the three values are written, at the places where they stand; every other byte of
the record stays as its author wrote it.
"""

from __future__ import annotations

import datetime as dt
import os
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sitegen.archive_build import Folders, ask_archive
from sitegen.errors import Fault, FaultsFound, Place
from sitegen.load import load_record
from sitegen.load.guesses import guess, listed

if TYPE_CHECKING:
    from sitegen.findings.repeatability import RepeatabilityFinding

FIELD = "repeatability"
# Before these the block is put when the record has none: they are long or last.
_AFTERWARDS = ("comparable_with", "replaced_by", "text", "held", "note")


@dataclass(frozen=True, slots=True)
class Adoption:
    """What is adopted, and what held until now.

    Attributes:
        method: id of the method.
        file: its record, below the archive.
        cv: the new coefficient of variation, three digits.
        degrees_of_freedom: behind it.
        adopted: ISO date.
        old: cv, degrees of freedom and ISO date until now, or nothing.
        differs: whether the two differ by more than chance explains (F test, 5 %).
        runs: runs that it rests on.
        configurations: configurations that those are of.
        homogeneous: whether they scatter alike; nothing when it cannot be tested.
        variable: configurations that scatter more than the rest.
        steady_cv: what it would be without those, or nothing.
        changed: whether the record says something else now.
    """

    method: str
    file: str
    cv: float
    degrees_of_freedom: int
    adopted: str
    old: tuple[float, float, str] | None
    differs: bool
    runs: int
    configurations: int
    homogeneous: bool | None
    variable: tuple[str, ...]
    steady_cv: float | None
    changed: bool


def adopt(
    folders: Folders, method_id: str, today: dt.date, *, only_show: bool = False
) -> Adoption:
    """Write a method's current repeatability into its record.

    Args:
        folders: the archive, and where the published state is remembered.
        method_id: the decay method.
        today: day of the adoption.
        only_show: return what would be written and leave the record alone.

    Raises:
        FaultsFound: if the archive has faults, ``method_id`` is no decay method, its
            repeats have fewer than 8 degrees of freedom, or its record is written in
            a way that the edit would have to rewrite.
        MachineFault: if the machine refuses.
    """
    (located,) = ask_archive(folders, [("decay_methods",)], show_held=False)
    if method_id not in located:
        raise FaultsFound([_no_method(method_id, located)])
    file = located[method_id]
    (found,) = ask_archive(folders, [(FIELD, method_id)], show_held=False)
    current = found.current
    if current is None or not current.enough:
        degrees = f"{current.degrees:.0f}" if current else "no"
        place = Place(file)
        fault = Fault("repeatability-too-few", place, FIELD, {"degrees": degrees})
        raise FaultsFound([fault])
    adoption = _adoption(found, file, today)
    if adoption.changed:
        path = folders.archive / file
        data = edited(path.read_bytes(), adoption, file)
        if not only_show:
            _replace(path, data)
    return adoption


def _no_method(method_id: str, located: Mapping[str, str]) -> Fault:
    values = {"value": method_id, **guess(method_id, located)}
    if located:
        values["choices"] = listed(sorted(located))
    return Fault("not-a-decay-method", Place("records/methods"), "", values)


def _adoption(found: RepeatabilityFinding, file: str, today: dt.date) -> Adoption:
    current, held = found.current, found.adopted
    if current is None:
        message = "nothing to adopt"
        raise ValueError(message)
    cv = float(f"{current.cv:.3g}")
    degrees = round(current.degrees)
    same = held is not None and (held.cv, round(held.degrees)) == (cv, degrees)
    return Adoption(
        method=found.method,
        file=file,
        cv=cv,
        degrees_of_freedom=degrees,
        adopted=today.isoformat(),
        old=(held.cv, held.degrees, held.day) if held else None,
        differs=found.differ,
        runs=current.runs,
        configurations=current.configurations,
        homogeneous=current.homogeneous,
        variable=current.variable,
        steady_cv=current.steady_cv,
        changed=not same,
    )


def edited(data: bytes, adoption: Adoption, file: str) -> bytes:
    """Return a record with the three values put in; all else stays byte by byte.

    Args:
        data: the record as it is, without fault.
        adoption: what to put in.
        file: the record, for the place of a fault.

    Raises:
        FaultsFound: ``record-not-editable``.
    """
    from ruamel.yaml import YAML  # noqa: PLC0415 - only for an edit
    from ruamel.yaml.nodes import MappingNode, ScalarNode  # noqa: PLC0415

    bom = data[:3] if data.startswith(b"\xef\xbb\xbf") else b""
    text = data[len(bom) :].decode("utf-8")
    values = {
        "cv": f"{adoption.cv:g}",
        "degrees_of_freedom": str(adoption.degrees_of_freedom),
        "adopted": adoption.adopted,
    }
    fields = {key.value: (key, value) for key, value in YAML().compose(text).value}
    if FIELD not in fields:
        at = min(
            key.start_mark.index
            for name, (key, _) in fields.items()
            if name in _AFTERWARDS
        )
        new = bom + _with_block(text, at, values).encode("utf-8")
        return _checked(data, new, adoption, file)
    block = fields[FIELD][1]
    if not isinstance(block, MappingNode):
        raise FaultsFound([Fault("record-not-editable", Place(file), FIELD)])
    spots = {key.value: value for key, value in block.value}
    if block.anchor or any(
        not isinstance(spots.get(name), ScalarNode) or spots[name].anchor
        for name in values
    ):
        raise FaultsFound([Fault("record-not-editable", Place(file), FIELD)])
    for name in sorted(values, key=lambda n: -spots[n].start_mark.index):
        start, end = spots[name].start_mark.index, spots[name].end_mark.index
        text = text[:start] + values[name] + text[end:]
    return _checked(data, bom + text.encode("utf-8"), adoption, file)


def _checked(before: bytes, after: bytes, adoption: Adoption, file: str) -> bytes:
    """Return the new bytes if they say what they should and nothing else changed."""
    old, new = (
        load_record("method", adoption.method, data, file).record
        for data in (before, after)
    )
    wanted = {
        "cv": adoption.cv,
        "degrees_of_freedom": adoption.degrees_of_freedom,
        "adopted": adoption.adopted,
    }
    if (
        old is None
        or new is None
        or old.model_dump(mode="json") | {FIELD: wanted} != new.model_dump(mode="json")
    ):
        raise FaultsFound([Fault("record-not-editable", Place(file), FIELD)])
    return after


def _with_block(text: str, at: int, values: Mapping[str, str]) -> str:
    """Return a record with a new block before the line at ``at``.

    Comments that stand right above that line belong to it and stay there.
    """
    end = "\r\n" if "\r\n" in text else "\n"
    lines = text[:at].splitlines(keepends=True)
    while lines and lines[-1].lstrip().startswith("#"):
        lines.pop()
    start = sum(map(len, lines))
    block = [f"{FIELD}:", *(f"  {name}: {value}" for name, value in values.items())]
    return text[:start] + "".join(f"{line}{end}" for line in block) + text[start:]


def _replace(path: Path, data: bytes) -> None:
    """Put a file in place in one step, with the rights that it had."""
    mode = path.stat().st_mode & 0o7777
    with tempfile.NamedTemporaryFile(
        dir=path.parent, prefix=f".{path.name}.", suffix=".tmp~", delete=False
    ) as file:
        temporary = Path(file.name)
        try:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
            temporary.chmod(mode)
            temporary.replace(path)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise
