"""The table of steps: the one place that says which steps there are."""

from __future__ import annotations

from sitegen.archive_build.measuring import measuring_steps
from sitegen.archive_build.sources import source_steps
from sitegen.rebuild import Step


def all_steps() -> tuple[Step, ...]:
    """Return every step from the archive's files to the site's."""
    return (*source_steps(), *measuring_steps())
