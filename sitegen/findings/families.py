"""Which methods' results may stand in one ranking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def method_families(comparable: Mapping[str, Sequence[str]]) -> dict[str, str]:
    """Return the family of each method: the first id of all that are comparable.

    Comparability is declared once and holds both ways, and on: methods that a chain of
    declarations joins are one family.

    Args:
        comparable: method id to the ids that its record declares comparable.
    """
    neighbours: dict[str, set[str]] = {name: set() for name in comparable}
    for name, others in comparable.items():
        for other in others:
            if other in neighbours:
                neighbours[name].add(other)
                neighbours[other].add(name)
    family: dict[str, str] = {}
    for name in sorted(neighbours):
        if name in family:
            continue
        waiting = [name]
        while waiting:
            one = waiting.pop()
            if one not in family:
                family[one] = name
                waiting += neighbours[one]
    return family


def family_of(method: str, families: Mapping[str, str]) -> str:
    """Return a method's family; one that is not listed stands alone."""
    return families.get(method, method)
