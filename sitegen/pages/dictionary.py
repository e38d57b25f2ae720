"""The page of downloads: files, what their columns hold, licence, how to cite."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.pages.addresses import DATA, Address, data_file, series_bundle
from sitegen.pages.citation import citation
from sitegen.pages.data_columns import KEYS, Column, Table, columns
from sitegen.pages.datapackage import description
from sitegen.pages.frame import Page, Site
from sitegen.pages.structured import dataset
from sitegen.pages.words import Words

NATURAL = "natural"
"""Name of the bundle of natural decays; they belong to no device."""


@dataclass(frozen=True, slots=True)
class DictionaryGiven:
    """What the page shows.

    Attributes:
        bundles: names of the zipped series: ids of devices, and ``natural``.
        names: names of the devices, by id.
        released: day of the last release, ISO, or ``""``.
        changed: day of the newest change, ISO, or ``""``.
    """

    bundles: tuple[str, ...] = ()
    names: tuple[tuple[str, str], ...] = ()
    released: str = ""
    changed: str = ""


@dataclass(frozen=True, slots=True)
class FileShown:
    """A file to download.

    Attributes:
        name: its name.
        to: its address.
        holds: what is in it, a sentence.
    """

    name: str
    to: Address
    holds: str


@dataclass(frozen=True, slots=True)
class ColumnShown:
    """A column of a file.

    Attributes:
        name: its header.
        meaning: what it holds, a sentence.
        holds: what a cell is.
        unit: its unit, or ``""``.
        keys: whether it belongs to what names a row.
    """

    name: str
    meaning: str
    holds: str
    unit: str
    keys: bool


@dataclass(frozen=True, slots=True)
class FileColumns:
    """The columns of one file.

    Attributes:
        file: the file.
        ident: id of its section.
        columns: its columns, in order.
    """

    file: FileShown
    ident: str
    columns: tuple[ColumnShown, ...]


@dataclass(frozen=True, slots=True)
class DictionaryContext:
    """What the layout shows.

    Attributes:
        files: files of the whole archive.
        bundles: zipped series.
        tables: columns of each file of rows.
        described: what the data are, whole sentences.
        cite: how to cite them, one line.
        bibtex: the same for BibTeX.
        address: permanent address of the page.
    """

    files: tuple[FileShown, ...]
    bundles: tuple[FileShown, ...]
    tables: tuple[FileColumns, ...]
    described: str
    cite: str
    bibtex: str
    address: str


def dictionary_page(site: Site, words: Words, given: DictionaryGiven) -> Page:
    """Return the page of downloads with the data dictionary."""
    cited = citation(site, words("Data"), DATA, given.released, words)
    files = _files(words)
    return Page(
        address=DATA,
        layout="dictionary.html",
        title=words("Data"),
        summary=words(
            "Everything that {site} has measured, as files to use again, with what "
            "each column holds.",
            site=site.name,
        ),
        context=DictionaryContext(
            files=files,
            bundles=_bundles(words, given),
            tables=tuple(
                FileColumns(file, f"columns-{table}", _columns(site, words, table))
                for table, file in _tables(files).items()
            ),
            described=description(site, words),
            cite=cited.text,
            bibtex=cited.bibtex,
            address=DATA.canonical(site.base),
        ),
        section=DATA,
        scripts=("copy.js",),
        told=dataset(site, words, given.changed, given.released),
    )


def _files(words: Words) -> tuple[FileShown, ...]:
    held = {
        "results.csv": words(
            "Results: one row per configuration, method and size fraction."
        ),
        "results.json": words("The same rows as JSON, with what the columns mean."),
        "runs.csv": words("Runs: one row per run, instrument and size fraction."),
        "readings.csv": words("Readings of sound and power: one row per reading."),
        "datapackage.json": words(
            "A description of all files for programs (Data Package)."
        ),
        "CITATION.cff": words("How to cite the data, for programs."),
        "citation.bib": words("The same for BibTeX, an entry for each release."),
    }
    return tuple(FileShown(name, data_file(name), text) for name, text in held.items())


def _tables(files: tuple[FileShown, ...]) -> Mapping[Table, FileShown]:
    by_name = {file.name: file for file in files}
    return {
        "results": by_name["results.csv"],
        "runs": by_name["runs.csv"],
        "readings": by_name["readings.csv"],
    }


def _bundles(words: Words, given: DictionaryGiven) -> tuple[FileShown, ...]:
    names = dict(given.names)

    def shown(name: str) -> FileShown:
        held = names.get(name, name)
        if name == NATURAL:
            held = words("Natural decay of the room, without a device")
        return FileShown(f"{name}.zip", series_bundle(name), held)

    return tuple(shown(name) for name in given.bundles)


def _columns(site: Site, words: Words, table: Table) -> tuple[ColumnShown, ...]:
    return tuple(
        ColumnShown(
            name=column.name,
            meaning=column.meaning,
            holds=_holds(words, column),
            unit=site.currency if column.unit == "currency" else column.unit,
            keys=column.name in KEYS[table],
        )
        for column in columns(table, words)
    )


def _holds(words: Words, column: Column) -> str:
    return {
        "string": words("text"),
        "number": words("number"),
        "integer": words("whole number"),
        "date": words("date"),
    }[column.holds]
