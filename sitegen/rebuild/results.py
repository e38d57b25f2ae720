"""What came of running nodes, put into the state."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256

from sitegen.errors import SitegenError
from sitegen.rebuild.asking import Asking, Outcome
from sitegen.rebuild.differences import changed_fields
from sitegen.rebuild.keys import Key
from sitegen.rebuild.node_table import Row
from sitegen.rebuild.outputs import Outputs, paths_in
from sitegen.rebuild.reports import Cause, Failure, HeldBack
from sitegen.rebuild.steps import Step, Value
from sitegen.rebuild.store import Store


@dataclass(frozen=True, slots=True)
class Started:
    """A node that is being run: why, what stood before, and what it has asked."""

    key: Key
    step: Step
    cause: Cause
    row: Row | None
    ask: Asking


class Results:
    """What came of the nodes that ran in one session.

    Attributes:
        failures: what each node that failed raised.
        held_back: nodes that could not run, and the one that failed.
    """

    def __init__(self, store: Store, outputs: Outputs, build: int) -> None:
        self._store = store
        self._outputs = outputs
        self._build = build
        self._old_values: set[bytes] = set()
        self.failures: dict[Key, SitegenError] = {}
        self.held_back: dict[Key, Key] = {}

    def keep(self, started: Started, value: Value) -> Outcome:
        """Keep a value, or write the outputs that it is."""
        step, key, row = started.step, started.key, started.row
        if step.codec is None:
            try:
                data = self._outputs.write(key, row.id if row else None, value)
            except SitegenError as error:
                return self.keep_failure(started, error)
        else:
            data = step.codec.encode(value)
        digest = sha256(data).digest()
        changed = row is None or row.digest != digest
        fields = self._fields(row, data) if changed else ""
        if changed:
            self._store.values.keep(digest, data)
        outcome = Outcome(self._save(started, digest, fields), digest)
        if step.writes:
            self._outputs.claim(outcome.id, paths_in(data))
        return outcome

    def keep_failure(self, started: Started, error: SitegenError) -> Outcome:
        """Keep that there is no value, and whose failure is the reason."""
        key = started.key
        by = error.by if isinstance(error, HeldBack) else key
        if by == key:
            self.failures[key] = error
        else:
            self.held_back[key] = by
        digest = sha256(f"failed {type(error).__name__} {error}".encode()).digest()
        ident = self._save(started, digest, "", failed=True)
        return Outcome(ident, digest, by)

    def failed(self) -> tuple[Failure, ...]:
        """Return the failures so far."""
        return tuple(Failure(key, error) for key, error in self.failures.items())

    def drop_old_values(self) -> None:
        """Delete the values that nodes had before they ran."""
        self._store.values.drop(self._old_values)

    def _save(
        self, started: Started, digest: bytes, fields: str, *, failed: bool = False
    ) -> int:
        if started.row is not None and started.row.digest != digest:
            self._old_values.add(started.row.digest)
        return self._store.nodes.save(
            started.key,
            digest,
            started.ask.deps(),
            started.cause,
            self._build,
            failed=failed,
            fields=fields,
        )

    def _fields(self, row: Row | None, data: bytes) -> str:
        if row is None or row.failed:
            return ""
        return changed_fields(self._store.values.get(row.digest), data)
