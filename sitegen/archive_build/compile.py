"""An archive compiles into its site, or its faults are told and nothing is touched."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from contextlib import nullcontext
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sitegen.archive_build.failed import (
    Stayed,
    faults_of_failures,
    stayed_in,
)
from sitegen.archive_build.folders import Folders, engine_roots, engine_settings
from sitegen.archive_build.parsed import unstored
from sitegen.archive_build.pool import process_pool
from sitegen.archive_build.table import all_steps
from sitegen.archive_build.tool import tool_digest
from sitegen.errors import Fault, FaultsFound, SitegenError, is_fault
from sitegen.rebuild import (
    BuildReport,
    Engine,
    First,
    Holder,
    Hop,
    Key,
    Note,
    Progress,
    Values,
)

# How long to wait for another process that compiles the same archive.
WAIT_S = 10.0


@dataclass(frozen=True, slots=True)
class CompileOutcome:
    """How a compile ended.

    Attributes:
        faults: faults and warnings of the archive.
        report: what the engine did, or nothing when faults stopped it before.
        stayed: what could not be made, because of faults that showed only then.
        notes: what there is to know about the state and the output.
        why: for each file written the chain of causes, if it was asked for.
    """

    faults: tuple[Fault, ...]
    report: BuildReport | None
    stayed: tuple[Stayed, ...] = ()
    notes: tuple[Note, ...] = ()
    why: Mapping[str, tuple[Hop, ...]] = field(default_factory=dict)

    @property
    def stopped(self) -> bool:
        """Whether anything is not as the records would have it."""
        return self.report is None or not self.report.ok


def engine_for(
    folders: Folders,
    *,
    show_held: bool,
    clean: bool = False,
    executor: Executor | None = None,
    values: Values | None = None,
    on_progress: Callable[[Progress], None] | None = None,
    on_wait: Callable[[Holder | None], None] | None = None,
) -> Engine:
    """Return the engine that reads and compiles an archive, to be used in ``with``."""
    return Engine(
        all_steps(),
        engine_roots(folders.archive),
        engine_settings(show_held=show_held),
        state=folders.state,
        out=folders.out,
        tool_digest=tool_digest(),
        executor=executor,
        values=values,
        on_progress=on_progress,
        wait_s=WAIT_S,
        on_wait=on_wait,
        fresh=clean,
    )


def archive_faults(archive: Path, engine: Engine) -> tuple[Fault, ...]:
    """Return what is wrong with the records of an archive whose engine is open."""
    key = Key("faults")
    try:
        return tuple(unstored(fault) for fault in engine.value(key))
    except SitegenError as error:
        return faults_of_failures(archive, [(key, error)])


def ask_archive(
    folders: Folders,
    questions: Sequence[tuple[str, ...]],
    *,
    show_held: bool,
    workers: int | None = None,
    on_progress: Callable[[Progress], None] | None = None,
) -> list[Any]:
    """Return the values of steps that write nothing, for the commands at the desk.

    Args:
        folders: where to read and remember; nothing is published.
        questions: kind of each step and its arguments.
        show_held: whether held records are seen.
        workers: as for ``compile_archive``.
        on_progress: called as the work goes on.

    Raises:
        FaultsFound: if the archive has faults.
        MachineFault: if the machine refuses, or the state is in use.
    """
    with (
        process_pool(folders, workers) as executor,
        engine_for(
            folders, show_held=show_held, executor=executor, on_progress=on_progress
        ) as engine,
    ):
        faults = archive_faults(folders.archive, engine)
        if any(map(is_fault, faults)):
            raise FaultsFound(faults)
        return [engine.value(Key(kind, tuple(args))) for kind, *args in questions]


def hasten_pages(
    folders: Folders,
    changed: Sequence[str],
    first: First,
    values: Values | None = None,
    *,
    show_held: bool = True,
) -> None:
    """Bring pages that someone waits for up to date, before all else is looked at.

    Does nothing where the archive has faults, or where there is more to it than that
    the bytes of known files changed. ``compile_archive`` is to follow in any case: it
    relies on nothing that was said here, and does what is left.

    Args:
        folders: where to read, write and remember.
        changed: which files changed, by their paths in the archive.
        first: which files are wanted.
        values: what was decoded for pages before, where that is kept.
        show_held: as of the compile before.

    Raises:
        LockHeld: if another process has the state.
        MachineFault: if the machine refuses.
    """
    engine = engine_for(folders, show_held=show_held, values=values)
    with engine.hurry([f"archive:{path}" for path in changed]) as possible:
        if possible and not any(map(is_fault, archive_faults(folders.archive, engine))):
            engine.hasten(first)


def compile_archive(
    folders: Folders,
    *,
    show_held: bool = False,
    clean: bool = False,
    workers: int | None = None,
    executor: Executor | None = None,
    why: bool = False,
    first: First | None = None,
    on_progress: Callable[[Progress], None] | None = None,
    on_wait: Callable[[Holder | None], None] | None = None,
) -> CompileOutcome:
    """Compile an archive; when it has faults, nothing that is published is touched.

    A fault that shows only when something is made (a broken picture, a layout of the
    archive's own) holds back what rests on it, and nothing else: see ``stayed``.

    Args:
        folders: where to read, write and remember.
        show_held: whether held records are shown (and marked).
        clean: forget what was remembered and compile all.
        workers: processes for fits and figures; one for each core when not given.
        executor: where fits and figures are made, instead of processes of our own.
        why: whether to tell why each file was written.
        first: which files are wanted before all others.
        on_progress: called as the work goes on.
        on_wait: called if another process that compiles has to be waited for, with
            who that is, if it is known.

    Raises:
        LockHeld: if that one does not end in time.
        MachineFault: if the machine refuses.
    """
    ours = process_pool(folders, workers, clean=clean)
    pool = nullcontext(executor) if executor else ours
    with (
        pool as chosen,
        engine_for(
            folders,
            show_held=show_held,
            clean=clean,
            executor=chosen,
            on_progress=on_progress,
            on_wait=on_wait,
        ) as engine,
    ):
        faults = archive_faults(folders.archive, engine)
        if any(map(is_fault, faults)):
            return CompileOutcome(faults, None, notes=engine.notes)
        targets = [
            Key(kind, tuple(args)) for kind, *args in engine.value(Key("targets"))
        ]
        report = engine.build(targets, first=first)
        failures = [(failure.key, failure.error) for failure in report.failures]
        faults += faults_of_failures(folders.archive, failures)
        stayed = stayed_in(engine, report) if failures else ()
        causes = {path: engine.why(path) for path in report.written if why}
    return CompileOutcome(faults, report, stayed, report.notes, causes)
