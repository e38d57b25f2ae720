"""Rewrites the catalogues from what the code and the layouts say.

    python tests/update_words.py

Message ids are the English texts themselves: in Python ``words("…")``,
``words.plural("…", "…", n)`` and ``message("…")``, in layouts ``_("…")`` and
``plural("…", "…", n)``. The catalogue is sorted and holds neither places nor dates,
so that it changes only where a text does.

Catalogues of other languages keep their texts: new ones come empty, those that
nothing says any more go. A new language begins as an empty file ``LANGUAGE.po``.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel import Locale
from babel.messages import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import read_po, write_po

from sitegen.model import QUANTITIES, TABLE_FACTS

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "content" / "words"
CATALOGUE = FOLDER / "en.po"
HEADER = r"""# Words of the interface, English (the source language).
# Written by tests/update_words.py; an empty text stands for the message id itself.
msgid ""
msgstr ""
"Language: en\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\n"
"MIME-Version: 1.0\n"
"Content-Type: text/plain; charset=utf-8\n"
"Content-Transfer-Encoding: 8bit\n"

"""
# The same for every other language, with its name, tag and rule.
OTHER_HEADER = r"""# Words of the interface, {name}.
# Kept by tests/update_words.py; an empty text is still to be translated.
msgid ""
msgstr ""
"Language: {language}\n"
"Plural-Forms: {plural};\n"
"MIME-Version: 1.0\n"
"Content-Type: text/plain; charset=utf-8\n"
"Content-Transfer-Encoding: 8bit\n"

"""
PYTHON = {"words", "message"}
LAYOUT = {"_": None, "plural": (1, 2)}

MessageId = str | tuple[str, ...]


def messages() -> Iterator[MessageId]:
    """Yield every message id, those with a plural as a pair."""
    # The table of quantities knows nothing of the interface; pages translate it.
    yield from (quantity.label for quantity in QUANTITIES.values())
    yield from (quantity.label for quantity in TABLE_FACTS.values())
    for quantity in QUANTITIES.values():
        yield from (
            unit for unit in (quantity.unit, quantity.us_unit) if " per " in unit
        )
    for path in sorted((ROOT / "sitegen").rglob("*.py")):
        yield from in_python(path.read_text(encoding="utf-8"))
    for path in sorted((ROOT / "layouts").rglob("*.html")):
        yield from _in_layout(path)


def in_python(source: str) -> Iterator[MessageId]:
    """Yield the message ids of a module, also those within f-strings and other calls.

    By its syntax tree: Babel's extraction reads tokens, and misses both.
    """
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        said = node.func
        name = getattr(said, "id", getattr(said, "attr", ""))
        texts = tuple(_literal(each) for each in node.args[:2])
        if name == "plural" and len(texts) == 2 and all(texts):
            yield texts
        elif name in PYTHON and texts and texts[0]:
            yield texts[0]


def _literal(node: ast.expr) -> str:
    """Return the text that stands in the source, or ``""``."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    return ""


def _in_layout(path: Path) -> Iterator[MessageId]:
    options = {"trim_blocks": "true", "lstrip_blocks": "true", "silent": "false"}
    with path.open("rb") as file:
        for _line, found, _comments, _context in extract(
            "jinja2.ext:babel_extract", file, LAYOUT, options=options
        ):
            yield found


def catalogue() -> bytes:
    """Return the bytes of the English catalogue."""
    return _written(HEADER, _template())


def translated(language: str, data: bytes) -> bytes:
    """Return a catalogue of another language, brought up to what is said now.

    Args:
        language: language tag, for example ``de``.
        data: the catalogue as it is; may be empty.
    """
    kept = read_po(BytesIO(data), locale=language, charset="utf-8")
    kept.update(_template(), no_fuzzy_matching=True)
    kept.obsolete.clear()
    name = Locale.parse(language, sep="-").english_name
    plural = kept.plural_forms.rstrip(";")
    head = OTHER_HEADER.format(name=name, language=language, plural=plural)
    return _written(head, kept)


def _template() -> Catalog:
    made = Catalog()
    for found in messages():
        made.add(found)
    return made


def _written(header: str, made: Catalog) -> bytes:
    written = BytesIO()
    write_po(
        written, made, width=88, no_location=True, omit_header=True, sort_output=True
    )
    return header.encode() + written.getvalue().strip() + b"\n"


if __name__ == "__main__":
    CATALOGUE.write_bytes(catalogue())
    for path in sorted(FOLDER.glob("*.po")):
        if path != CATALOGUE:
            path.write_bytes(translated(path.stem, path.read_bytes()))
