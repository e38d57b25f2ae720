"""What search engines for data are told: a Dataset in the words of schema.org.

To be put into a page through ``script_json`` as ``application/ld+json``, which is
data and no script, so that the page's policy holds.
"""

from __future__ import annotations

from typing import Any

from sitegen.model.quantities import table_columns
from sitegen.pages import addresses
from sitegen.pages.data_columns import columns
from sitegen.pages.datapackage import description, keywords
from sitegen.pages.frame import Site
from sitegen.pages.words import ENGLISH, Words

_DOWNLOADS = (
    ("results.csv", "text/csv"),
    ("results.json", "application/json"),
    ("runs.csv", "text/csv"),
    ("readings.csv", "text/csv"),
    ("datapackage.json", "application/json"),
)


def dataset(site: Site, words: Words = ENGLISH, modified: str = "") -> dict[str, Any]:
    """Return the archive's data as a schema.org Dataset.

    ``name`` and ``description`` are what search engines require; the rest is what
    they recommend.

    Args:
        site: what is said of the archive.
        words: the interface's words.
        modified: day of the newest change of the data, ISO, or ``""``.
    """
    place = addresses.DATA.canonical(site.base)
    publisher = {"@type": "Organization", "name": site.publisher}
    found: dict[str, Any] = {
        "@context": "https://schema.org/",
        "@type": "Dataset",
        "@id": place,
        "name": words("{site}: results, runs and readings", site=site.name),
        "description": description(site, words),
        "url": place,
        "inLanguage": site.language,
        "isAccessibleForFree": True,
        "license": site.licence_url or site.licence,
        "creator": publisher,
        "publisher": publisher,
        "keywords": list(keywords(site, words)),
        "includedInDataCatalog": {
            "@type": "DataCatalog",
            "name": site.name,
            "url": addresses.HOME.canonical(site.base),
        },
        "variableMeasured": [
            _variable(site, column.name, column.title, column.unit, column.meaning)
            for column in columns("results", words)
            if column.name in table_columns()
        ],
        "distribution": [
            {
                "@type": "DataDownload",
                "name": name,
                "encodingFormat": media,
                "contentUrl": addresses.data_file(name).canonical(site.base),
            }
            for name, media in _DOWNLOADS
        ],
    }
    if modified:
        found["dateModified"] = modified[:10]
    return found


def _variable(
    site: Site, name: str, title: str, unit: str, meaning: str
) -> dict[str, str]:
    variable = {
        "@type": "PropertyValue",
        "propertyID": name,
        "name": title,
        "description": meaning,
    }
    if unit:
        variable["unitText"] = site.currency if unit == "currency" else unit
    return variable
