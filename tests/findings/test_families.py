"""Which methods' results may stand in one ranking."""

from __future__ import annotations

import itertools

import pytest

from sitegen.findings.families import method_families


def test_alone() -> None:
    """A method that names no other is a family of its own."""
    assert method_families({"b": [], "a": ()}) == {"a": "a", "b": "b"}


@pytest.mark.parametrize("declared", [{"a": ["b"], "b": []}, {"a": [], "b": ["a"]}])
def test_declared_once_holds_both_ways(declared: dict[str, list[str]]) -> None:
    """Either of two methods may say that they are comparable."""
    assert method_families(declared) == {"a": "a", "b": "a"}


def test_chain() -> None:
    """Methods that a chain of declarations joins are one family, others are not."""
    found = method_families({"d": ["b"], "b": [], "c": ["d"], "e": [], "a": ["e"]})
    assert found == {"b": "b", "c": "b", "d": "b", "a": "a", "e": "a"}


def test_order_does_not_matter() -> None:
    """However methods are listed, the family is named by its first id."""
    items = [("a", ["c"]), ("b", []), ("c", ["d"]), ("d", [])]
    for turned in itertools.permutations(items):
        assert method_families(dict(turned)) == {"a": "a", "b": "b", "c": "a", "d": "a"}


def test_unknown_method_joins_nobody() -> None:
    """Two methods that both name one that is not there are not made comparable."""
    assert method_families({"a": ["gone"], "b": ["gone"]}) == {"a": "a", "b": "b"}


def test_ring() -> None:
    """Declarations that go round in a ring end in one family."""
    assert set(method_families({"a": ["b"], "b": ["c"], "c": ["a"]}).values()) == {"a"}


def test_none() -> None:
    """Without methods there is no family."""
    assert method_families({}) == {}
