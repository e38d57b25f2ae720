"""What ``check`` finds: faults, and when there are none, a colleague's second look."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from sitegen.archive_build.compile import archive_faults, engine_for
from sitegen.archive_build.folders import Folders, published_folders
from sitegen.archive_build.pool import process_pool
from sitegen.archive_build.second_look import second_look
from sitegen.errors import Fault, MachineFault, is_fault
from sitegen.load import SETTINGS_FILE, Problem, Tree, faults_of, read_yaml
from sitegen.rebuild import Holder, Key, Progress


def check_archive(
    archive: Path,
    today: dt.date | None = None,
    on_progress: Callable[[Progress], None] | None = None,
    on_wait: Callable[[Holder | None], None] | None = None,
) -> tuple[Fault, ...]:
    """Return all faults and warnings of an archive; no record or page is written.

    Warnings that rest on results are looked for only where there is no fault. Fits are
    remembered where ``compile`` remembers them, or made aside where that is in use or
    cannot be written.

    Args:
        archive: the archive's folder.
        today: the day against which dates are held; without one there is no second
            look, and nothing at all is written.
        on_progress: called as the work goes on.
        on_wait: called if another process that compiles has to be waited for.

    Raises:
        MachineFault: if the machine refuses.
    """
    if today is not None:
        with suppress(MachineFault, OSError):
            return _found(published_folders(archive), today, on_progress, on_wait)
    with tempfile.TemporaryDirectory(prefix="sitegen-check-") as aside:
        folders = Folders(archive, Path(aside) / "out", Path(aside) / "state")
        return _found(folders, today, on_progress)


def _found(
    folders: Folders,
    today: dt.date | None,
    on_progress: Callable[[Progress], None] | None,
    on_wait: Callable[[Holder | None], None] | None = None,
) -> tuple[Fault, ...]:
    with (
        process_pool(folders, None) as executor,
        engine_for(
            folders,
            show_held=False,
            executor=executor,
            on_progress=on_progress,
            on_wait=on_wait,
        ) as engine,
    ):
        faults = archive_faults(folders.archive, engine)
        if today is None or any(map(is_fault, faults)):
            return faults

        def ask(kind: str, *args: str) -> Any:  # noqa: ANN401 - any value of a step
            return engine.value(Key(kind, args))

        stale = {f.values["currency"] for f in faults if f.code == "rate-stale"}
        problems = tuple(second_look(ask, stale, today))
        return (*faults, *placed(folders.archive, ask, problems))


def placed(
    archive: Path, ask: Callable[..., Any], problems: tuple[Problem, ...]
) -> list[Fault]:
    """Return problems with their places in the archive's files."""

    def tree_of(kind: str, name: str) -> Tree:
        path = SETTINGS_FILE if kind == "archive" else ask("record_path", kind, name)
        return read_yaml((archive / path).read_bytes(), path)

    return faults_of(problems, tree_of)
