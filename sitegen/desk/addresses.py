"""What became of the addresses of an archive since its last release."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from sitegen.archive_build import published_folders
from sitegen.archive_build.published import Published, published

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Told:
    """What became of addresses.

    Attributes:
        since: day of the last release, ISO text, or ``""`` where there is none.
        new: kind and id of what was not published before.
        moved: kind, former id and present one of what moved since.
        gone: kind, id and reason of what is gone since.
        lost: kind and id of what was published and is in no way there any more.
        held: kind and id of what was published and is held now.
    """

    since: str
    new: tuple[Key, ...]
    moved: tuple[tuple[str, str, str], ...]
    gone: tuple[tuple[str, str, str], ...]
    lost: tuple[Key, ...]
    held: tuple[Key, ...]

    def as_data(self) -> dict[str, Any]:
        """Return it as plain data."""
        return asdict(self)

    def lines(self) -> Iterator[str]:
        """Yield a line for each address, what needs a decision first."""
        for kind, name in self.lost:
            yield f"lost   {kind}:{name}"
        for kind, name in self.held:
            yield f"held   {kind}:{name}"
        for kind, name, now in self.moved:
            yield f"moved  {kind}:{name} -> {now}"
        for kind, name, reason in self.gone:
            yield f"gone   {kind}:{name}: {reason}"
        for kind, name in self.new:
            yield f"new    {kind}:{name}"

    def summary(self) -> str:
        """Return it in a sentence."""
        counts = ", ".join(
            f"{len(found) or 'none'} {what}"
            for what, found in (
                ("new", self.new),
                ("moved", self.moved),
                ("gone", self.gone),
                ("held", self.held),
                ("lost", self.lost),
            )
        )
        since = f"Since the release of {self.since}" if self.since else "Not released"
        return f"{since}: {counts}."


def addresses_since(archive: Path) -> Told:
    """Return what became of addresses since the last release.

    It is told also where the archive has faults, for losing one is a fault.
    """
    with published(published_folders(archive)) as view:
        return _told(view)


def _told(view: Published) -> Told:
    last = view.last()
    shown = {(kind, name) for kind, names in view.ids().items() for name in names}
    left = view.departures()
    if last is None:
        since, before, known = "", set[Key](), set[Key]()
    else:
        since = last.date.isoformat()
        before = {(kind, name) for kind, names in last.ids.items() for name in names}
        known = {(kind, name) for kind, names in last.moved.items() for name in names}
        known |= {(kind, name) for kind, names in last.gone.items() for name in names}
    listed = {(each.kind, each.id) for each in left}
    missing = (before | known) - shown - listed
    present = view.present()
    fresh = [each for each in left if (each.kind, each.id) not in known]
    return Told(
        since=since,
        new=tuple(sorted(shown - before)),
        moved=tuple((e.kind, e.id, e.now) for e in fresh if e.now),
        gone=tuple((e.kind, e.id, e.reason) for e in fresh if not e.now),
        lost=tuple(sorted(missing - present)),
        held=tuple(sorted(missing & present)),
    )
