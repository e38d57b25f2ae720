"""What an archive publishes, asked of the engine: for releases, pins and addresses."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, get_args

from sitegen.archive_build.compile import engine_for
from sitegen.archive_build.correcting import rows_rest_on
from sitegen.archive_build.folders import Folders
from sitegen.archive_build.parsed import unstored
from sitegen.errors import Fault, FaultsFound, is_fault
from sitegen.findings.views import ResultRow
from sitegen.load import last_release
from sitegen.load.index import ArchiveIndex
from sitegen.model import Release
from sitegen.model.chronicle import AddressedKind
from sitegen.pages.moved import Departure
from sitegen.rebuild import Key, Progress

ADDRESSED: tuple[str, ...] = get_args(AddressedKind)


@dataclass(frozen=True, slots=True)
class ChangeTold:
    """An entry of the change log, as far as a release needs it.

    Attributes:
        id: id of its record.
        kind: what sort of change it is.
        targets: all that it names, as ``KIND:ID``, under their ids of now as well.
    """

    id: str
    kind: str
    targets: frozenset[str]


class Published:
    """Answers what an archive publishes; the engine is asked when it is needed."""

    def __init__(self, ask: Any) -> None:  # noqa: ANN401 - the engine's question
        self.ask = ask

    def faults(self) -> tuple[Fault, ...]:
        """Return all faults and warnings."""
        return tuple(unstored(fault) for fault in self.ask("faults"))

    def refuse_faults(self) -> None:
        """End here where the archive has a fault.

        Raises:
            FaultsFound: if it has one.
        """
        found = list(filter(is_fault, self.faults()))
        if found:
            raise FaultsFound(found)

    def ids(self) -> dict[str, tuple[str, ...]]:
        """Return the ids that have an address, by kind."""
        found = {kind: tuple(self.ask("shown", kind)) for kind in ADDRESSED}
        return {kind: ids for kind, ids in found.items() if ids}

    def present(self) -> frozenset[tuple[str, str]]:
        """Return kind and id of everything that has a file, faulty or not."""
        return frozenset((kind, name) for kind, name in self.ask("present"))

    def departures(self) -> tuple[Departure, ...]:
        """Return what moved or is gone."""
        found: tuple[Departure, ...] = self.ask("departures")
        return found

    def moves(self) -> Mapping[str, Mapping[str, str]]:
        """Return former ids and those of now, by kind."""
        found: Mapping[str, Mapping[str, str]] = self.ask("moves")
        return found

    def last(self) -> Release | None:
        """Return the newest release, or nothing."""
        facts = {(each.kind, each.id): each for each in self.ask("all_facts")}
        newest = last_release(ArchiveIndex(records=facts))
        if newest is None:
            return None
        record: Release = self.ask("record", "release", newest[0])
        return record

    def rows(self) -> tuple[ResultRow, ...]:
        """Return every published result."""
        found: tuple[ResultRow, ...] = self.ask("all_rows")
        return found

    def changes(self) -> tuple[ChangeTold, ...]:
        """Return the entries of the change log."""
        return tuple(
            ChangeTold(name, kind, frozenset(targets))
            for name, _, kind, _, *targets in self.ask("change_targets")
        )

    def editions(self, comparison_id: str) -> list[tuple[str, str]]:
        """Return id and day of a comparison's editions, the newest first."""
        return [(name, day) for name, day in self.ask("editions_of", comparison_id)]

    def freezable(self, comparison_id: str) -> dict[str, Any]:
        """Return everything that an edition of now would keep, but its date."""
        found: dict[str, Any] = self.ask("freezable", comparison_id)
        return found

    def rests_on(self, row: ResultRow) -> frozenset[str]:
        """Return everything that a result rests on, as ``KIND:ID``."""
        return frozenset(rows_rest_on(self.ask, [row]))

    def runs_of(self, device: str, filter_id: str, speed: str) -> tuple[str, ...]:
        """Return the ids of all runs of a configuration."""
        if device not in self.ask("shown", "device"):
            return ()
        return tuple(
            entry.id
            for entry in self.ask("entries_of", device)
            if (entry.filter, entry.speed) == (filter_id, speed)
        )


@contextmanager
def published(
    folders: Folders, on_progress: Callable[[Progress], None] | None = None
) -> Iterator[Published]:
    """Yield what answers of an archive as ``compile`` would publish it.

    Args:
        folders: where to read and remember.
        on_progress: called as the work goes on.

    Raises:
        MachineFault: if the machine refuses, or the state is in use.
    """
    with engine_for(folders, show_held=False, on_progress=on_progress) as engine:

        def ask(kind: str, *args: str) -> Any:  # noqa: ANN401 - any value of a step
            return engine.value(Key(kind, args))

        yield Published(ask)
