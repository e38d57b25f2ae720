"""The ``ask`` of one run: it answers, and records what it was asked for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from sitegen.errors import RebuildError
from sitegen.rebuild.keys import Key
from sitegen.rebuild.leaves import Leaves, Reading
from sitegen.rebuild.reports import HeldBack
from sitegen.rebuild.steps import Value


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a node came out.

    Attributes:
        id: its number in the state.
        digest: of its value, or of its failure.
        failed: the node whose failure is the reason why there is no value.
    """

    id: int
    digest: bytes
    failed: Key | None = None


class Nodes(Protocol):
    """What answers for steps."""

    def demand_all(self, keys: Sequence[Key]) -> list[Outcome]:
        """Bring nodes up to date."""

    def value_of(self, key: Key, outcome: Outcome) -> Value:
        """Return the value of a node that is up to date."""


class Asking:
    """See ``Ask``."""

    def __init__(self, nodes: Nodes, leaves: Leaves) -> None:
        self._nodes = nodes
        self._leaves = leaves
        self._deps: dict[int, tuple[bytes, int]] = {}
        self._batch = 0

    def __call__(self, kind: str, *args: str) -> Value:
        """Return another step's value."""
        return self.all([(kind, *args)])[0]

    def all(self, wanted: Iterable[tuple[str, ...]]) -> list[Value]:
        """Return many values."""
        keys = [Key(kind, tuple(args)) for kind, *args in wanted]
        outcomes = self._outcomes(keys)
        value_of = self._nodes.value_of
        return [value_of(k, o) for k, o in zip(keys, outcomes, strict=True)]

    def digest(self, kind: str, *args: str) -> str:
        """Return a value's digest."""
        return self._outcomes([Key(kind, args)])[0].digest.hex()

    def file(self, path: str) -> bytes:
        """Return a file's bytes."""
        data = self.file_or_none(path)
        if data is None:
            raise RebuildError("missing_file", path=path)
        return data

    def file_or_none(self, path: str) -> bytes | None:
        """Return a file's bytes or None."""
        found: bytes | None = self._record(self._leaves.file(path))
        return found

    def listing(self, folder: str, suffix: str) -> tuple[str, ...]:
        """Return the names of files."""
        return tuple(self._record(self._leaves.listing(folder, suffix)))

    def setting(self, name: str) -> Value:
        """Return a setting."""
        return self._record(self._leaves.setting(name))

    def deps(self) -> list[tuple[int, bytes, int]]:
        """Return what was asked for: number, digest and batch of each, in order."""
        return [(ident, *rest) for ident, rest in self._deps.items()]

    def _outcomes(self, keys: Sequence[Key]) -> list[Outcome]:
        self._batch += 1
        outcomes = self._nodes.demand_all(keys)
        for outcome in outcomes:
            self._deps.setdefault(outcome.id, (outcome.digest, self._batch))
        for key, outcome in zip(keys, outcomes, strict=True):
            if outcome.failed is not None:
                raise HeldBack(key, outcome.failed)
        return outcomes

    def _record(self, reading: Reading) -> Value:
        self._batch += 1
        self._deps.setdefault(reading.id, (reading.digest, self._batch))
        if reading.refused is not None:
            raise reading.refused
        return reading.data
