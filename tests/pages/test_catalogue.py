"""The catalogue holds every text of the interface, and nothing else."""

from __future__ import annotations

import re
import runpy
from pathlib import Path

from babel.messages import Catalog
from babel.messages.pofile import read_po

from sitegen.pages.words import words_from

ROOT = Path(__file__).resolve().parents[2]
CATALOGUE = ROOT / "content" / "words" / "en.po"
SCRIPT = ROOT / "tests" / "update_words.py"


def _catalogue() -> Catalog:
    with CATALOGUE.open("rb") as file:
        return read_po(file, abort_invalid=True)


def test_the_catalogue_is_complete() -> None:
    """The file is what the code and the layouts say now; else run update_words.py."""
    assert CATALOGUE.read_bytes() == runpy.run_path(str(SCRIPT))["catalogue"]()


def test_the_tool_reads_it() -> None:
    """The tool takes the catalogue, and English shows the message ids themselves."""
    words = words_from(CATALOGUE.read_bytes(), "en")
    assert words.texts == {}
    assert words("The bench") == "The bench"
    assert words.plural("{n} run", "{n} runs", 1) == "1 run"
    assert words.plural("{n} run", "{n} runs", 2) == "2 runs"


def test_plural_forms_name_the_same_placeholders() -> None:
    """A plural names every placeholder that its singular names, except the number."""
    for entry in _catalogue():
        if not isinstance(entry.id, str):
            one, many = (set(re.findall(r"\{(\w+)\}", form)) for form in entry.id)
            assert one - {"n"} == many - {"n"}, entry.id


def test_texts_are_clean() -> None:
    """No text begins or ends with a blank, or has markup in it."""
    for entry in _catalogue():
        forms = (entry.id,) if isinstance(entry.id, str) else tuple(entry.id)
        for form in forms:
            assert form == form.strip(), form
            assert not re.search(r"<[a-z/]", form), form
