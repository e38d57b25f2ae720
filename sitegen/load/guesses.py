"""What the tester may have meant."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_LONGEST = 64


def guess(word: str, choices: Iterable[str]) -> dict[str, str]:
    """Return ``{"guess": choice}`` for the choice most like a word, else nothing.

    The form is that of a fault's values: a sentence that would name a guess is left
    out when there is none.
    """
    if not word or len(word) > _LONGEST:
        return {}
    folded = {_folded(choice): choice for choice in choices}
    found = difflib.get_close_matches(_folded(word), folded, n=1, cutoff=0.6)
    return {"guess": folded[found[0]]} if found else {}


def listed(choices: Iterable[str]) -> str:
    """Return choices as they stand in a sentence: ``a, b or c``."""
    *most, last = [*choices] or [""]
    return f"{', '.join(most)} or {last}" if most else last


def _folded(word: str) -> str:
    return word.casefold().replace("_", "-").replace(" ", "-")
