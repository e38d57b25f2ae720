"""One session: the state, the roots and the output folder as they are now."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Collection, Mapping, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

from sitegen.errors import MachineFault
from sitegen.rebuild.decoded import Values
from sitegen.rebuild.fastcheck import good_mark, settings_digest, trees_of
from sitegen.rebuild.keys import Key, key_of, key_text
from sitegen.rebuild.leaves import Leaves
from sitegen.rebuild.outputs import Outputs
from sitegen.rebuild.reports import BuildReport, Note, Progress
from sitegen.rebuild.results import Results
from sitegen.rebuild.scheduler import Scheduler
from sitegen.rebuild.steps import Step, Value
from sitegen.rebuild.store import Store

P = ParamSpec("P")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Plan:
    """What an engine was made with; see ``Engine``."""

    steps: Mapping[str, Step]
    roots: Mapping[str, Path]
    settings: Mapping[str, Any]
    state: Path
    out: Path
    tool_digest: str
    executor: Executor | None
    on_progress: Callable[[Progress], None] | None
    values: Values


@dataclass(frozen=True, slots=True)
class First:
    """Outputs that someone waits for.

    Attributes:
        paths: where they stand; those not among the targets' outputs are passed over.
        ready: called when they are up to date, if that took writing any of them and
            none failed.
    """

    paths: tuple[str, ...]
    ready: Callable[[], None]


class InProcess(Executor):
    """An executor that does the work at once."""

    def submit(
        self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs
    ) -> Future[T]:
        """Do the work."""
        future: Future[T] = Future()
        future.set_result(fn(*args, **kwargs))
        return future


class Session:
    """What is done between taking the lock and releasing it."""

    mend = True
    """Whether to begin anew with a state that is damaged."""

    thorough = True
    """Whether all will be wanted in the end."""

    def __init__(self, plan: Plan, *, dry: bool, notes: Sequence[Note] = ()) -> None:
        self._plan = plan
        self._started_s = time.monotonic()
        self.notes = list(notes)
        self.roots: set[Key] = set()
        self.asked: list[Key] = []
        self.store = store = Store(plan.state, mend=self.mend)
        try:
            self._begin(store, dry=dry)
        except BaseException:
            store.close(keep=False)
            raise

    def _begin(self, store: Store, *, dry: bool) -> None:
        plan = self._plan
        if store.fault:
            self.notes.append(Note(store.fault))
        unclean = store.facts.get("running") != ""
        if unclean:
            self.notes.append(Note("unclean_end"))
        build = int(store.facts.get("build") or 0) + 1
        out, state = os.path.realpath(plan.out), os.path.realpath(plan.state)
        trees = trees_of(plan.roots, out, state)
        store.nodes.take_versions(
            plan.tool_digest, {kind: s.version for kind, s in plan.steps.items()}
        )
        leaves = Leaves(store, trees, plan.settings, build)
        self._outputs = Outputs(store, out)
        self._results = Results(store, self._outputs, build)
        try:
            changed = self._look(leaves, unclean=unclean)
        except OSError as error:
            raise MachineFault.of(error) from error
        pending = {*changed, *map(int, store.facts.get("pending").split())}
        if self._mark(pending):
            store.facts.put(good="")
        store.facts.put(running="1", build=str(build))
        if not dry:
            store.commit()
        self._scheduler = Scheduler(
            plan.steps,
            store,
            leaves,
            self._results,
            executor=plan.executor or InProcess(),
            on_progress=plan.on_progress,
            values=plan.values,
            thorough=self.thorough,
        )

    def _look(self, leaves: Leaves, *, unclean: bool) -> list[int]:
        """Look at all files in and out; return the leaves that changed."""
        changed = leaves.refresh()
        self._outputs.refresh(unclean=unclean)
        return changed

    def _mark(self, changed: Collection[int]) -> bool:
        """Mark all that rests on what changed; return whether that is anything."""
        self.store.facts.put(pending="")
        return self.store.nodes.suspect_from(changed)

    def value(self, key: Key) -> Value:
        """Return one value; see ``Engine.value``."""
        self.roots.add(key)
        self.asked.append(key)
        return self._scheduler.value(key)

    def build(self, targets: Sequence[Key], first: First | None = None) -> BuildReport:
        """Bring the targets up to date; see ``Engine.build``."""
        store, scheduler, outputs = self.store, self._scheduler, self._outputs
        self.roots.update(targets)
        store.facts.put(good="")
        scheduler.may_write = True
        try:
            if first is not None:
                self._hasten(first, targets)
            scheduler.build_all(targets)
            scheduler.drain()
            structure = self._structure()
            if outputs.takeovers:
                store.nodes.reach(self.roots)
                scheduler.recheck(
                    owner
                    for owner in outputs.takeovers.values()
                    if store.nodes.reached(owner)
                )
        finally:
            scheduler.may_write = False
        try:
            if not self._results.failures:
                self._tidy(structure)
            outputs.finish()
        except OSError as error:
            raise MachineFault.of(error) from error
        good = not self._results.failures
        mark = good_mark(settings_digest(self._plan.settings), self._plan.tool_digest)
        store.facts.put(good=mark if good else "")
        store.commit()
        return self._report()

    def _hasten(self, first: First, targets: Sequence[Key]) -> None:
        """Build what someone waits for, and tell them."""
        wanted = set(targets)
        self.build_first(first, [key for key in self.owners(first) if key in wanted])

    def owners(self, first: First) -> list[Key]:
        """Return the nodes whose outputs someone waits for."""
        rows = map(self.store.outputs.get, first.paths)
        owners = [row.node for row in rows if row is not None and row.node is not None]
        return [key_of(self.store.nodes.text_of(node)) for node in owners if node > 0]

    def build_first(self, first: First, keys: Sequence[Key]) -> None:
        """Build what someone waits for, and tell them."""
        self._scheduler.build_all(keys)
        self.store.commit()
        if self._outputs.written and not self._results.failures:
            first.ready()

    def _structure(self) -> str:
        texts = sorted(map(key_text, self.roots))
        return sha256("\n".join(texts).encode()).hexdigest()

    def _tidy(self, structure: str) -> None:
        """Forget what is no longer wanted, if it may be that something is."""
        store = self.store
        if store.facts.get("untidy") or store.facts.get("roots") != structure:
            store.nodes.reach(self.roots)
            store.nodes.drop_unreached()
            store.facts.put(untidy="", roots=structure)
        else:
            self._results.drop_old_values()
        self._outputs.tidy()

    def _report(self) -> BuildReport:
        scheduler, outputs = self._scheduler, self._outputs
        kept = tuple(Note("output_kept", path) for path in outputs.kept)
        return BuildReport(
            written=tuple(sorted(outputs.written)),
            unchanged=tuple(sorted(outputs.unchanged)),
            removed=tuple(sorted(outputs.removed)),
            ran=tuple(scheduler.reasons),
            reasons=dict(scheduler.reasons),
            failures=self._results.failed(),
            held_back=dict(self._results.held_back),
            notes=(*self.notes, *kept),
            outputs=self.store.outputs.count(),
            seconds=time.monotonic() - self._started_s,
        )

    def close(self, *, whole: bool) -> None:
        """End; if not whole, then as if killed at the last commit."""
        self._scheduler.abandon()
        if whole:
            self.store.facts.put(running="")
        self.store.close(keep=whole)
