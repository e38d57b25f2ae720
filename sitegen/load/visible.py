"""What may be published: all that is not held and rests on nothing held.

A run rests on its device, its method and the natural decays that it lists; a method
on its room and instruments; a device on its filters; an edition on its comparison. A
comparison drops the configurations of held devices and rests on nothing, unless
every configuration that it lists is of a held device: then nothing is left to show.
What merely points at a held record (a video, a change, a successor) stays.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping

from sitegen.load.facts import Facts
from sitegen.load.problems import Key
from sitegen.model import parse_configuration


def held_back(records: Mapping[Key, Facts]) -> Mapping[Key, Key]:
    """Return every record that is not to be published, and what holds it back.

    Args:
        records: facts by kind and id.

    Returns:
        For each record held back, the record that it rests on; itself when it says
        so itself.
    """
    resting: dict[Key, list[Key]] = {}
    for key, facts in records.items():
        for named in facts.references:
            if named.rests:
                resting.setdefault((named.kind, named.id), []).append(key)
    choosing = [key for key in sorted(records) if records[key].configurations]
    held = {key: key for key in sorted(records) if records[key].held}
    waiting = deque(held)
    while waiting:
        cause = waiting.popleft()
        followers = sorted(resting.get(cause, ()))
        if cause[0] == "device":
            followers += [key for key in choosing if _is_empty(records[key], held)]
        for follower in followers:
            if follower not in held:
                held[follower] = cause
                waiting.append(follower)
    return held


def _is_empty(comparison: Facts, held: Mapping[Key, Key]) -> bool:
    """Return whether all configurations of a comparison are of held devices."""
    named = [parse_configuration(text) for _, text in comparison.configurations]
    return all(("device", chosen.device) in held for chosen in named if chosen)


def visible(records: Mapping[Key, Facts]) -> Mapping[str, tuple[str, ...]]:
    """Return the ids that may be published, sorted, by kind.

    Args:
        records: facts by kind and id.
    """
    held = held_back(records)
    found: dict[str, list[str]] = {}
    for kind, name in sorted(records):
        if (kind, name) not in held:
            found.setdefault(kind, []).append(name)
    return {kind: tuple(names) for kind, names in found.items()}
