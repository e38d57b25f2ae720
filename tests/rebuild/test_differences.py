"""What in a value is different."""

from __future__ import annotations

import json

import pytest

from sitegen.rebuild import Difference
from sitegen.rebuild.differences import changed_fields, read_differences

CASES = [
    pytest.param(1, 2, [Difference("", "1", "2")], id="a number"),
    pytest.param({"a": 1}, {"a": 1}, [], id="nothing"),
    pytest.param({"a": 1}, {"a": 1.0}, [Difference("a", "1", "1.0")], id="the type"),
    pytest.param(
        {"a": {"b": [1, 2]}},
        {"a": {"b": [1, 3]}},
        [Difference("a.b[1]", "2", "3")],
        id="deep down",
    ),
    pytest.param(
        {"a": [1]}, {"a": [1, 2]}, [Difference("a", "[1]", "[2]")], id="a longer list"
    ),
    pytest.param(
        {"a": {"x": 1}}, {"b": "y"},
        [Difference("a", "{1}", ""), Difference("b", "", '"y"')],
        id="names that came and went",
    ),
    pytest.param(
        list(range(20)),
        list(range(1, 21)),
        [Difference(f"[{at}]", str(at), str(at + 1)) for at in range(8)],
        id="the first eight of many",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "expected"), CASES)
def test_differences_are_told_by_place(
    old: object, new: object, expected: list[Difference]
) -> None:
    """Each place with what stood and what stands there."""
    text = changed_fields(json.dumps(old).encode(), json.dumps(new).encode())
    assert read_differences(text) == tuple(expected)


@pytest.mark.parametrize("data", [b"no json", b"[" + b"1," * 40_000 + b"1]"])
def test_what_is_long_or_no_json_is_not_looked_into(data: bytes) -> None:
    """Long values cost nothing, and bytes of another sort are no error."""
    assert read_differences(changed_fields(data, b"1")) == ()
