"""How the data are cited, as files: ``CITATION.cff`` and BibTeX.

``CITATION.cff`` is written as version 1.2.0 of the Citation File Format has it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from sitegen.pages.addresses import DATA, HOME
from sitegen.pages.citation import citation
from sitegen.pages.datapackage import description, keywords, licence_id
from sitegen.pages.frame import Site
from sitegen.pages.words import Words

_VERSION = "1.2.0"
# Licences that the Open Definition lists and SPDX, which the format asks for, spells
# otherwise.
_SPDX = {"ODC-BY-1.0": "ODC-By-1.0", "ODC-PDDL-1.0": "PDDL-1.0"}


def citation_cff(site: Site, words: Words, released: str = "") -> bytes:
    """Return ``CITATION.cff``: how the data of the newest release are cited.

    Args:
        site: what is said of the archive.
        words: the interface's words.
        released: day of the newest release, ISO, or ``""`` when there is none.
    """
    lines = [
        f"cff-version: {_VERSION}",
        f"message: {_text(words('If you use these data, please cite them as below.'))}",
        "type: dataset",
        f"title: {_text(site.name)}",
        "authors:",
        f"  - name: {_text(site.publisher)}",
        f"abstract: {_text(description(site, words))}",
        "keywords:",
        *(f"  - {_text(word)}" for word in keywords(site, words)),
        f"url: {_text(HOME.canonical(site.base))}",
        f"repository: {_text(DATA.canonical(site.base))}",
    ]
    if name := licence_id(site):
        lines.append(f"license: {_SPDX.get(name, name)}")
    elif site.licence_url:
        lines.append(f"license-url: {_text(site.licence_url)}")
    if released:
        # In quotes, as the format's guide asks, so that it is a text and no number.
        lines += [f"version: {_text(released)}", f"date-released: {_text(released)}"]
    return ("\n".join(lines) + "\n").encode()


def citation_bib(site: Site, words: Words, released: Sequence[str] = ()) -> bytes:
    """Return entries for BibTeX: one a release, the newest first.

    Without a release there is one entry, without a day.

    Args:
        site: what is said of the archive.
        words: the interface's words.
        released: days of the releases, ISO, in any order.
    """
    days = sorted(set(released), reverse=True) or [""]
    entries = [
        citation(site, "", DATA, day, words, dated_key=True).bibtex for day in days
    ]
    return ("\n\n".join(entries) + "\n").encode()


def _text(text: str) -> str:
    # A JSON text is a text of YAML in double quotes, whatever it holds.
    return json.dumps(text, ensure_ascii=False)
