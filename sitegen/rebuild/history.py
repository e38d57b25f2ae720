"""Why a node ran, and what it was made from, as the state remembers it."""

from __future__ import annotations

import json

from sitegen.errors import RebuildError
from sitegen.rebuild.keys import LEAF_KINDS, Key, key_of
from sitegen.rebuild.node_table import Story
from sitegen.rebuild.reports import Cause, Hop, Part
from sitegen.rebuild.store import Store


def chain(store: Store, target: Key | str) -> tuple[Hop, ...]:
    """Return the causes of a node's last run, one after the other, to a leaf.

    Raises:
        RebuildError: ``not_built``.
    """
    key = _key(store, target)
    story = _story(store, key)
    fields = story.fields if story.moved == story.ran else ""
    hops = [Hop(key, story.ran, _cause(story.cause), _fields(fields))]
    seen = {key}
    while True:
        cause = hops[-1].cause
        if cause is None or cause.dep is None or cause.dep in seen:
            return tuple(hops)
        key = cause.dep
        seen.add(key)
        found = store.nodes.story(key)
        if found is None:
            # The dependency is no more, and nothing is known of it any longer.
            return tuple(hops)
        is_leaf = key.kind in LEAF_KINDS
        why = None if is_leaf else _cause(found.moved_cause)
        hops.append(Hop(key, found.moved, why, _fields(found.fields)))


def parts(store: Store, target: Key | str) -> tuple[Part, ...]:
    """Return a node's dependencies.

    Raises:
        RebuildError: ``not_built``.
    """
    story = _story(store, _key(store, target))
    edges = store.nodes.edges(story.id)
    return tuple(Part(key_of(edge.key), edge.then.hex()) for edge in edges)


def _key(store: Store, target: Key | str) -> Key:
    if isinstance(target, Key):
        return target
    row = store.outputs.get(target)
    if row is None or row.node is None or row.node < 0:
        raise RebuildError("not_built", what=target)
    return key_of(store.nodes.text_of(row.node))


def _story(store: Store, key: Key) -> Story:
    story = store.nodes.story(key)
    if story is None:
        raise RebuildError("not_built", what=str(key))
    return story


def _cause(text: str) -> Cause | None:
    return Cause.from_text(text) if text else None


def _fields(text: str) -> tuple[str, ...]:
    return tuple(json.loads(text)) if text else ()
