"""What a build would run, told without running anything."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sitegen.rebuild.keys import Key, key_of
from sitegen.rebuild.reports import Cause
from sitegen.rebuild.scheduler import difference
from sitegen.rebuild.steps import Step
from sitegen.rebuild.store import Store


def foresee(
    store: Store, steps: Mapping[str, Step], targets: Sequence[Key]
) -> dict[Key, Cause]:
    """Return the nodes that would run, or may run, with the reason.

    Those whose cause is ``dep_suspect`` run only if that dependency comes out
    different; what such a node asks for that it never asked for before is not known.
    """
    seen: dict[Key, Cause | None] = {}
    for key in targets:
        if key.kind in steps:
            _look(store, key, seen)
    return {key: cause for key, cause in seen.items() if cause is not None}


def _look(store: Store, key: Key, seen: dict[Key, Cause | None]) -> None:
    if key in seen:
        return
    seen[key] = None
    row = store.nodes.get(key)
    if row is None:
        seen[key] = Cause("first_build")
    elif row.suspect or row.failed or row.stale:
        below = _first_reason(store, row.id, seen)
        if row.stale:
            below = Cause.from_text(row.stale)
        elif row.failed:
            below = Cause("failed_before")
        seen[key] = below


def _first_reason(
    store: Store, ident: int, seen: dict[Key, Cause | None]
) -> Cause | None:
    first: Cause | None = None
    for edge in store.nodes.edges(ident):
        dep = key_of(edge.key)
        cause: Cause | None = None
        if edge.leaf:
            if edge.now != edge.then:
                cause = difference(dep, edge.then, edge.now)
        else:
            _look(store, dep, seen)
            if seen[dep] is not None:
                cause = Cause("dep_suspect", dep)
            elif edge.now != edge.then:
                # It ran in a build that did not come this far.
                cause = difference(dep, edge.then, edge.now)
        first = first or cause
    return first
