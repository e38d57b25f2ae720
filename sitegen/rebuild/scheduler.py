"""Bringing nodes up to date: each at most once, and only if something is different."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future

from sitegen.errors import MachineFault, RebuildError, SitegenError
from sitegen.rebuild.asking import Asking, Outcome
from sitegen.rebuild.decoded import Values
from sitegen.rebuild.keys import Key, key_of, key_text
from sitegen.rebuild.leaves import ABSENT, Leaves
from sitegen.rebuild.node_table import MANY, Edge, Row
from sitegen.rebuild.reports import Cause, Progress
from sitegen.rebuild.results import Results, Started
from sitegen.rebuild.steps import Step, Value
from sitegen.rebuild.store import Store

# How many costly payloads may wait for a worker; bounds memory.
_IN_FLIGHT = 64
_FIRST = Cause("first_build")


class Scheduler:
    """The nodes in one session."""

    def __init__(
        self,
        steps: Mapping[str, Step],
        store: Store,
        leaves: Leaves,
        results: Results,
        *,
        executor: Executor,
        on_progress: Callable[[Progress], None] | None,
        values: Values,
        thorough: bool,
    ) -> None:
        self._steps = steps
        self._store = store
        self._leaves = leaves
        self._results = results
        self._executor = executor
        self._on_progress = on_progress
        self._known: dict[Key, Outcome] = {}
        self._open: dict[Key, None] = {}
        self._flying: dict[Key, tuple[Started, Future[Value]]] = {}
        self._values = values
        self._thorough = thorough
        self._progress = (0, 0)
        self.may_write = False
        self.reasons: dict[Key, Cause] = {}

    # What is wanted from outside

    def build_all(self, targets: Sequence[Key]) -> None:
        """Bring all targets up to date, whatever fails among them."""
        # For many it is faster to look all of a kind up at once.
        kinds = {key.kind for key in targets} if len(targets) > MANY else ()
        good = self._store.nodes.settled(kinds)
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
            key = key_of(self._store.nodes.text_of(owner))
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
            raise self._results.failures[outcome.failed]
        return self.value_of(key, outcome)

    def value_of(self, key: Key, outcome: Outcome) -> Value:
        """Return the value of a node that is up to date."""
        return self._values.get(
            key.kind,
            outcome.digest,
            lambda: self._store.values.get(outcome.digest),
            self._steps[key.kind],
        )

    def drain(self) -> None:
        """Wait for what is still being run, so that it need not run again."""
        for key in list(self._flying):
            self._land(key)

    def abandon(self) -> None:
        """Let go of what is still being run."""
        for _, future in self._flying.values():
            future.cancel()

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
        if len(keys) > MANY:
            self._take_good(keys)
        return list(self._each(keys))

    def _take_good(self, keys: Sequence[Key]) -> None:
        """Look many nodes up at once: those that need no check are known."""
        texts = {
            key_text(key): key
            for key in keys
            if key not in self._known and key.kind in self._steps
        }
        for text, found in self._store.nodes.good(list(texts)).items():
            self._known[texts[text]] = Outcome(*found)

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
                cause = cause or _FIRST
                self._run(Started(key, step, cause, row, Asking(self, self._leaves)))
        finally:
            del self._open[key]

    # Is it still good?

    def _check(self, key: Key) -> tuple[Row | None, Cause | None]:
        row = self._store.nodes.get(key)
        if row is None:
            return None, _FIRST
        if row.stale is not None:
            return row, Cause.from_text(row.stale)
        if row.failed:
            return row, Cause("failed_before")
        if row.suspect:
            cause = self._first_difference(self._store.nodes.doubtful(row.id))
            if cause is not None:
                return row, cause
            self._store.nodes.settle(row.id)
            self._settle_above(row.id)
        return row, None

    def _settle_above(self, node: int) -> None:
        """Settle what rests on a node that is as it was; not for one page's sake."""
        if self._thorough:
            self._store.nodes.settle_above(node)

    def _first_difference(self, edges: Sequence[Edge]) -> Cause | None:
        """Go through a trace in its order up to the first thing that is different."""
        batch = -1
        many = len(edges) > MANY
        for edge in edges:
            key = key_of(edge.key)
            now = edge.now
            if not edge.leaf and edge.unsettled:
                try:
                    if edge.batch != batch:
                        batch = edge.batch
                        self._launch_batch(edges, batch)
                    now = self.demand(key).digest
                    if many:
                        # By what the first one came to, most may be settled by now.
                        self._take_good([key_of(e.key) for e in edges if not e.leaf])
                        many = False
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

    def _run(self, started: Started) -> None:
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
            message = (
                f"a worker process ended while at {key}; run it again, the second"
                " time with --workers 1"
            )
            raise MachineFault(message) from broken
        if error is not None:
            return self._fail(started, error)
        return self._finish(started, value)

    def _finish(self, started: Started, value: Value) -> Outcome:
        return self._settle(started, self._results.keep(started, value))

    def _fail(self, started: Started, error: SitegenError) -> Outcome:
        return self._settle(started, self._results.keep_failure(started, error))

    def _settle(self, started: Started, outcome: Outcome) -> Outcome:
        self._known[started.key] = outcome
        if started.row is not None and started.row.digest == outcome.digest:
            self._settle_above(outcome.id)
        self.reasons[started.key] = started.cause
        self._store.commit_now_and_then()
        self._tell(started.key)
        return outcome

    def _tell(self, key: Key) -> None:
        if self._on_progress is not None:
            self._on_progress(Progress(len(self.reasons), *self._progress, key))


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
