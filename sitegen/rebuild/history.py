"""Why a node ran, and what it was made from, as the state remembers it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sitegen.errors import RebuildError
from sitegen.rebuild.differences import read_differences
from sitegen.rebuild.keys import LEAF_KINDS, Key, key_of
from sitegen.rebuild.node_table import Story
from sitegen.rebuild.reports import Cause, Hop, Part
from sitegen.rebuild.store import Store


def chain(store: Store, target: Key | str) -> tuple[Hop, ...]:
    """Return the causes of a node's last run, one after the other, to a leaf.

    Raises:
        RebuildError: ``not_built``.
    """
    key = key_for(store, target)
    story = _story(store, key)
    fields = story.fields if story.moved == story.ran else ""
    first = Hop(key, story.ran, _cause(story.cause), read_differences(fields))
    return (first, *_moves(store, first))


def _moves(store: Store, hop: Hop) -> Iterator[Hop]:
    """Yield what moved before a node did, one cause after the other, to a leaf."""
    seen = {hop.key}
    cause = hop.cause
    while cause is not None and cause.dep is not None and cause.dep not in seen:
        key = cause.dep
        seen.add(key)
        found = store.nodes.story(key)
        if found is None:
            # The dependency is no more, and nothing is known of it any longer.
            return
        cause = None if key.kind in LEAF_KINDS else _cause(found.moved_cause)
        yield Hop(key, found.moved, cause, read_differences(found.fields))


def parts(store: Store, target: Key | str) -> tuple[Part, ...]:
    """Return a node's dependencies.

    Raises:
        RebuildError: ``not_built``.
    """
    story = _story(store, key_for(store, target))
    edges = store.nodes.edges(story.id)
    return tuple(Part(key_of(edge.key), edge.then.hex()) for edge in edges)


def chain_to_come(
    store: Store, reasons: Mapping[Key, Cause], key: Key
) -> tuple[Hop, ...]:
    """Return the causes for which a node would run, one after the other, to a leaf.

    Empty if it would not.

    Args:
        store: the state.
        reasons: which nodes would or may run, with their causes.
        key: the node.
    """
    hops: list[Hop] = []
    seen: set[Key] = set()
    while key in reasons and key not in seen:
        seen.add(key)
        cause = reasons[key]
        hops.append(Hop(key, 0, cause))
        if cause.dep is None:
            return tuple(hops)
        key = cause.dep
    if not hops:
        return ()
    if key.kind not in LEAF_KINDS:
        # It has run already, in a build that did not come as far as this node.
        return (*hops, *_moves(store, hops[-1]))
    found = store.nodes.story(key)
    if found is not None:
        hops.append(Hop(key, 0, None, read_differences(found.fields)))
    return tuple(hops)


def files(store: Store, target: Key | str) -> tuple[str, ...]:
    """Return the files that a node rests on in the end, those that exist, sorted.

    Raises:
        RebuildError: ``not_built``.
    """
    story = _story(store, key_for(store, target))
    keys = map(key_of, store.nodes.leaves_below(story.id))
    return tuple(sorted(key.args[0] for key in keys if key.kind == "file"))


def key_for(store: Store, target: Key | str) -> Key:
    """Return the key of a node, or of the one that wrote an output.

    Raises:
        RebuildError: ``not_built``, if there is no such output.
    """
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
