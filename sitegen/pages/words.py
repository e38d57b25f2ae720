"""The words of the interface: a gettext catalogue, read through Babel.

The message id is the English text itself, so a message that a catalogue lacks is
shown in English. Placeholders are written ``{name}``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType

from sitegen.errors import SitegenError

_PLACEHOLDER = re.compile(r"\{([a-z][a-z0-9_]*)\}")
# Number formats and dates follow a region where the language alone leaves them open:
# British English has the day before the month and marks foreign dollars as such.
_LOCALES: Mapping[str, str] = MappingProxyType({"en": "en_GB", "de": "de_DE"})
_ENGLISH_PLURAL = "(n != 1)"


class WordsFault(SitegenError):
    """A catalogue cannot be read.

    Attributes:
        line: line in the catalogue, counted from 1; 0 when it is not known.
    """

    def __init__(self, reason: str, line: int = 0) -> None:
        super().__init__(f"{reason} (line {line})" if line else reason)
        self.line = line


@dataclass(frozen=True, slots=True)
class Words:
    """A catalogue in one language.

    Attributes:
        language: language tag of the pages, for example ``en``.
        texts: message id to text; only what differs from the id.
        plurals: singular id to its forms, in the order of the language's rule.
        rule: gettext's plural rule, an expression in ``n``.
    """

    language: str
    texts: Mapping[str, str] = field(default_factory=dict)
    plurals: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    rule: str = _ENGLISH_PLURAL

    @property
    def locale(self) -> str:
        """The locale for numbers, dates and amounts of money."""
        return _LOCALES.get(self.language, self.language.replace("-", "_"))

    def __call__(self, text: str, /, **values: object) -> str:
        """Return a message in this language, its placeholders filled.

        Args:
            text: the message id, which is the English text.
            values: what to put in place of ``{name}``; a placeholder without a value
                stays as it is.
        """
        return _filled(self.texts.get(text, text), values)

    def plural(self, one: str, many: str, n: int, /, **values: object) -> str:
        """Return the form of a message that goes with a number.

        Args:
            one: message id of the singular.
            many: message id of the plural.
            n: the number; ``{n}`` is filled with it, grouped as the language does,
                unless ``values`` holds another ``n``.
            values: what else to put in place of ``{name}``.
        """
        forms = self.plurals.get(one, ())
        at = _chosen(self.rule)(abs(n))
        # A form that is missing or left empty is shown in English, by its own rule.
        in_english = one if abs(n) == 1 else many
        text = (forms[at] if at < len(forms) else "") or in_english
        return _filled(text, {"n": _counted(n, self.locale), **values})


ENGLISH = Words("en")
"""The interface in the words of its message ids."""


def message(text: str, /) -> str:
    """Return ``text`` itself; marks a message id that is looked up later.

    Tables of sentences by code hold message ids that no call names literally; this
    is how the catalogue's extraction finds them.
    """
    return text


def words_from(data: bytes, language: str) -> Words:
    """Return the words that a catalogue holds.

    Args:
        data: bytes of the ``.po`` file, UTF-8.
        language: language tag of the pages.

    Raises:
        WordsFault: if the file is no catalogue.
    """
    from io import BytesIO  # noqa: PLC0415 - Babel is needed here alone

    from babel.messages.pofile import PoFileError, read_po  # noqa: PLC0415

    try:
        catalog = read_po(BytesIO(data), abort_invalid=True, charset="utf-8")
    except PoFileError as error:
        # Babel counts lines from 0.
        raise WordsFault(str(error), (error.lineno or 0) + 1) from error
    except (UnicodeDecodeError, ValueError) as error:
        raise WordsFault(str(error)) from error
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    for entry in catalog:
        if not entry.id or entry.fuzzy:
            continue
        string = entry.string
        if isinstance(entry.id, str):
            if isinstance(string, str) and string not in ("", entry.id):
                texts[entry.id] = string
        elif isinstance(string, tuple | list) and any(string):
            plurals[entry.id[0]] = tuple(string)
    return Words(language, texts, plurals, catalog.plural_expr)


def _filled(text: str, values: Mapping[str, object]) -> str:
    if not values:
        return text
    return _PLACEHOLDER.sub(lambda found: str(values.get(found[1], found[0])), text)


@cache
def _chosen(rule: str) -> Callable[[int], int]:
    from gettext import c2py  # noqa: PLC0415 - only where plurals are shown

    return c2py(rule)


def _counted(n: int, locale: str) -> str:
    if abs(n) < 1000:
        return str(n)
    from babel.numbers import format_decimal  # noqa: PLC0415 - only for large counts

    return format_decimal(n, locale=locale)
