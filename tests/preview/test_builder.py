"""The builder: woken or not, what is compiled ends as what is there."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field

from hypothesis import given
from hypothesis import strategies as st

from sitegen.preview.builder import keep_building


@dataclass
class World:
    """An archive that is one number, its copy, and a wake-up that may keep silent.

    Attributes:
        script: for each time the builder waits: what changes, and whether it is told.
    """

    script: list[tuple[Callable[[World], None], bool]]
    archive: int = 0
    site: int = -1
    builds: int = 0
    hastened: int = 0
    renewed: int = 0
    refuse: int = 0
    during: list[Callable[[World], None]] = field(default_factory=list)
    stop: threading.Event = field(default_factory=threading.Event)

    def wait(self, timeout_s: float) -> bool:
        """Let the next thing happen; end when nothing is left."""
        assert timeout_s >= 0
        if not self.script:
            self.stop.set()
            return True
        change, told = self.script.pop(0)
        change(self)
        return told

    def hasten(self) -> None:
        """Leave something in the copy that is not in the archive."""
        self.hastened += 1
        self.site = -2

    def look_in(self) -> bytes:
        """Return how the archive looks."""
        return str(self.archive).encode()

    def look_out(self) -> bytes:
        """Return how its copy looks."""
        return str(self.site).encode()

    def build(self) -> bool:
        """Copy the archive; something may change it meanwhile."""
        self.builds += 1
        seen = self.archive
        if self.during:
            self.during.pop(0)(self)
        if self.refuse:
            self.refuse -= 1
            return True
        self.site = seen
        return False

    def renew(self) -> None:
        """Count."""
        self.renewed += 1

    def run(self) -> World:
        """Let the builder go through the script."""
        keep_building(
            self,
            self.hasten,
            self.look_in,
            self.look_out,
            self.build,
            self.renew,
            self.stop,
        )
        return self


def edit(value: int) -> Callable[[World], None]:
    """Return a change of the archive."""
    return lambda world: setattr(world, "archive", value)


def nothing(_: World) -> None:
    """Change nothing."""


def lose(world: World) -> None:
    """Lose what was compiled."""
    world.site = -1


QUIET = (nothing, False)


@given(
    st.lists(
        st.tuples(
            st.one_of(st.integers(1, 5).map(edit), st.sampled_from([nothing, lose])),
            st.booleans(),
        )
    )
)
def test_events_lost_late_or_for_nothing_do_not_matter(
    script: list[tuple[Callable[[World], None], bool]],
) -> None:
    """Whatever is told, late, twice or never, the site ends as the archive stands."""
    world = World([*script, QUIET, QUIET]).run()
    assert world.site == world.archive


def test_the_builder_rests_when_nothing_is_new() -> None:
    """Looking does not compile; only a change or a wake-up does."""
    world = World([QUIET] * 5).run()
    assert world.builds == 1
    assert World([*[QUIET] * 5, (nothing, True)]).run().builds == 2


def test_a_change_during_a_compile_is_seen_after_it() -> None:
    """What changes while compiling, untold, is compiled next."""
    world = World([QUIET] * 3, during=[edit(7)]).run()
    assert (world.site, world.builds) == (7, 2)


def test_a_refused_compile_is_tried_again_though_no_file_changes() -> None:
    """A full disk sends no event when it has room again."""
    world = World([(edit(3), True), *[QUIET] * 5], refuse=4).run()
    assert (world.site, world.builds) == (3, 5)


def test_folders_are_watched_anew_before_every_compile() -> None:
    """What is watched follows the folders that there are."""
    world = World([(edit(1), False), QUIET]).run()
    assert world.renewed == world.builds


def test_who_is_told_makes_haste_and_then_builds() -> None:
    """Haste is made when woken alone, and a whole build follows it at once."""
    world = World([QUIET, (edit(4), True), (edit(5), False), QUIET]).run()
    assert (world.hastened, world.builds, world.site) == (1, 3, 5)
