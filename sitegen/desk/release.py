"""A release: the dated list of what is published, and what changed since the last."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from sitegen.archive_build.published import ChangeTold, Published
from sitegen.desk.archive_files import Change, refuse_faults
from sitegen.desk.record_edit import write_files
from sitegen.errors import usage_fault
from sitegen.findings.views import ResultRow
from sitegen.model import RESULT_COLUMNS, Release
from sitegen.model.rounding import significant_text

CHANGE_KINDS = ("correction", "retest", "price", "method", "addition", "withdrawal")
MOST_NAMED = 24
"""So many devices are named by a change record that is written for the tester."""

RELEASE_HEAD = """\
# What was published on this day. Written by sitegen release; not to be edited:
# nothing that the newest release lists can be dropped unseen.
"""

_COSTS = (
    "energy_kwh_year",
    "energy_cost_year",
    "filter_cost_year",
    "running_cost_year",
    "ownership_cost",
    "currency",
)
# Names, which may change without a number changing; ranks, which change when another
# device is added.
_NO_NUMBERS = frozenset(
    {
        "device",
        "filter",
        "speed",
        "method",
        "fraction",
        "run_ids",
        "sound_method",
        "power_method",
        "rank_low",
        "rank_high",
        "ranked_of",
        "address",
    }
)
_MEASURED = tuple(
    name for name in RESULT_COLUMNS if name not in _NO_NUMBERS and name not in _COSTS
)
# A change in a further digit is one of the arithmetic (another library, another
# processor), not one that a reader could see.
_DIGITS = 6
_TOLD = ("cadr_m3h", "clearance_min", "sound_dba", "power_w", "running_cost_year")


@dataclass(frozen=True, slots=True)
class ChangedResult:
    """A published result whose numbers are others than at the last release.

    Attributes:
        result: configuration, method and fraction, as the release names them.
        device: id of its device now.
        what: ``measured``, ``cost`` or ``dropped``.
        before: the main numbers then.
        now: the main numbers now; ``""`` where it is dropped.
    """

    result: str
    device: str
    what: str
    before: str
    now: str


@dataclass(frozen=True, slots=True)
class Prepared:
    """A release that could be written.

    Attributes:
        release: the release.
        unexplained: results that changed without a change record.
        explained: how many changed and have one.
    """

    release: Release
    unexplained: tuple[ChangedResult, ...]
    explained: int


def prepare_release(archive: Published, today: date) -> Prepared:
    """Return the release of a day, and what changed without a word.

    Args:
        archive: what is published.
        today: day of the release.

    Raises:
        FaultsFound: if the archive has a fault.
        UsageFault: if a later release exists.
    """
    archive.refuse_faults()
    last = archive.last()
    if last is not None and last.date > today:
        raise usage_fault("release", "release-later", day=str(last.date))
    rows = archive.rows()
    left = archive.departures()
    moved: dict[str, dict[str, str]] = {}
    gone: dict[str, list[str]] = {}
    for each in left:
        if each.now:
            moved.setdefault(each.kind, {})[each.id] = each.now
        else:
            gone.setdefault(each.kind, []).append(each.id)
    named = {row.key: row for row in rows}
    release = Release.model_validate(
        {
            "id": today.isoformat(),
            "date": today,
            "ids": archive.ids(),
            "moved": moved,
            "gone": gone,
            "digests": {name: digests(row) for name, row in sorted(named.items())},
            "numbers": {name: _numbers(row) for name, row in sorted(named.items())},
        }
    )
    if last is None:
        return Prepared(release, (), 0)
    changed = tuple(_changed(last, named, archive.moves()))
    known = frozenset(last.ids.get("change", ()))
    new = [each for each in archive.changes() if each.id not in known]
    silent = tuple(
        each for each in changed if not _explained(archive, each, named, new, last)
    )
    return Prepared(release, silent, len(changed) - len(silent))


def digests(row: ResultRow) -> str:
    """Return two digests of a result: of what was measured, of what it costs."""
    return f"{_digest(row, _MEASURED)} {_digest(row, _COSTS)}"


def _digest(row: ResultRow, names: Iterable[str]) -> str:
    told = "\n".join(f"{name}={_text(getattr(row, name))}" for name in names)
    return hashlib.sha256(told.encode()).hexdigest()[:16]


def _text(value: Any) -> str:  # noqa: ANN401 - any cell
    if isinstance(value, float):
        return significant_text(value, _DIGITS)
    if isinstance(value, tuple):
        return " ".join(value)
    return "" if value is None else str(value)


def _numbers(row: ResultRow) -> str:
    told = [(name, getattr(row, name)) for name in _TOLD]
    return " ".join(
        f"{name}={_text(value)}" for name, value in told if value is not None
    )


def _changed(
    last: Release,
    named: Mapping[str, ResultRow],
    moves: Mapping[str, Mapping[str, str]],
) -> Iterable[ChangedResult]:
    for old, digest in last.digests.items():
        name = _name_now(old, moves)
        before = last.numbers.get(old, "")
        row = named.get(name)
        device = name.partition(".")[0]
        if row is None:
            yield ChangedResult(name, device, "dropped", before, "")
            continue
        then, now = digest.split(), digests(row).split()
        if then[0] != now[0]:
            yield ChangedResult(name, device, "measured", before, _numbers(row))
        elif then != now:
            yield ChangedResult(name, device, "cost", before, _numbers(row))


def _name_now(name: str, moves: Mapping[str, Mapping[str, str]]) -> str:
    """Return the name of a result under the ids of now."""

    def now(kind: str, record_id: str) -> str:
        return moves.get(kind, {}).get(record_id, record_id)

    configuration, method, fraction = name.split(" ")
    device, used, speed = configuration.split(".")
    parts = (now("device", device), now("filter", used), speed)
    return f"{'.'.join(parts)} {now('method', method)} {fraction}"


def _explained(
    archive: Published,
    changed: ChangedResult,
    named: Mapping[str, ResultRow],
    new: list[ChangeTold],
    last: Release,
) -> bool:
    """Whether a change record that the last release did not know speaks of a result."""
    row = named.get(changed.result)
    if row is not None:
        rests = archive.rests_on(row)
    else:
        device, used, speed = changed.result.split(" ")[0].split(".")
        gone = {(each.kind, each.id) for each in archive.departures() if not each.now}
        if ("device", device) in gone:
            return True  # its address says why
        runs = archive.runs_of(device, used, speed)
        named_by = {f"device:{device}", f"method:{changed.result.split(' ')[1]}"}
        rests = frozenset({*named_by, *(f"run:{name}" for name in runs)})
        rests |= _runs_gone(last, gone)
    return any(
        rests & each.targets
        # A tariff or a rate names nothing: it concerns all costs.
        or (changed.what == "cost" and each.kind == "price" and not each.targets)
        for each in new
    )


def _runs_gone(last: Release, gone: set[tuple[str, str]]) -> set[str]:
    """Runs that are gone since: a result without them needs a word about them."""
    known = set(last.ids.get("run", ()))
    return {f"run:{name}" for kind, name in gone if kind == "run" and name in known}


def change_record(
    changed: Iterable[ChangedResult], kind: str, text: str, today: date
) -> tuple[str, bytes]:
    """Return id and bytes of a change record that speaks of results.

    A price names no device where more than a few are concerned: it is then about
    all costs.

    Args:
        changed: the results.
        kind: what sort of change it is.
        text: what changed and why, Markdown.
        today: day of the change.

    Raises:
        UsageFault: if the text is empty, or there is nothing to speak of.
    """
    found = list(changed)
    devices = sorted({each.device for each in found})
    if not text.strip():
        raise usage_fault("release", "reason-missing")
    if not devices:
        raise usage_fault("release", "nothing-changed")
    costs_alone = all(each.what == "cost" for each in found)
    if kind == "price" and costs_alone and len(devices) > MOST_NAMED:
        devices = []
    held = {
        "date": today.isoformat(),
        "kind": kind,
        "affects": [f"device:{name}" for name in devices],
        "text": text.strip(),
    }
    return f"{today.isoformat()}-{kind}", _yaml(held)


def release_bytes(release: Release) -> bytes:
    """Return a release as its file holds it."""
    held = release.model_dump(mode="json", exclude={"id", "held"})
    return RELEASE_HEAD.encode() + _yaml(held)


def write_record(folder: Path, path: str, data: bytes) -> None:
    """Write one record's file.

    Raises:
        FaultsFound: if it would have a fault.
    """
    changes: list[Change] = [(path, data)]
    refuse_faults(changes)
    write_files(folder, changes)


def _yaml(held: Mapping[str, Any]) -> bytes:
    from ruamel.yaml import YAML

    yaml = YAML(typ="safe", pure=True)
    yaml.default_flow_style = False
    yaml.allow_unicode = True
    yaml.sort_base_mapping_type_on_output = False  # type: ignore[assignment]
    yaml.width = 100
    written = io.StringIO()
    yaml.dump(dict(held), written)
    return written.getvalue().encode()
