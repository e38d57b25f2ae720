"""Adopt a decay method's current repeatability: a small edit of its record.

Only the three values are written, on the lines where they stand; every other line of
the record stays as its author wrote it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sitegen.archive_build import Folders, ask_archive
from sitegen.desk.checked_edit import checked, not_editable
from sitegen.desk.record_edit import edited, with_block, write_files
from sitegen.errors import Fault, FaultsFound, Place
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
    folders: Folders,
    method_id: str,
    today: dt.date,
    *,
    only_show: bool = False,
    on_progress: Callable[[Any], None] | None = None,
) -> Adoption:
    """Write a method's current repeatability into its record.

    Args:
        folders: the archive, and where the published state is remembered.
        method_id: the decay method.
        today: day of the adoption.
        only_show: return what would be written and leave the record alone.
        on_progress: called as the work goes on.

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
    (found,) = ask_archive(
        folders, [(FIELD, method_id)], show_held=False, on_progress=on_progress
    )
    current = found.current
    if current is None or not current.enough:
        degrees = f"{current.degrees:.0f}" if current else "no"
        place = Place(file)
        fault = Fault("repeatability-too-few", place, FIELD, {"degrees": degrees})
        raise FaultsFound([fault])
    adoption = _adoption(found, file, today)
    if adoption.changed:
        data = adopted((folders.archive / file).read_bytes(), adoption, file)
        if not only_show:
            write_files(folders.archive, [(file, data)])
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


def adopted(data: bytes, adoption: Adoption, file: str) -> bytes:
    """Return a method's record with the three values put in; all else stays.

    Args:
        data: the record as it is, without fault.
        adoption: what to put in.
        file: the record, for the place of a fault.

    Raises:
        FaultsFound: ``record-not-editable``.
    """
    values = {
        "cv": f"{adoption.cv:g}",
        "degrees_of_freedom": str(adoption.degrees_of_freedom),
        "adopted": adoption.adopted,
    }

    def put(top: Any) -> None:  # noqa: ANN401 - plain data
        for name, text in values.items():
            top[FIELD][name] = text

    try:
        new = edited(data, put)
    except (KeyError, TypeError):
        # There is no such block yet, or one that says it in a way of its own.
        try:
            new = with_block(data, FIELD, values, _AFTERWARDS)
        except LookupError:
            raise FaultsFound([not_editable(file, FIELD)]) from None
    wanted = {
        "cv": adoption.cv,
        "degrees_of_freedom": adoption.degrees_of_freedom,
        "adopted": adoption.adopted,
    }
    return checked("method", adoption.method, file, (data, new), {FIELD: wanted})
