"""What is left to do in an archive, held records too."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from sitegen.archive_build import Folders, ask_archive

if TYPE_CHECKING:
    from collections.abc import Callable

    from sitegen.findings.worklist import WorkItem


def list_work(
    folders: Folders,
    today: dt.date,
    on_progress: Callable[[Any], None] | None = None,
) -> tuple[WorkItem, ...]:
    """Return the worklist of an archive, the most valuable to readers first.

    Args:
        folders: the archive, and where the state of its preview is remembered.
        today: the day against which natural decays are held.
        on_progress: called as the work goes on.

    Raises:
        FaultsFound: if the archive has faults.
        MachineFault: if the machine refuses, or the state is in use.
    """
    from sitegen.findings.worklist import worklist  # noqa: PLC0415 - heavy

    (state,) = ask_archive(
        folders, [("archive_state",)], show_held=True, on_progress=on_progress
    )
    return worklist(state, today)
