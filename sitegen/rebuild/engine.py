"""The engine: opens the state, builds what is wanted, tells why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import Executor
from contextlib import AbstractContextManager
from pathlib import Path
from types import TracebackType
from typing import Any

from sitegen.rebuild.decoded import Values
from sitegen.rebuild.foresee import foresee
from sitegen.rebuild.held_state import HeldState
from sitegen.rebuild.history import chain, chain_to_come, files, key_for, parts
from sitegen.rebuild.hurry import HurriedSession
from sitegen.rebuild.keys import Key
from sitegen.rebuild.lock import Holder
from sitegen.rebuild.reports import BuildReport, Hop, Note, Part, Progress
from sitegen.rebuild.session import First, Plan, Session
from sitegen.rebuild.steps import Step, Value


class Engine:
    """Builds nodes from steps, keeping in a state folder what it has built before.

    Used as a context manager, it holds the state's lock and looks at the roots once;
    all that is asked of it within sees the files as they were at the beginning. A
    call outside ``with`` is such a session of its own.

    Args:
        steps: the table of steps.
        roots: the folders that steps may read, by name; one that is not there is
            empty.
        settings: JSON data, by name.
        state: the folder of the state.
        out: the output folder.
        tool_digest: changes whenever the code of any step may have changed.
        executor: where costly steps do their work; None: in this process.
        on_progress: called after each step that ran and each target.
        values: values that an engine with the same steps has decoded before.
        wait_s: how long to wait for another process to release the state, s.
        on_wait: called once if it has to be waited for, with who has the state.
        fresh: forget what the state says, once the lock is taken.
    """

    def __init__(
        self,
        steps: Iterable[Step],
        roots: Mapping[str, Path],
        settings: Mapping[str, Any],
        *,
        state: Path,
        out: Path,
        tool_digest: str,
        executor: Executor | None = None,
        on_progress: Callable[[Progress], None] | None = None,
        values: Values | None = None,
        wait_s: float = 0.0,
        on_wait: Callable[[Holder | None], None] | None = None,
        fresh: bool = False,
    ) -> None:
        table = {step.kind: step for step in steps}
        self._plan = Plan(
            table,
            dict(roots),
            dict(settings),
            state,
            out,
            tool_digest,
            executor,
            on_progress,
            Values() if values is None else values,
        )
        self._state = HeldState(
            self._plan,
            wait_s=wait_s,
            on_wait=on_wait or (lambda _: None),
            fresh=fresh,
        )

    # Sessions

    def __enter__(self) -> Engine:
        """Lock the state and look at the roots.

        Raises:
            LockHeld: if another process has it.
            MachineFault: if the system refuses.
        """
        self._state.begin()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Store what was built and release the state."""
        self._state.end(error)

    def hurry(self, files: Sequence[str]) -> AbstractContextManager[bool]:
        """Hold a session that looks at these files alone, as if no other had changed.

        Within it ``value`` and ``hasten`` may be called, where it says that it can.
        The next session of the usual kind looks at everything.

        Args:
            files: each as ``root:folder/file``.

        Returns:
            That session; entering it says whether it would do: false if files came or
            went, if the last build did not end well, or if the state cannot be read.

        Raises:
            LockHeld: if another process has the state.
            MachineFault: if the system refuses.
        """
        return self._state.hurried(files)

    def hasten(self, first: First) -> None:
        """Build what someone waits for; within ``hurry`` only."""

        def act(session: Session) -> None:
            # A state that was thrown away meanwhile has no page to hasten.
            if isinstance(session, HurriedSession):
                session.hasten(first)

        self._state.within(act)

    # What it is for

    @property
    def notes(self) -> tuple[Note, ...]:
        """What there is to know about the state; empty outside ``with``."""
        session = self._state.session
        return () if session is None else tuple(session.notes)

    def build(
        self, targets: Sequence[Key], *, dry: bool = False, first: First | None = None
    ) -> BuildReport:
        """Bring the targets up to date, and delete what none of them needs any longer.

        A step that raises a ``SitegenError`` has failed: see the report. Any other
        exception is a bug in a step, and comes through.

        Args:
            targets: all that is wanted.
            dry: only tell what would run. Not within ``with``.
            first: which outputs are wanted before all others.

        Raises:
            LockHeld: if another process has the state.
            MachineFault: if the system refuses.
            RebuildError: if a target's kind is unknown.
        """
        if not dry:
            return self._state.within(lambda session: session.build(targets, first))
        with self._state.dry() as session:
            reasons = foresee(session.store, self._plan.steps, targets)
            return BuildReport(reasons=reasons, notes=tuple(session.notes))

    def value(self, key: Key) -> Value:
        """Return one value, building what it needs; no output is written.

        Raises:
            SitegenError: what the step raised, or the one that it waits for.
            RebuildError: ``writes``, if an output would have to be written.
        """
        return self._state.within(lambda session: session.value(key))

    def writes(self, key: Key) -> bool:
        """Whether a node is one that writes outputs."""
        step = self._plan.steps.get(key.kind)
        return step is not None and step.writes

    def written_by(self, key: Key) -> tuple[str, ...]:
        """Return the outputs that stand through a node, also if it failed since."""
        with self._state.reading() as store:
            row = store.nodes.get(key)
            return (
                () if row is None else tuple(o.path for o in store.outputs.of(row.id))
            )

    def why(self, target: Key | str) -> tuple[Hop, ...]:
        """Return why a node last ran: the causes, one after the other, to a leaf.

        Args:
            target: a key, or the path of an output.

        Raises:
            RebuildError: ``not_built``, if there is no such node or output.
        """
        with self._state.reading() as store:
            return chain(store, target)

    def why_now(self, target: Key | str) -> tuple[Hop, ...]:
        """Return why a node would run, if one were to build now; nothing is run.

        Empty if it would not. A cause ``dep_suspect`` says that it runs only if that
        dependency comes out different. Not within ``with``.

        Raises:
            LockHeld: if another process has the state.
            RebuildError: ``not_built``, if there is no such node or output.
        """
        with self._state.dry() as session:
            key = key_for(session.store, target)
            reasons = foresee(session.store, self._plan.steps, [key])
            return chain_to_come(session.store, reasons, key)

    def files(self, target: Key | str) -> tuple[str, ...]:
        """Return the files on which a node or an output rests in the end, sorted.

        Raises:
            RebuildError: ``not_built``, if there is no such node or output.
        """
        with self._state.reading() as store:
            return files(store, target)

    def parts(self, target: Key | str) -> tuple[Part, ...]:
        """Return what a node or an output was made from, in the order asked for.

        Raises:
            RebuildError: ``not_built``, if there is no such node or output.
        """
        with self._state.reading() as store:
            return parts(store, target)
