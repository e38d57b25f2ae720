"""Bringing nodes up to date: each at most once, and only if something is different."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from dataclasses import dataclass, field
from hashlib import sha256

from sitegen.errors import MachineFault, RebuildError, SitegenError
from sitegen.rebuild.explain import changed_fields
from sitegen.rebuild.keys import Key, key_of, key_text
from sitegen.rebuild.leaves import ABSENT, Leaves, Reading
from sitegen.rebuild.outputs import Outputs, paths_in
from sitegen.rebuild.reports import Cause, Failure, HeldBack, Progress
from sitegen.rebuild.steps import Step, Value
from sitegen.rebuild.store import Edge, Row, Store

# How many costly payloads may wait for a worker; bounds memory.
_IN_FLIGHT = 64
_VALUES_KEPT_BYTES = 64_000_000


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


@dataclass(frozen=True, slots=True)
class _Started:
    """A node that is being run: why, what stood before, and what it has asked."""

    key: Key
    step: Step
    cause: Cause
    row: Row | None
    ask: Asking


@dataclass(slots=True)
class _Values:
    """Decoded values of this session, as many as fit."""

    held: OrderedDict[tuple[str, bytes], tuple[Value, int]] = field(
        default_factory=OrderedDict
    )
    size: int = 0

    def get(
        self, kind: str, digest: bytes, load: Callable[[], bytes], step: Step
    ) -> Value:
        """Return a value, decoding it if need be."""
        found = self.held.get((kind, digest))
        if found is not None:
            self.held.move_to_end((kind, digest))
            return found[0]
        data = load()
        value = step.codec.decode(data) if step.codec is not None else paths_in(data)
        self.held[kind, digest] = (value, len(data))
        self.size += len(data)
        while self.size > _VALUES_KEPT_BYTES and len(self.held) > 1:
            _, (_, size) = self.held.popitem(last=False)
            self.size -= size
        return value


class Scheduler:
    """The nodes in one session."""

    def __init__(
        self,
        steps: Mapping[str, Step],
        store: Store,
        leaves: Leaves,
        outputs: Outputs,
        *,
        executor: Executor,
        build: int,
        on_progress: Callable[[Progress], None] | None,
    ) -> None:
        self._steps = steps
        self._store = store
        self._leaves = leaves
        self._outputs = outputs
        self._executor = executor
        self._build = build
        self._on_progress = on_progress
        self._known: dict[Key, Outcome] = {}
        self._open: dict[Key, None] = {}
        self._flying: dict[Key, tuple[_Started, Future[Value]]] = {}
        self._values = _Values()
        self._old_values: set[bytes] = set()
        self._progress = (0, 0)
        self.may_write = False
        self.reasons: dict[Key, Cause] = {}
        self.failures: dict[Key, SitegenError] = {}
        self.held_back: dict[Key, Key] = {}

    # What is wanted from outside

    def build_all(self, targets: Sequence[Key]) -> None:
        """Bring all targets up to date, whatever fails among them."""
        good = self._store.settled({key.kind for key in targets})
        self._progress = (0, len(targets))
        wanted = []
        for key in targets:
            found = good.get(key_text(key))
            if found is None or key in self._known or key.kind not in self._steps:
                wanted.append(key)
            else:
                self._known[key] = Outcome(*found)
        done = len(targets) - len(wanted)
        for key, _ in zip(wanted, self._each(wanted), strict=True):
            done += 1
            self._progress = (done, len(targets))
            self._tell(key)

    def recheck(self, owners: Iterable[int]) -> None:
        """Give their turn to nodes whose output another node has claimed."""
        for owner in owners:
            key = key_of(self._store.text_of(owner))
            if key not in self.reasons:
                self._known.pop(key, None)
                self.demand(key)

    def value(self, key: Key) -> Value:
        """Return a value.

        Raises:
            SitegenError: what the node, or the one that holds it back, raised.
        """
        outcome = self.demand(key)
        if outcome.failed is not None:
            raise self.failures[outcome.failed]
        return self.value_of(key, outcome)

    def value_of(self, key: Key, outcome: Outcome) -> Value:
        """Return the value of a node that is up to date."""
        return self._values.get(
            key.kind,
            outcome.digest,
            lambda: self._store.value(outcome.digest),
            self._steps[key.kind],
        )

    def failed(self) -> tuple[Failure, ...]:
        """Return the failures so far."""
        return tuple(Failure(key, error) for key, error in self.failures.items())

    def drain(self) -> None:
        """Wait for what is still being run, so that it need not run again."""
        for key in list(self._flying):
            self._land(key)

    def abandon(self) -> None:
        """Let go of what is still being run."""
        for _, future in self._flying.values():
            future.cancel()

    def drop_old_values(self) -> None:
        """Delete the values that nodes had before they ran."""
        self._store.drop_values(self._old_values)

    # Demand

    def demand(self, key: Key) -> Outcome:
        """Bring a node up to date.

        Raises:
            RebuildError: ``cycle``, ``no_step`` or ``bad_key``.
        """
        outcome = self._known.get(key)
        if outcome is None and key not in self._flying:
            self._start(key)
            outcome = self._known.get(key)
        if outcome is None:
            outcome = self._land(key)
        return outcome

    def demand_all(self, keys: Sequence[Key]) -> list[Outcome]:
        """Bring nodes up to date, costly ones side by side."""
        return list(self._each(keys))

    def _each(self, keys: Sequence[Key]) -> Iterable[Outcome]:
        ahead = 0
        for here, key in enumerate(keys):
            while ahead < len(keys) and ahead < here + _IN_FLIGHT:
                self._launch(keys[ahead])
                ahead += 1
            yield self.demand(key)

    def _launch(self, key: Key) -> None:
        """Start a costly node without waiting for it."""
        step = self._steps.get(key.kind)
        costly = step is not None and step.work is not None
        if costly and key not in self._known and key not in self._flying:
            self._start(key)

    def _start(self, key: Key) -> None:
        """Accept a node, run it, or if it is costly let it be run."""
        if key in self._open:
            ring = [*list(self._open)[list(self._open).index(key) :], key]
            raise RebuildError("cycle", ring=" -> ".join(map(str, ring)))
        step = self._steps.get(key.kind)
        if step is None:
            raise RebuildError("no_step", key=str(key))
        if step.writes and not self.may_write:
            raise RebuildError("writes", key=str(key))
        self._open[key] = None
        try:
            row, cause = self._check(key)
            if cause is None and row is not None:
                self._known[key] = Outcome(row.id, row.digest)
            else:
                cause = cause or Cause("first_build")
                self._run(_Started(key, step, cause, row, Asking(self, self._leaves)))
        finally:
            del self._open[key]

    # Is it still good?

    def _check(self, key: Key) -> tuple[Row | None, Cause | None]:
        row = self._store.node(key)
        if row is None:
            return None, Cause("first_build")
        if row.stale is not None:
            return row, Cause.from_text(row.stale)
        if row.failed:
            return row, Cause("failed_before")
        if row.suspect:
            cause = self._first_difference(self._store.edges(row.id))
            if cause is not None:
                return row, cause
            self._store.settle(row.id)
        return row, None

    def _first_difference(self, edges: Sequence[Edge]) -> Cause | None:
        """Go through a trace in its order up to the first thing that is different."""
        batch = -1
        for edge in edges:
            key = key_of(edge.key)
            now = edge.now
            if not edge.leaf and edge.unsettled:
                try:
                    if edge.batch != batch:
                        batch = edge.batch
                        self._launch_batch(edges, batch)
                    now = self.demand(key).digest
                except RebuildError:
                    # The step is no more, or asks back; asking anew will tell.
                    return Cause("dep_removed", key, old=edge.then.hex())
            if now != edge.then:
                return difference(key, edge.then, now)
        return None

    def _launch_batch(self, edges: Sequence[Edge], batch: int) -> None:
        """What was asked for together is wanted together: start the costly ones."""
        together = [e for e in edges if e.batch == batch and e.unsettled and not e.leaf]
        if len(together) > 1:
            for edge in together[:_IN_FLIGHT]:
                self._launch(key_of(edge.key))

    # Running

    def _run(self, started: _Started) -> None:
        step, key = started.step, started.key
        try:
            value = step.run(started.ask, *key.args)
        except SitegenError as error:
            self._fail(started, error)
            return
        if step.work is None:
            self._finish(started, value)
        else:
            future = self._executor.submit(attempt, step.work, value)
            self._flying[key] = (started, future)

    def _land(self, key: Key) -> Outcome:
        started, future = self._flying.pop(key)
        try:
            value, error = future.result()
        except BrokenExecutor as broken:
            message = f"a worker process ended while at {key}"
            raise MachineFault(message) from broken
        if error is not None:
            return self._fail(started, error)
        return self._finish(started, value)

    def _finish(self, started: _Started, value: Value) -> Outcome:
        step, key, row = started.step, started.key, started.row
        if step.codec is None:
            try:
                data = self._outputs.write(key, row.id if row else None, value)
            except SitegenError as error:
                return self._fail(started, error)
        else:
            data = step.codec.encode(value)
        digest = sha256(data).digest()
        changed = row is None or row.digest != digest
        fields = self._fields(row, data) if changed else ""
        if changed:
            self._store.keep_value(digest, data)
        outcome = Outcome(self._save(started, digest, fields), digest)
        if step.writes:
            self._outputs.claim(outcome.id, paths_in(data))
        return self._settle(started, outcome)

    def _fail(self, started: _Started, error: SitegenError) -> Outcome:
        key = started.key
        by = error.by if isinstance(error, HeldBack) else key
        if by == key:
            self.failures[key] = error
        else:
            self.held_back[key] = by
        digest = sha256(f"failed {type(error).__name__} {error}".encode()).digest()
        ident = self._save(started, digest, "", failed=True)
        return self._settle(started, Outcome(ident, digest, by))

    def _save(
        self, started: _Started, digest: bytes, fields: str, *, failed: bool = False
    ) -> int:
        if started.row is not None and started.row.digest != digest:
            self._old_values.add(started.row.digest)
        return self._store.save(
            started.key,
            digest,
            started.ask.deps(),
            started.cause,
            self._build,
            failed=failed,
            fields=fields,
        )

    def _settle(self, started: _Started, outcome: Outcome) -> Outcome:
        self._known[started.key] = outcome
        self.reasons[started.key] = started.cause
        self._store.commit_now_and_then()
        self._tell(started.key)
        return outcome

    def _fields(self, row: Row | None, data: bytes) -> str:
        if row is None or row.failed:
            return ""
        return changed_fields(self._store.value(row.digest), data)

    def _tell(self, key: Key) -> None:
        if self._on_progress is not None:
            self._on_progress(Progress(len(self.reasons), *self._progress, key))


class Asking:
    """The ``ask`` of one run: answers, and records what it was asked for."""

    def __init__(self, scheduler: Scheduler, leaves: Leaves) -> None:
        self._scheduler = scheduler
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
        value_of = self._scheduler.value_of
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
        outcomes = self._scheduler.demand_all(keys)
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


def attempt(
    work: Callable[[Value], Value], payload: Value
) -> tuple[Value, SitegenError | None]:
    """Do a costly step's work; runs in the worker, from where data come back best."""
    try:
        return work(payload), None
    except SitegenError as error:
        return None, error


def difference(key: Key, then: bytes, now: bytes) -> Cause:
    """Return the cause that a dependency's two digests make."""
    if key.kind == "file" and then == ABSENT:
        return Cause("dep_added", key, new=now.hex())
    if key.kind == "file" and now == ABSENT:
        return Cause("dep_removed", key, old=then.hex())
    return Cause("dep_changed", key, old=then.hex(), new=now.hex())
