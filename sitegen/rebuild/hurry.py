"""A session that looks at a few files only, for someone who waits for a page.

What it builds is as it would be if nothing else had changed. It never says that all is
good; the next session looks at everything and brings the rest to the truth, whatever
was left out here.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Sequence

from sitegen.rebuild.fastcheck import good_mark, settings_digest
from sitegen.rebuild.leaves import Leaves
from sitegen.rebuild.session import First, Plan, Session


class MoreToDoError(Exception):
    """To look at these files alone would not do."""


class HurriedSession(Session):
    """What is done in a hurry, between taking the lock and releasing it.

    Args:
        plan: what the engine was made with.
        files: those that changed, each as ``root:folder/file``.

    Raises:
        MoreToDoError: if the last build did not end well, or was made with something
            else, or if more than the bytes of files that steps have read has changed.
        StateDamagedError: if the state is damaged.
    """

    mend = False
    thorough = False

    def __init__(self, plan: Plan, files: Sequence[str]) -> None:
        self._files = files
        super().__init__(plan, dry=False)

    def _look(self, leaves: Leaves, *, unclean: bool) -> list[int]:
        """Look at the files that are said to have changed, and no others."""
        facts, plan = self.store.facts, self._plan
        out = os.path.realpath(plan.out)
        good = good_mark(settings_digest(plan.settings), plan.tool_digest)
        if unclean or facts.get("good") != good or facts.get("out") != out:
            raise MoreToDoError
        changed = leaves.refresh_alone(self._files)
        if changed is None:
            raise MoreToDoError
        return changed

    def _mark(self, changed: Collection[int]) -> bool:
        """Mark what rests on it for this session alone; the next has to begin anew."""
        self.store.facts.put(pending=" ".join(map(str, sorted(changed))))
        return self.store.nodes.doubt_from(changed)

    def hasten(self, first: First) -> None:
        """Build what someone waits for, and nothing else; see ``Engine.hurry``."""
        self.store.facts.put(good="")
        self._scheduler.may_write = True
        try:
            self.build_first(first, self.owners(first))
            self._scheduler.drain()
        finally:
            self._scheduler.may_write = False
        if not self._results.failures:
            self._results.drop_old_values()
