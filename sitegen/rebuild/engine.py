"""The engine: opens the state, builds what is wanted, tells why."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Any, TypeVar

from sitegen.errors import MachineFault, RebuildError, SitegenError
from sitegen.rebuild.decoded import Values
from sitegen.rebuild.fastcheck import STATE_FILE
from sitegen.rebuild.foresee import foresee
from sitegen.rebuild.history import chain, chain_to_come, files, key_for, parts
from sitegen.rebuild.hurry import HurriedSession, MoreToDoError
from sitegen.rebuild.keys import Key
from sitegen.rebuild.lock import Holder, StateLock
from sitegen.rebuild.reports import BuildReport, Hop, Note, Part, Progress
from sitegen.rebuild.session import First, Plan, Session
from sitegen.rebuild.steps import Step, Value
from sitegen.rebuild.store import Store, discard, is_damage
from sitegen.rebuild.value_table import StateDamagedError

T = TypeVar("T")


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
        self._wait_s = wait_s
        self._on_wait = on_wait or (lambda _: None)
        self._fresh = fresh
        self._session: Session | None = None
        self._lock = StateLock(state)

    # Sessions

    def __enter__(self) -> Engine:
        """Lock the state and look at the roots.

        Raises:
            LockHeld: if another process has it.
            MachineFault: if the system refuses.
        """
        self._take_lock()
        try:
            with _faults_of_the_machine(self._plan.state):
                if self._fresh:
                    # Only now: another process may have been at work until here.
                    discard(self._plan.state)
                self._session = self._open(dry=False)
        except BaseException:
            self._lock.release()
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Store what was built and release the state."""
        self._end(error)

    def _end(self, error: BaseException | None) -> None:
        session, self._session = self._session, None
        try:
            if session is not None:
                with _faults_of_the_machine(self._plan.state):
                    # What we raise ourselves leaves the state whole; of anything else
                    # we cannot know, so it counts as a kill.
                    whole = error is None or isinstance(error, SitegenError)
                    session.close(whole=whole)
        finally:
            self._lock.release()

    def _take_lock(self) -> None:
        try:
            self._lock.take(self._wait_s, self._on_wait)
        except OSError as error:
            raise MachineFault.of(error) from error

    def _open(self, *, dry: bool) -> Session:
        try:
            return Session(self._plan, dry=dry)
        except (StateDamagedError, sqlite3.DatabaseError) as error:
            return self._start_over(error, dry=dry)

    def _start_over(self, error: Exception, *, dry: bool) -> Session:
        if isinstance(error, sqlite3.Error) and not is_damage(error):
            raise error
        discard(self._plan.state)
        return Session(self._plan, dry=dry, notes=(Note("state_damaged"),))

    def _within(self, act: Callable[[Session], T]) -> T:
        """Do something in the session; with a new state, if this one is damaged."""
        if self._session is None:
            with self:
                return self._within(act)
        with _faults_of_the_machine(self._plan.state):
            try:
                return act(self._session)
            except (StateDamagedError, sqlite3.DatabaseError) as error:
                self._session.close(whole=False)
                asked = self._session.asked
                self._session = None
                self._session = self._start_over(error, dry=False)
                # What was asked for before is wanted in the new state as well.
                for key in asked:
                    with suppress(SitegenError):
                        self._session.value(key)
                return act(self._session)

    @contextmanager
    def hurry(self, files: Sequence[str]) -> Iterator[bool]:
        """Hold a session that looks at these files alone, as if no other had changed.

        Within it ``value`` and ``hasten`` may be called, where it says that it can.
        The next session of the usual kind looks at everything.

        Args:
            files: each as ``root:folder/file``.

        Yields:
            Whether that would do: false if files came or went, if the last build did
            not end well, or if the state cannot be read.

        Raises:
            LockHeld: if another process has the state.
            MachineFault: if the system refuses.
        """
        self._take_lock()
        try:
            self._session = HurriedSession(self._plan, files)
        except (MoreToDoError, StateDamagedError, sqlite3.Error):
            self._lock.release()
            yield False
            return
        except BaseException:
            self._lock.release()
            raise
        try:
            yield True
        except BaseException as error:
            self._end(error)
            raise
        self._end(None)

    def hasten(self, first: First) -> None:
        """Build what someone waits for; within ``hurry`` only."""

        def act(session: Session) -> None:
            # A state that was thrown away meanwhile has no page to hasten.
            if isinstance(session, HurriedSession):
                session.hasten(first)

        self._within(act)

    # What it is for

    @property
    def notes(self) -> tuple[Note, ...]:
        """What there is to know about the state; empty outside ``with``."""
        return () if self._session is None else tuple(self._session.notes)

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
            return self._within(lambda session: session.build(targets, first))
        with self._dry_session() as session:
            reasons = foresee(session.store, self._plan.steps, targets)
            return BuildReport(reasons=reasons, notes=tuple(session.notes))

    @contextmanager
    def _dry_session(self) -> Iterator[Session]:
        """Look at everything as it is now; nothing of it is kept."""
        if self._session is not None:
            raise RebuildError("dry_in_session")
        self._take_lock()
        try:
            with _faults_of_the_machine(self._plan.state):
                session = self._open(dry=True)
                try:
                    yield session
                finally:
                    session.close(whole=False)
        finally:
            self._lock.release()

    def value(self, key: Key) -> Value:
        """Return one value, building what it needs; no output is written.

        Raises:
            SitegenError: what the step raised, or the one that it waits for.
            RebuildError: ``writes``, if an output would have to be written.
        """
        return self._within(lambda session: session.value(key))

    def writes(self, key: Key) -> bool:
        """Whether a node is one that writes outputs."""
        step = self._plan.steps.get(key.kind)
        return step is not None and step.writes

    def written_by(self, key: Key) -> tuple[str, ...]:
        """Return the outputs that stand through a node, also if it failed since."""
        with self._reading() as store:
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
        with self._reading() as store:
            return chain(store, target)

    def why_now(self, target: Key | str) -> tuple[Hop, ...]:
        """Return why a node would run, if one were to build now; nothing is run.

        Empty if it would not. A cause ``dep_suspect`` says that it runs only if that
        dependency comes out different. Not within ``with``.

        Raises:
            LockHeld: if another process has the state.
            RebuildError: ``not_built``, if there is no such node or output.
        """
        with self._dry_session() as session:
            key = key_for(session.store, target)
            reasons = foresee(session.store, self._plan.steps, [key])
            return chain_to_come(session.store, reasons, key)

    def files(self, target: Key | str) -> tuple[str, ...]:
        """Return the files on which a node or an output rests in the end, sorted.

        Raises:
            RebuildError: ``not_built``, if there is no such node or output.
        """
        with self._reading() as store:
            return files(store, target)

    def parts(self, target: Key | str) -> tuple[Part, ...]:
        """Return what a node or an output was made from, in the order asked for.

        Raises:
            RebuildError: ``not_built``, if there is no such node or output.
        """
        with self._reading() as store:
            return parts(store, target)

    @contextmanager
    def _reading(self) -> Iterator[Store]:
        if self._session is not None:
            yield self._session.store
            return
        if not (self._plan.state / STATE_FILE).is_file():
            raise RebuildError("not_built")
        with _faults_of_the_machine(self._plan.state):
            try:
                store = Store(self._plan.state, mend=False)
            except StateDamagedError as error:
                raise RebuildError("not_built") from error
            try:
                yield store
            finally:
                store.close(keep=False)


@contextmanager
def _faults_of_the_machine(state: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        message = (
            f"{state}: the state cannot be used ({error}); delete that folder, which "
            "only remembers, and run it again"
        )
        raise MachineFault(message) from error
