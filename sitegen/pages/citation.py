"""How a page is cited: one line of text, and an entry for BibTeX."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sitegen.pages.addresses import Address
from sitegen.pages.datapackage import package_name
from sitegen.pages.formats import date_text
from sitegen.pages.frame import Site
from sitegen.pages.words import ENGLISH, Words

# What TeX would take for an instruction, and how it is told not to.
_TEX: Mapping[str, str] = MappingProxyType(
    {
        "\\": r"\textbackslash{}",
        "{": r"\{",
        "}": r"\}",
        "$": r"\$",
        "&": r"\&",
        "#": r"\#",
        "%": r"\%",
        "_": r"\_",
        "~": r"\textasciitilde{}",
        "^": r"\textasciicircum{}",
    }
)
# BibTeX's own names of the months.
_MONTHS = (
    "jan",
    "feb",
    "mar",
    "apr",
    "may",
    "jun",
    "jul",
    "aug",
    "sep",
    "oct",
    "nov",
    "dec",
)


@dataclass(frozen=True, slots=True)
class Citation:
    """How a page is cited.

    Attributes:
        text: one line, plain text.
        bibtex: the same as an entry for BibTeX, several lines.
    """

    text: str
    bibtex: str


def citation(
    site: Site,
    title: str,
    address: Address,
    date: str,
    words: Words = ENGLISH,
    *,
    dated_key: bool = False,
) -> Citation:
    """Return how a page is cited.

    Args:
        site: what is said of the archive.
        title: title of the page, without the archive's name.
        address: where the page stands.
        date: day of what it shows: the newest run, the edition's day or the release,
            ISO; ``""`` where there is none.
        words: the interface's words.
        dated_key: whether the day is part of the entry's key, so that entries of
            several days can stand in one file.
    """
    place = address.canonical(site.base)
    named = title or site.name
    parts = [f"{_ended(site.publisher)} {_ended(named)}"]
    if title:
        parts.append(_ended(site.name))
    if site.simulated:
        parts.append(words("Simulated data."))
    if date:
        parts.append(_ended(date_text(date, words)))
    parts.append(place)
    key = package_name(f"{site.name} {address.path} {address.fragment}")
    if dated_key and date:
        key = f"{key}-{date[:10]}"
    return Citation(" ".join(parts), _bibtex(site, key, named, place, date, words))


def _ended(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _bibtex(
    site: Site, key: str, title: str, place: str, date: str, words: Words
) -> str:
    fields = {
        # Braces within: a publisher is no person with a surname, and capitals stay.
        "author": f"{{{tex(site.publisher)}}}",
        "title": f"{{{tex(title)}}}",
        "howpublished": tex(site.name),
    }
    if date:
        fields["year"] = date[:4]
        # The macro for the month is written without braces.
        fields["month"] = _MONTHS[int(date[5:7]) - 1]
        fields["date"] = date[:10]
    # An address is taken as it stands, without escapes.
    fields["url"] = place
    if site.simulated:
        fields["note"] = tex(words("Simulated data"))
    width = max(len(name) for name in fields)
    lines = [
        f"  {name:<{width}} = {value if name == 'month' else f'{{{value}}}'},"
        for name, value in fields.items()
    ]
    return "\n".join([f"@misc{{{key},", *lines, "}"])


def tex(text: str) -> str:
    """Return a text so that TeX prints it as it is."""
    return "".join(_TEX.get(char, char) for char in text)
