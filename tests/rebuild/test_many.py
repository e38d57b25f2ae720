"""Nodes that many others rest on."""

from __future__ import annotations

from collections.abc import Callable
from unittest.mock import patch

import pytest

from sitegen.rebuild import Ask, Output, Step, json_codec
from sitegen.rebuild.scheduler import Scheduler
from tests.rebuild.conftest import Toy

MANY = 200


def base(ask: Ask) -> int:
    """Read a number and round it to tens."""
    return int(ask.file("archive:base")) // 10 * 10


def part(ask: Ask, name: str) -> int:
    """Add a name's number to the base."""
    return int(ask("base")) + int(name)


def double(ask: Ask, name: str) -> int:
    """Double a part."""
    return 2 * int(ask("part", name))


def page(ask: Ask) -> list[Output]:
    """Make one page of all."""
    numbers = ask.all([("double", str(n)) for n in range(MANY)])
    return [Output("page.txt", " ".join(map(str, numbers)).encode())]


@pytest.fixture
def wide(make_toy: Callable[..., Toy]) -> Toy:
    """A toy in which hundreds of nodes rest on one, and one on all of them."""
    toy = make_toy(
        Step("base", base, json_codec),
        Step("part", part, json_codec),
        Step("double", double, json_codec),
        Step("page", page, writes=True),
    )
    toy.write("archive/base", "41")
    toy.build("page")
    return toy


def test_a_change_that_comes_to_nothing_is_no_work_for_many(wide: Toy) -> None:
    """Where the base comes out the same, what rests on it is settled all at once."""
    wide.write("archive/base", "42")
    checked: list[object] = []
    check = Scheduler._check  # noqa: SLF001 - what is counted

    def count(self: Scheduler, key: object) -> object:
        checked.append(key)
        return check(self, key)  # type: ignore[arg-type]

    with patch.object(Scheduler, "_check", count):
        report = wide.build("page")
    assert [str(key) for key in report.ran] == ["base"]
    assert len(checked) < 10
    assert wide.build("page").ran == ()


def test_a_change_that_matters_reaches_all(wide: Toy) -> None:
    """Where the base differs, each is worked out again, and the page with them."""
    wide.write("archive/base", "57")
    report = wide.build("page")
    assert len(report.ran) == 2 * MANY + 2
    text = (wide.out / "page.txt").read_text()
    assert text == " ".join(str(2 * (50 + n)) for n in range(MANY))


def test_one_that_differs_is_told_from_those_that_do_not(wide: Toy) -> None:
    """What else has changed below one of them is not settled along with the rest."""
    wide.steps["part"] = Step("part", _own, json_codec, version="2")
    wide.write("archive/own7", "1")
    wide.build("page")
    wide.write("archive/base", "43")
    wide.write("archive/own7", "5")
    report = wide.build("page")
    assert {str(key) for key in report.ran} == {"base", "part:7", "double:7", "page"}
    numbers = (wide.out / "page.txt").read_text().split()
    assert numbers[6:9] == ["92", "104", "96"]


def _own(ask: Ask, name: str) -> int:
    """Add a number of its own, if there is one."""
    own = ask.file_or_none(f"archive:own{name}")
    return int(ask("base")) + int(name) + int(own or 0)
