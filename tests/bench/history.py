"""Any history of edits, kills and losses ends as a clean compile would.

    python -m tests.bench.history --kills 200 --steps 2000

plays histories drawn by hypothesis until so many kills hit a process at work and so
many edits were made, and compares with a clean compile again and again. It ends at
the first difference, with the history that led there.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.bench.features import FEATURES
from tests.bench.played import SPOILT, Played, Remembering, Tally

Act = tuple[str, Any]

# One kill in so many is of the real command, with processes of its own.
_COMMAND_EVERY = 10
# One comparison in so many is with a compile that works everything out again.
_FORGET_EVERY = 25

_place = st.floats(0, 1, exclude_max=True)
_edit = st.sampled_from(sorted(FEATURES)).flatmap(
    lambda name: st.tuples(
        st.just("edit"),
        st.tuples(st.just(name), st.sampled_from(FEATURES[name])),
    )
)
_rare: st.SearchStrategy[Act] = st.one_of(
    st.tuples(st.just("again"), st.none()),
    st.tuples(st.just("show held"), st.booleans()),
    st.tuples(st.just("lose"), _place),
    st.tuples(st.just("spoil"), _place),
    st.tuples(st.just("stranger"), st.sampled_from(["mine.txt", "runs/mine.txt"])),
    st.tuples(
        st.just("damage"),
        st.tuples(_place, st.sampled_from(["lose", "cut", "garble"])),
    ),
)
_hurried: st.SearchStrategy[Act] = st.tuples(_edit, _place).map(
    lambda drawn: ("hurried", (*drawn[0][1], drawn[1]))
)
_kill: st.SearchStrategy[Act] = st.tuples(st.just("kill"), _place)


def histories(longest: int) -> st.SearchStrategy[list[Act]]:
    """Return the strategy of histories: edits above all, kills, losses, compiles."""
    kinds = [_edit] * 7 + [_hurried] * 4 + [_kill] * 2 + [_rare]
    compiled: st.SearchStrategy[Act] = st.tuples(st.just("compile"), st.none())
    act: st.SearchStrategy[Act] = st.one_of(*kinds, compiled)
    return st.lists(act, min_size=longest // 2, max_size=longest)


def _edited(played: Played, change: Callable[[], None]) -> None:
    change()
    played.tally.edits += 1


def _kill_it(played: Played, place: float) -> None:
    tried = played.tally.kills + played.tally.idle
    played.killed(place, command=tried % _COMMAND_EVERY == _COMMAND_EVERY - 1)


def _show_held(played: Played, value: bool) -> None:
    played.show_held = value


_ACTS: Mapping[str, Callable[[Played, Any], None]] = {
    "edit": lambda played, what: _edited(played, lambda: played.choose(*what)),
    "hurried": lambda played, what: _edited(played, lambda: played.hurried(*what)),
    "again": lambda played, _: _edited(played, played.again),
    "show held": lambda played, on: _edited(played, lambda: _show_held(played, on)),
    "lose": lambda played, at: _edited(played, lambda: played.spoil(at, None)),
    "spoil": lambda played, at: _edited(played, lambda: played.spoil(at, SPOILT)),
    "stranger": lambda played, at: _edited(played, lambda: played.put_beside(at)),
    "damage": lambda played, how: _edited(played, lambda: played.damage(*how)),
    "kill": _kill_it,
    "compile": lambda played, _: played.compare(),
}


def play(acts: list[Act], tally: Tally, work: Remembering) -> None:
    """Play one history from a new archive on, and compare at its end."""
    with tempfile.TemporaryDirectory(prefix="sitegen-history-") as folder:
        played = Played(Path(folder), tally, work)
        played.compiled()
        for number, (name, what) in enumerate(acts):
            try:
                _ACTS[name](played, what)
            except Exception as error:
                error.add_note(f"at act {number}: {name} {what}")
                raise
        if tally.compared % _FORGET_EVERY == 0:
            work.forget()
        played.compare()


def _play_until(kills: int, steps: int, longest: int) -> Tally:
    tally, work = Tally(), Remembering()
    begun = time.monotonic()

    @settings(
        max_examples=10,
        deadline=None,
        database=None,
        phases=(Phase.generate,),
        suppress_health_check=list(HealthCheck),
    )
    @given(histories(longest))
    def play_some(acts: list[Act]) -> None:
        play(acts, tally, work)
        sys.stderr.write(
            f"{time.monotonic() - begun:6.0f} s  {tally.edits} edits,"
            f" {tally.kills} kills, {tally.hastened} times haste,"
            f" {tally.compared} comparisons\n"
        )

    while tally.kills < kills or tally.edits < steps:
        play_some()
    return tally


def main() -> None:
    """Play histories until there were enough, and say what they came to."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--steps", type=int, default=2000)
    parser.add_argument("--longest", type=int, default=60, help="acts in one history")
    asked = parser.parse_args()
    begun = time.monotonic()
    tally = _play_until(asked.kills, asked.steps, asked.longest)
    print(  # noqa: T201 - what the command is for
        f"{tally.edits} edits, {tally.kills} kills at work ({tally.idle} came too"
        f" late), {tally.hastened} times haste, {tally.faulty} compiles with a fault,"
        f" {tally.compared} comparisons: always as a clean compile,"
        f" in {time.monotonic() - begun:.0f} s"
    )


if __name__ == "__main__":
    main()
