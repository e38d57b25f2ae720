"""The state held by this process: locked, opened, and begun anew if it is damaged."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TypeVar

from sitegen.errors import MachineFault, RebuildError, SitegenError
from sitegen.rebuild.fastcheck import STATE_FILE
from sitegen.rebuild.hurry import HurriedSession, MoreToDoError
from sitegen.rebuild.lock import Holder, StateLock
from sitegen.rebuild.reports import Note
from sitegen.rebuild.session import Plan, Session
from sitegen.rebuild.store import Store, discard, is_damage
from sitegen.rebuild.value_table import StateDamagedError

T = TypeVar("T")


class HeldState:
    """The state of an engine; while it is held there is one session.

    Args:
        plan: what the engine was made with.
        wait_s: how long to wait for another process to release the state, s.
        on_wait: called once if it has to be waited for, with who has the state.
        fresh: forget what the state says, once the lock is taken.
    """

    def __init__(
        self,
        plan: Plan,
        *,
        wait_s: float,
        on_wait: Callable[[Holder | None], None],
        fresh: bool,
    ) -> None:
        self._plan = plan
        self._wait_s = wait_s
        self._on_wait = on_wait
        self._fresh = fresh
        self._lock = StateLock(plan.state)
        self.session: Session | None = None

    def begin(self) -> None:
        """Lock the state and look at the roots."""
        self._take_lock()
        try:
            with _faults_of_the_machine(self._plan.state):
                if self._fresh:
                    # Only now: another process may have been at work until here.
                    discard(self._plan.state)
                self.session = self._open(dry=False)
        except BaseException:
            self._lock.release()
            raise

    def end(self, error: BaseException | None) -> None:
        """Store what was built and release the state."""
        session, self.session = self.session, None
        try:
            if session is not None:
                with _faults_of_the_machine(self._plan.state):
                    # What we raise ourselves leaves the state whole; of anything else
                    # we cannot know, so it counts as a kill.
                    whole = error is None or isinstance(error, SitegenError)
                    session.close(whole=whole)
        finally:
            self._lock.release()

    def within(self, act: Callable[[Session], T]) -> T:
        """Do something in the session; with a new state, if this one is damaged."""
        if self.session is None:
            self.begin()
            with self._ending():
                return self.within(act)
        with _faults_of_the_machine(self._plan.state):
            try:
                return act(self.session)
            except (StateDamagedError, sqlite3.DatabaseError) as error:
                self.session.close(whole=False)
                asked = self.session.asked
                self.session = None
                self.session = self._start_over(error, dry=False)
                # What was asked for before is wanted in the new state as well.
                for key in asked:
                    with suppress(SitegenError):
                        self.session.value(key)
                return act(self.session)

    @contextmanager
    def hurried(self, files: Sequence[str]) -> Iterator[bool]:
        """Hold a session that looks at these files alone; see ``Engine.hurry``."""
        self._take_lock()
        try:
            self.session = HurriedSession(self._plan, files)
        except (MoreToDoError, StateDamagedError, sqlite3.Error):
            self._lock.release()
            yield False
            return
        except BaseException:
            self._lock.release()
            raise
        with self._ending():
            yield True

    @contextmanager
    def dry(self) -> Iterator[Session]:
        """Look at everything as it is now; nothing of it is kept."""
        if self.session is not None:
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

    @contextmanager
    def reading(self) -> Iterator[Store]:
        """Read what the state says; it need not be held for that."""
        if self.session is not None:
            yield self.session.store
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
    def _ending(self) -> Iterator[None]:
        try:
            yield
        except BaseException as error:
            self.end(error)
            raise
        self.end(None)

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
