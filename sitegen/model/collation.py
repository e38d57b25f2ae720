"""The order of names: as a reader looks them up, not as their code points stand.

Base letters decide first, then accents, then capitals, and digits count as numbers:
``Äsche`` stands beside ``Asche``, ``Straße`` beside ``Strasse``, ``Kies 2`` before
``Kies 10``. That is the order of English and German lexicons (DIN 5007-1) and the
root order of the Unicode Collation Algorithm for names in Latin letters, so it agrees
with what ``Intl.Collator`` gives scripts in these languages. Languages that place
accented letters behind z are not served.
"""

from __future__ import annotations

import re
import unicodedata

_PIECE = re.compile(r"\d+|\D")

Key = tuple[tuple[tuple[int, int, str], ...], str, str, str]
"""What names are compared by."""


def collation_key(text: str) -> Key:
    """Return what ``text`` is sorted by among names; no two texts share one."""
    marked = unicodedata.normalize("NFD", text.casefold())
    plain = "".join(each for each in marked if not unicodedata.combining(each))
    base = tuple(_weight(piece) for piece in _PIECE.findall(plain))
    accents = "".join(each for each in marked if unicodedata.combining(each))
    return (base, accents, text.swapcase(), text)


def _weight(piece: str) -> tuple[int, int, str]:
    """Return the place of a letter or number: spaces, signs, numbers, letters."""
    if piece.isdecimal():
        return (3, int(piece), "")
    if piece.isspace():
        return (0, 0, "")
    if piece.isalpha():
        return (4, 0, piece)
    return (1 if unicodedata.category(piece).startswith("P") else 2, 0, piece)
