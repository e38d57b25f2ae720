"""An archive compiles into its site, or its faults are told and nothing is touched."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from concurrent.futures import Executor
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path

from sitegen.archive_build.failed import (
    Stayed,
    faults_of_failures,
    is_fault,
    stayed_in,
)
from sitegen.archive_build.folders import Folders, engine_roots, engine_settings
from sitegen.archive_build.parsed import unstored
from sitegen.archive_build.pool import process_pool
from sitegen.archive_build.table import all_steps
from sitegen.archive_build.tool import tool_digest
from sitegen.errors import Fault, SitegenError
from sitegen.rebuild import BuildReport, Engine, Holder, Key, Note, Progress

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
    """

    faults: tuple[Fault, ...]
    report: BuildReport | None
    stayed: tuple[Stayed, ...] = ()
    notes: tuple[Note, ...] = ()

    @property
    def stopped(self) -> bool:
        """Whether anything is not as the records would have it."""
        return self.report is None or not self.report.ok


@dataclass(frozen=True, slots=True)
class Watching:
    """Who wants to hear of a compile while it goes on.

    Attributes:
        on_progress: called as the work goes on.
        on_wait: called if another process has to be waited for.
    """

    on_progress: Callable[[Progress], None] | None = None
    on_wait: Callable[[Holder | None], None] | None = None


def _engine(
    folders: Folders,
    *,
    show_held: bool,
    clean: bool = False,
    executor: Executor | None = None,
    watching: Watching | None = None,
) -> Engine:
    watching = watching or Watching()
    return Engine(
        all_steps(),
        engine_roots(folders.archive),
        engine_settings(show_held=show_held),
        state=folders.state,
        out=folders.out,
        tool_digest=tool_digest(),
        executor=executor,
        on_progress=watching.on_progress,
        wait_s=WAIT_S,
        on_wait=watching.on_wait,
        fresh=clean,
    )


def check_archive(archive: Path) -> tuple[Fault, ...]:
    """Return all faults and warnings of an archive; nothing is written."""
    with tempfile.TemporaryDirectory(prefix="sitegen-check-") as aside:
        folders = Folders(archive, Path(aside) / "out", Path(aside) / "state")
        with _engine(folders, show_held=True) as engine:
            return _archive_faults(archive, engine)


def _archive_faults(archive: Path, engine: Engine) -> tuple[Fault, ...]:
    key = Key("faults")
    try:
        return tuple(unstored(fault) for fault in engine.value(key))
    except SitegenError as error:
        return faults_of_failures(archive, [(key, error)])


def compile_archive(
    folders: Folders,
    *,
    show_held: bool = False,
    clean: bool = False,
    workers: int | None = None,
    executor: Executor | None = None,
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
        on_progress: called as the work goes on.
        on_wait: called if another process that compiles has to be waited for, with
            who that is, if it is known.

    Raises:
        LockHeld: if that one does not end in time.
        MachineFault: if the machine refuses.
    """
    pool = nullcontext(executor) if executor else process_pool(folders.archive, workers)
    watching = Watching(on_progress, on_wait)
    with (
        pool as chosen,
        _engine(
            folders,
            show_held=show_held,
            clean=clean,
            executor=chosen,
            watching=watching,
        ) as engine,
    ):
        faults = _archive_faults(folders.archive, engine)
        if any(map(is_fault, faults)):
            return CompileOutcome(faults, None, notes=engine.notes)
        targets = [
            Key(kind, tuple(args)) for kind, *args in engine.value(Key("targets"))
        ]
        report = engine.build(targets)
        failures = [(failure.key, failure.error) for failure in report.failures]
        faults += faults_of_failures(folders.archive, failures)
        stayed = stayed_in(engine, report) if failures else ()
    return CompileOutcome(faults, report, stayed, report.notes)
