"""Faults without places, and how they find them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from sitegen.errors import Fault, sort_faults
from sitegen.load.tree import Path, Tree, dotted

Key = tuple[str, str]
SETTINGS: Key = ("archive", "")
ADDRESSES: Key = ("addresses", "")


@dataclass(frozen=True, slots=True)
class Problem:
    """Something wrong between records; its place is looked up when it is told.

    Attributes:
        kind: kind of the record that names what is wrong; ``archive``,
            ``addresses`` and ``series`` as well.
        id: id of that record; ``""`` for ``archive`` and ``addresses``.
        path: where in the record, as keys and positions.
        code: code of ``sitegen.errors``.
        values: what the code's sentences name.
    """

    kind: str
    id: str
    path: Path
    code: str
    values: Mapping[str, str] = field(default_factory=dict)


def faults_of(
    problems: Iterable[Problem], tree_of: Callable[[str, str], Tree]
) -> list[Fault]:
    """Return problems as faults with places, in reading order.

    Args:
        problems: what is wrong.
        tree_of: gives the file of a record by kind and id; for a series,
            ``bare_tree`` of its path will do.
    """
    faults = []
    for problem in problems:
        place = tree_of(problem.kind, problem.id).at_value(problem.path)
        field_name = dotted(problem.path)
        faults.append(Fault(problem.code, place, field_name, dict(problem.values)))
    return sort_faults(faults)


def bare_tree(file: str) -> Tree:
    """Return a tree of which only the file is known."""
    return Tree(file, {}, {}, {}, frozenset(), frozenset(), (), whole=True)
