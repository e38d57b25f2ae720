"""Values as steps get them, kept for as long as there is room.

They go by their digests, so that a process may keep them from one session to the next.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field

from sitegen.rebuild.outputs import paths_in
from sitegen.rebuild.steps import Step, Value

# Encoded; in memory numbers take several times as much.
_KEPT_BYTES = 24_000_000


@dataclass(slots=True)
class Values:
    """Decoded values, as many as fit."""

    held: OrderedDict[tuple[str, bytes], tuple[Value, int]] = field(
        default_factory=OrderedDict
    )
    size: int = 0

    def get(
        self, kind: str, digest: bytes, load: Callable[[], bytes], step: Step
    ) -> Value:
        """Return a value, decoding it if need be."""
        found = self.held.get((kind, digest))
        if found is not None:
            self.held.move_to_end((kind, digest))
            return found[0]
        data = load()
        value = step.codec.decode(data) if step.codec is not None else paths_in(data)
        self.held[kind, digest] = (value, len(data))
        self.size += len(data)
        while self.size > _KEPT_BYTES and len(self.held) > 1:
            _, (_, size) = self.held.popitem(last=False)
            self.size -= size
        return value
