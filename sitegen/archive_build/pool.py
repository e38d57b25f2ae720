"""Processes for fits and figures, started where they pay and ended with this one."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import connection, get_context, parent_process

from sitegen.archive_build.folders import Folders
from sitegen.archive_build.patience import Patient
from sitegen.rebuild.fastcheck import STATE_FILE

# Below so many series a process pool costs more than it saves.
POOL_PAYS_FROM = 24
# So much costly work is done in this process first, if there is a state to go on from.
PATIENCE_S = 2.0
# Fits must not depend on how many threads a matrix product is split over.
ONE_THREAD = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


@contextmanager
def process_pool(
    folders: Folders, workers: int | None, *, clean: bool = False
) -> Iterator[Executor | None]:
    """Yield a pool of processes where one pays, else nothing.

    Processes are spawned, not forked: a fork after the chart converter has started
    hangs. None starts before there is work for it; after an edit, not before there is
    much.

    Args:
        folders: the archive's, and that of the state.
        workers: how many; one for each core when not given.
        clean: whether the state is about to be forgotten.
    """
    series = folders.archive / "series"
    count = os.cpu_count() or 1 if workers is None else workers
    many = sum(1 for _ in series.rglob("*.csv")) if series.is_dir() else 0
    if count < 2 or (workers is None and many < POOL_PAYS_FROM):
        yield None
        return
    begun = not clean and (folders.state / STATE_FILE).is_file()

    def make() -> ProcessPoolExecutor:
        return ProcessPoolExecutor(
            count, mp_context=get_context("spawn"), initializer=end_with_parent
        )

    with _one_thread(), Patient(make, PATIENCE_S if begun else 0.0) as pool:
        yield pool


@contextmanager
def _one_thread() -> Iterator[None]:
    """Let processes that are started have one thread for matrix products each.

    It has to stand in their environment from the start: the library reads it when it
    is loaded, and splitting small products over threads only wastes time.
    """
    before = {name: os.environ.get(name) for name in ONE_THREAD}
    os.environ.update(dict.fromkeys(ONE_THREAD, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def end_with_parent() -> None:
    """End this worker when the process that started it ends, in whatever way.

    A worker waits for work on a pipe of which it holds both ends, so it would never
    notice that the compile was killed.
    """
    parent = parent_process()
    if parent is None:
        return

    def wait() -> None:
        connection.wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=wait, daemon=True).start()
