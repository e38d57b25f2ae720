"""An archive compiles into its site, or its faults are told and nothing is touched."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from sitegen.archive_build.folders import Folders, engine_roots, engine_settings
from sitegen.archive_build.parsed import unstored
from sitegen.archive_build.patience import Patient
from sitegen.archive_build.table import all_steps
from sitegen.archive_build.tool import tool_digest
from sitegen.errors import CODES, Fault, FaultsFound, Place, RebuildError
from sitegen.rebuild import BuildReport, Engine, First, Hop, Key, Progress
from sitegen.rebuild.fastcheck import STATE_FILE

# Below so many series a process pool costs more than it saves.
POOL_PAYS_FROM = 24
# So much costly work is done in this process first, if there is a state to go on from.
PATIENCE_S = 2.0
# Fits must not depend on how many threads a matrix product is split over.
_ONE_THREAD = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


@dataclass(frozen=True, slots=True)
class CompileOutcome:
    """How a compile ended.

    Attributes:
        faults: faults and warnings of the archive.
        report: what the engine did, or nothing when faults stopped it before.
        why: for each file written the chain of causes, if it was asked for.
    """

    faults: tuple[Fault, ...]
    report: BuildReport | None
    why: Mapping[str, tuple[Hop, ...]] = field(default_factory=dict)

    @property
    def stopped(self) -> bool:
        """Whether anything is not as the records would have it."""
        return self.report is None or not self.report.ok


def _is_fault(fault: Fault) -> bool:
    return CODES[fault.code].severity == "fault"


def engine_for(
    folders: Folders,
    *,
    show_held: bool,
    executor: Executor | None = None,
    on_progress: Callable[[Progress], None] | None = None,
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
        on_progress=on_progress,
        wait_s=10.0,
    )


def check_archive(archive: Path) -> tuple[Fault, ...]:
    """Return all faults and warnings of an archive; nothing is written."""
    with tempfile.TemporaryDirectory(prefix="sitegen-check-") as aside:
        folders = Folders(archive, Path(aside) / "out", Path(aside) / "state")
        try:
            with _located(), engine_for(folders, show_held=True) as engine:
                return tuple(unstored(fault) for fault in engine.value(Key("faults")))
        except FaultsFound as found:
            return found.faults


def ask_archive(
    folders: Folders,
    questions: Sequence[tuple[str, ...]],
    *,
    show_held: bool,
    workers: int | None = None,
) -> list[Any]:
    """Return the values of steps that write nothing, for the commands at the desk.

    Args:
        folders: where to read and remember; nothing is published.
        questions: kind of each step and its arguments.
        show_held: whether held records are seen.
        workers: as for ``compile_archive``.

    Raises:
        FaultsFound: if the archive has faults.
        MachineFault: if the machine refuses, or the state is in use.
    """
    with (
        _pool(folders, workers) as executor,
        engine_for(folders, show_held=show_held, executor=executor) as engine,
    ):
        faults = [unstored(fault) for fault in engine.value(Key("faults"))]
        if any(map(_is_fault, faults)):
            raise FaultsFound(faults)
        return [engine.value(Key(kind, tuple(args))) for kind, *args in questions]


def compile_archive(
    folders: Folders,
    *,
    show_held: bool = False,
    clean: bool = False,
    workers: int | None = None,
    why: bool = False,
    first: First | None = None,
    on_progress: Callable[[Progress], None] | None = None,
) -> CompileOutcome:
    """Compile an archive; when it has faults, nothing that is published is touched.

    Args:
        folders: where to read, write and remember.
        show_held: whether held records are shown (and marked).
        clean: forget what was remembered and compile all.
        workers: processes for fits and figures; one for each core when not given.
        why: whether to tell why each file was written.
        first: which files are wanted before all others.
        on_progress: called as the work goes on.

    Raises:
        MachineFault: if the machine refuses, or the state is in use.
    """
    if clean and folders.state.is_dir():
        shutil.rmtree(folders.state)
    try:
        return _compiled(
            folders,
            show_held=show_held,
            workers=workers,
            why=why,
            first=first,
            on_progress=on_progress,
        )
    except FaultsFound as found:
        return CompileOutcome(found.faults, None)


def _compiled(
    folders: Folders,
    *,
    show_held: bool,
    workers: int | None,
    why: bool,
    first: First | None,
    on_progress: Callable[[Progress], None] | None,
) -> CompileOutcome:
    with (
        _located(),
        _pool(folders, workers) as executor,
        engine_for(
            folders, show_held=show_held, executor=executor, on_progress=on_progress
        ) as engine,
    ):
        faults = tuple(unstored(fault) for fault in engine.value(Key("faults")))
        if any(map(_is_fault, faults)):
            return CompileOutcome(faults, None)
        targets = [
            Key(kind, tuple(args)) for kind, *args in engine.value(Key("targets"))
        ]
        report = engine.build(targets, first=first)
        causes = {path: engine.why(path) for path in report.written if why}
    told = list(faults)
    for failure in report.failures:
        if not isinstance(failure.error, FaultsFound):
            raise failure.error
        told += failure.error.faults
    return CompileOutcome(tuple(told), report, causes)


@contextmanager
def _located() -> Iterator[None]:
    """Let a link out of the archive be a fault of the archive, with its place."""
    try:
        yield
    except RebuildError as error:
        root, _, path = error.detail.get("path", "").partition(":")
        if error.code != "outside_root" or root != "archive":
            raise
        raise FaultsFound([Fault("link-outside", Place(path))]) from error


@contextmanager
def _one_thread() -> Iterator[None]:
    """Let processes that are started have one thread for matrix products each.

    It has to stand in their environment from the start: the library reads it when it
    is loaded, and splitting small products over threads only wastes time.
    """
    before = {name: os.environ.get(name) for name in _ONE_THREAD}
    os.environ.update(dict.fromkeys(_ONE_THREAD, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


@contextmanager
def _pool(folders: Folders, workers: int | None) -> Iterator[Executor | None]:
    """Yield a pool of processes where one pays, else nothing.

    Processes are spawned, not forked: a fork after the chart converter has started
    hangs. None starts before there is work for it; after an edit, not before there is
    much.
    """
    series = folders.archive / "series"
    count = os.cpu_count() or 1 if workers is None else workers
    many = sum(1 for _ in series.rglob("*.csv")) if series.is_dir() else 0
    if count < 2 or (workers is None and many < POOL_PAYS_FROM):
        yield None
        return
    begun = (folders.state / STATE_FILE).is_file()

    def make() -> ProcessPoolExecutor:
        return ProcessPoolExecutor(count, mp_context=get_context("spawn"))

    with _one_thread(), Patient(make, PATIENCE_S if begun else 0.0) as pool:
        yield pool
