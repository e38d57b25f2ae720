"""Why something was built, and why it would be: chains from an output to a leaf."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from sitegen.errors import RebuildError
from sitegen.rebuild import Difference, Key

if TYPE_CHECKING:
    from tests.rebuild.conftest import Toy

SHEET = "sheets/c/index.txt"


def _said(toy: Toy, target: str) -> list[tuple[str, str]]:
    hops = toy.engine().why(target)
    return [(str(hop.key), hop.cause.kind if hop.cause else "") for hop in hops]


def test_a_first_build_is_its_own_reason(toy: Toy) -> None:
    """What was built for the first time has no cause below it."""
    toy.build()
    assert _said(toy, SHEET) == [("sheet:c", "first_build")]


def test_a_chain_leads_from_an_output_to_the_file_that_changed(toy: Toy) -> None:
    """Each link names what changed below it, with the number before and after."""
    toy.build()
    toy.write("archive/cells/a", "5")
    toy.build()
    hops = toy.engine().why(SHEET)
    assert [str(hop.key) for hop in hops[1:]] == [
        "product:c",
        "number:c",
        "number:a",
        "cell:a",
        "file:archive:cells/a",
    ]
    assert [hop.changes for hop in hops[2:5]] == [
        (Difference("", "3", "7"),),
        (Difference("", "1", "5"),),
        (Difference("number", "1", "5"),),
    ]
    assert hops[-1].cause is None
    assert {hop.build for hop in hops} == {2}


def test_a_chain_tells_the_last_run_and_not_the_last_build(toy: Toy) -> None:
    """Builds that did not run a node leave its reason as it was."""
    toy.build()
    toy.write("archive/cells/a", "5")
    toy.build()
    toy.write("content/sign", "hers")
    toy.build()
    assert toy.engine().why(SHEET)[0].build == 2
    assert toy.engine().why("notes/welcome.txt")[0].build == 3


def test_a_listing_says_which_names_came_and_went(toy: Toy) -> None:
    """A file added and another taken away are named."""
    toy.build()
    toy.write("archive/cells/d", "0")
    (toy.archive / "cells/c").unlink()
    toy.build()
    last = toy.engine().why("data/names.txt")[-1]
    assert str(last.key) == "listing:archive:cells/"
    assert last.changes == (Difference("d", new="true"), Difference("c", old="true"))


def test_a_setting_that_changed_is_named(toy: Toy) -> None:
    """The chain of a page that shows a setting ends there."""
    toy.build()
    toy.settings["title"] = "Totals"
    toy.build()
    assert _said(toy, "index.txt") == [("front", "dep_changed"), ("setting:title", "")]


def test_what_would_be_built_is_told_without_building(toy: Toy) -> None:
    """The chain to come ends at the edited file, and nothing is run or remembered."""
    toy.build()
    before = toy.files()
    toy.write("archive/cells/a", "5")
    for _ in range(2):
        hops = toy.engine().why_now(SHEET)
        assert str(hops[-1].key) == "file:archive:cells/a"
        kinds = [hop.cause.kind for hop in hops if hop.cause]
        assert kinds == ["dep_suspect"] * (len(kinds) - 1) + ["dep_changed"]
    assert toy.files() == before
    assert toy.engine().why_now("notes/sign.txt") == ()
    assert "sheet:c" in map(str, toy.build().ran)
    assert toy.engine().why_now(SHEET) == ()


def test_a_lost_output_would_be_made_again(toy: Toy) -> None:
    """A missing output is a reason of its own."""
    toy.build()
    (toy.out / SHEET).unlink()
    (hop,) = toy.engine().why_now(SHEET)
    assert hop.cause is not None
    assert (hop.cause.kind, hop.cause.path) == ("output_missing", SHEET)


def test_an_output_rests_on_the_files_at_the_bottom(toy: Toy) -> None:
    """All files read on the way are named once, sorted; those not there are not."""
    toy.build()
    assert toy.engine().files(SHEET) == (
        "archive:cells/a",
        "archive:cells/b",
        "archive:cells/c",
    )
    assert toy.engine().files(Key("text", ("welcome",))) == (
        "content:sign",
        "content:welcome",
    )


@pytest.mark.parametrize("target", ["nowhere.txt", Key("cell", ("nobody",))])
def test_what_was_never_built_has_no_reason(toy: Toy, target: Key | str) -> None:
    """An unknown output or node is refused, with a state and without."""
    for _ in range(2):
        with pytest.raises(RebuildError, match="not_built"):
            toy.engine().why(target)
        toy.build()
