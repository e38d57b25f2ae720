"""The short entry by which others find a run, and which natural decays count."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.model import DecayRun, NaturalDecayRun, PowerRun, SoundRun

AnyRun = DecayRun | NaturalDecayRun | SoundRun | PowerRun


@dataclass(frozen=True, slots=True)
class RunEntry:
    """What others need to know of a run in order to find it.

    Attributes:
        id: its id.
        kind: ``decay``, ``natural-decay``, ``sound`` or ``power``.
        method: id of its method.
        day: ISO date on which it was made, where it was made.
        status: ``accepted``, ``rejected`` or ``superseded``.
        device: id of the device, or ``""``.
        specimen: which unit, or ``""``.
        filter: id of the filter, or ``""``.
        speed: id of the fan speed, or ``""``.
        held: whether it is not to be published yet.
    """

    id: str
    kind: str
    method: str
    day: str
    status: str
    device: str = ""
    specimen: str = ""
    filter: str = ""
    speed: str = ""
    held: bool = False

    @property
    def counts(self) -> bool:
        """Whether the tester accepted it."""
        return self.status == "accepted"


def entry_of(run: AnyRun) -> RunEntry:
    """Return the entry of a run."""
    where: dict[str, str] = {}
    if not isinstance(run, NaturalDecayRun):
        where = {
            "device": run.device,
            "specimen": run.specimen,
            "filter": run.filter,
            "speed": run.speed,
        }
    return RunEntry(
        id=run.id,
        kind=run.kind,
        method=run.method,
        day=run.started.date().isoformat(),
        status=run.status,
        held=run.held,
        **where,
    )


def days_apart(first: str, second: str) -> int:
    """Return how many days lie between two ISO dates."""
    return abs((dt.date.fromisoformat(first) - dt.date.fromisoformat(second)).days)


def natural_ids(
    run: RunEntry,
    named: Sequence[str] | None,
    naturals: Sequence[RunEntry],
    valid_days: int,
) -> tuple[str, ...]:
    """Return the natural decays to subtract from a decay run, sorted by id.

    Those that the run names; otherwise all accepted ones under the same method within
    ``valid_days`` of it, before or after.

    Args:
        run: the decay run.
        named: ids that its record names, or nothing.
        naturals: entries of the archive's natural decays.
        valid_days: the method's limit, days.
    """
    if named is not None:
        known = {entry.id for entry in naturals}
        return tuple(sorted(name for name in named if name in known))
    return tuple(
        sorted(
            entry.id
            for entry in naturals
            if entry.counts
            and entry.method == run.method
            and days_apart(entry.day, run.day) <= valid_days
        )
    )
