"""Whether there is nothing to do, told without the engine."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from sitegen.rebuild.fastcheck import settings_digest, unchanged

if TYPE_CHECKING:
    from tests.rebuild.conftest import Toy


def _unchanged(toy: Toy) -> bool:
    settings = settings_digest(toy.settings)
    return unchanged(toy.state, toy.roots, toy.out, settings, toy.tool)


def test_after_a_build_there_is_nothing_to_do(toy: Toy) -> None:
    """Neither is there with a stranger's file among the outputs."""
    assert not _unchanged(toy)
    toy.build()
    assert _unchanged(toy)
    (toy.out / "sheets" / "stranger.txt").write_text("hers")
    assert _unchanged(toy)


def _retitle(toy: Toy) -> None:
    toy.settings["title"] = "Totals"


def _other_tool(toy: Toy) -> None:
    toy.tool = "tool 2"


CHANGES: dict[str, Callable[[Toy], object]] = {
    "input edited": lambda toy: toy.write("archive/cells/a", "5"),
    "input of the same size": lambda toy: toy.write("archive/cells/a", "7"),
    "input added": lambda toy: toy.write("archive/cells/d", "5"),
    "input deleted": lambda toy: (toy.archive / "cells/c").unlink(),
    "own text where there was none": lambda toy: toy.write("archive/own/sign", "x"),
    "output edited": lambda toy: (toy.out / "index.txt").write_text("spoilt"),
    "output deleted": lambda toy: (toy.out / "sheets/a/index.txt").unlink(),
    "output folder gone": lambda toy: toy.out.rename(toy.out.with_name("away")),
    "output a link": lambda toy: _link(toy),  # noqa: PLW0108 - defined below
    "setting": _retitle,
    "tool": _other_tool,
    "state gone": lambda toy: (toy.state / "state.sqlite").unlink(),
    "state damaged": lambda toy: (toy.state / "state.sqlite").write_text("rubbish"),
    "no letter in it": lambda toy: _put_no_letter(toy),  # noqa: PLW0108 - as above
}


def _put_no_letter(toy: Toy) -> None:
    state = toy.state / "state.sqlite"
    state.write_bytes(state.read_bytes().replace(b"CREATE TABLE", b"CREATE T\x80BLE"))


def _link(toy: Toy) -> None:
    target = toy.out / "index.txt"
    target.rename(target.with_name("other.txt"))
    target.symlink_to("other.txt")


@pytest.mark.parametrize("name", CHANGES)
def test_whatever_a_build_depends_on_is_noticed(toy: Toy, name: str) -> None:
    """Inputs, outputs, settings, the tool and the state itself are all looked at."""
    toy.build()
    CHANGES[name](toy)
    assert not _unchanged(toy)


def test_a_build_with_a_failure_is_not_done(toy: Toy) -> None:
    """What failed is to be tried again."""
    toy.write("archive/cells/a", "nonsense")
    assert not toy.build().ok
    assert not _unchanged(toy)
