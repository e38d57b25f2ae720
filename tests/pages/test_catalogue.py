"""The catalogue holds every text of the interface, and nothing else."""

from __future__ import annotations

import re
import runpy
from pathlib import Path
from typing import get_args

import pytest
from babel.messages import Catalog
from babel.messages.pofile import read_po

from sitegen.archive_build.shipped import shipped_languages
from sitegen.model.archive import Language
from sitegen.pages.words import words_from

ROOT = Path(__file__).resolve().parents[2]
CATALOGUE = ROOT / "content" / "words" / "en.po"
SCRIPT = ROOT / "tests" / "update_words.py"


# Texts with words in them that another language may say as English does.
SAME: dict[str, frozenset[str]] = {
    "de": frozenset(
        {
            "CADR",
            "Filter",
            "Filter: {name}",
            "Position",
            "Status",
            "Status:",
            "Videos",
            "linear",
        }
    )
}
UNITS = re.compile(r"\{\w+\}|\b(min|dB\(A\)|kWh|L/s|cfm|[KWhp])(?!\w)")

OTHERS = tuple(name for name in get_args(Language) if name != "en")


def _catalogue(language: str = "en") -> Catalog:
    with (CATALOGUE.parent / f"{language}.po").open("rb") as file:
        return read_po(file, abort_invalid=True)


def _forms(text: str | tuple[str, ...] | list[str] | None) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text or ())


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


def test_an_archive_may_choose_what_ships() -> None:
    """The languages that settings take are those whose catalogues ship."""
    shipped = {path.stem for path in CATALOGUE.parent.glob("*.po")}
    assert shipped == set(get_args(Language))
    assert shipped_languages() == get_args(Language)


@pytest.mark.parametrize("language", OTHERS)
def test_another_language_is_up_to_date(language: str) -> None:
    """A translated catalogue has exactly the ids of the code; else run the script."""
    path = CATALOGUE.parent / f"{language}.po"
    translated = runpy.run_path(str(SCRIPT))["translated"]
    assert path.read_bytes() == translated(language, path.read_bytes())


@pytest.mark.parametrize("language", OTHERS)
def test_another_language_is_whole(language: str) -> None:
    """No text is left empty or doubtful, and plurals have every form of the rule."""
    catalogue = _catalogue(language)
    for entry in catalogue:
        if not entry.id:
            continue
        assert not entry.fuzzy, entry.id
        assert entry.string, entry.id
        assert all(_forms(entry.string)), entry.id
        if not isinstance(entry.id, str):
            assert len(entry.string) == catalogue.num_plurals, entry.id


@pytest.mark.parametrize("language", OTHERS)
def test_another_language_fills_the_same_places(language: str) -> None:
    """A translation names the placeholders of its English, and has no markup."""
    for entry in _catalogue(language):
        if not entry.id:
            continue
        wanted = re.findall(r"\{\w+\}", _forms(entry.id)[-1])
        for form in _forms(entry.string):
            found = re.findall(r"\{\w+\}", form)
            if isinstance(entry.id, str):
                assert sorted(found) == sorted(wanted), entry.id
            else:
                assert set(found) | {"{n}"} == set(wanted) | {"{n}"}, entry.id
            assert form == form.strip(), entry.id
            assert not re.search(r"<[a-z/]", form), entry.id


@pytest.mark.parametrize("language", OTHERS)
def test_another_language_says_it_otherwise(language: str) -> None:
    """Only the texts listed here may be the English ones; each of them is."""
    alike = {
        form
        for entry in _catalogue(language)
        for form, other in zip(_forms(entry.id), _forms(entry.string), strict=False)
        if form == other.replace("\u00a0", " ")
        and re.search(r"[A-Za-z]", UNITS.sub("", form))
    }
    assert alike == SAME.get(language, frozenset())


def test_german_is_set_as_german() -> None:
    """Quotation marks, decimals and what keeps a unit with its figure are German."""
    for entry in _catalogue("de"):
        for form in _forms(entry.string) if entry.id else ():
            # Addresses and what is quoted from English keep their own.
            plain = re.sub(r"\bdoi [^\s)]+", "", form)
            assert not re.search(r"[\"”]", plain), form
            assert plain.count("„") == plain.count("“"), form
            assert not re.search(r"\d\.\d(?!\d\d)", plain), form
            assert not re.search(r"\d (%|dB|K\b|ft)", plain), form
            assert "%-" not in plain, form


def test_texts_in_other_calls_and_in_f_strings_are_found() -> None:
    """Extraction sees a text wherever a module says it, and plurals as pairs."""
    found = runpy.run_path(str(SCRIPT))["in_python"]
    source = (
        "a = f\"{words('One.')} {b}\"\n"
        'c = words.plural("{n} unit", "{n} units", 2, how=word(words, KINDS, way))\n'
        'd = message("Two")\n'
        "e = words(QUANTITY.label)\n"
        'f = swords("No")\n'
    )
    assert set(found(source)) == {"One.", "Two", ("{n} unit", "{n} units")}


def test_a_translation_outlives_a_change() -> None:
    """What is still said keeps its text, what is not goes, what is new is empty."""
    translated = runpy.run_path(str(SCRIPT))["translated"]
    before = (
        b'msgid ""\nmsgstr ""\n"Language: de\\n"\n\n'
        b'msgid "The bench"\nmsgstr "Kept"\n\n'
        b'msgid "Said no more"\nmsgstr "Gone"\n'
    )
    after = translated("de", before)
    assert b'msgid "The bench"\nmsgstr "Kept"\n' in after
    assert b"Said no more" not in after
    assert b'msgid "Devices"\nmsgstr ""\n' in after
    assert translated("de", after) == after
