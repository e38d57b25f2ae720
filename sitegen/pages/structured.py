"""What search engines are told, in the words of schema.org: Dataset and Product.

A device is a Product; the verdict on it, where there is one, is a Review. There is no
rating: no number is made of an opinion. To be put into a page through ``script_json``
as ``application/ld+json``, which is data and no script, so that the page's policy
holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sitegen.findings.views import ResultRow
from sitegen.model.quantities import table_columns
from sitegen.model.rounding import significant_text
from sitegen.pages import addresses
from sitegen.pages.addresses import Address
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


def dataset(
    site: Site, words: Words = ENGLISH, modified: str = "", released: str = ""
) -> dict[str, Any]:
    """Return the archive's data as a schema.org Dataset.

    ``name`` and ``description`` are what search engines require; the rest is what
    they recommend.

    Args:
        site: what is said of the archive.
        words: the interface's words.
        modified: day of the newest change of the data, ISO, or ``""``.
        released: day of the newest release, ISO, or ``""``.
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
    if released:
        found["version"] = found["datePublished"] = released[:10]
    return found


@dataclass(frozen=True, slots=True)
class Opinion:
    """A verdict, as a review tells it.

    Attributes:
        day: day of the opinion, ISO.
        text: the opinion, plain text.
        likes: what is good.
        dislikes: what is not.
    """

    day: str
    text: str
    likes: tuple[str, ...] = ()
    dislikes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ProductGiven:
    """What is told of a device.

    Attributes:
        page: its page.
        name: its name.
        maker: who makes it.
        category: what kind of thing it is.
        summary: a sentence about it.
        pictures: its photographs.
        row: the result that heads its page, or nothing.
        setting: the setting of that result, in words.
        opinion: the verdict, or nothing.
    """

    page: Address
    name: str
    maker: str
    category: str
    summary: str
    pictures: tuple[Address, ...] = ()
    row: ResultRow | None = None
    setting: str = ""
    opinion: Opinion | None = None


def product(site: Site, given: ProductGiven, words: Words = ENGLISH) -> dict[str, Any]:
    """Return a device as a schema.org Product.

    Args:
        site: what is said of the archive.
        given: what is told of it.
        words: the interface's words.
    """
    place = given.page.canonical(site.base)
    found: dict[str, Any] = {
        "@context": "https://schema.org/",
        "@type": "Product",
        "@id": place,
        "name": given.name,
        "brand": {"@type": "Brand", "name": given.maker},
        "category": given.category,
        "description": given.summary,
        "url": place,
    }
    if site.simulated:
        found["disambiguatingDescription"] = words(
            "Simulated data: every device, maker and number on this site is invented."
        )
    if given.pictures:
        found["image"] = [each.canonical(site.base) for each in given.pictures]
    if given.row is not None and (measured := _measured(site, given, words)):
        found["additionalProperty"] = measured
    if given.opinion is not None:
        found["review"] = _review(site, given.opinion)
    return found


# Quantities told of a device, each with the names of its limits.
_TOLD = (
    ("cadr_m3h", "cadr_low", "cadr_high"),
    ("clearance_min", "clearance_low", "clearance_high"),
    ("sound_dba", "sound_low", "sound_high"),
    ("power_w", "", ""),
)


def _measured(site: Site, given: ProductGiven, words: Words) -> list[dict[str, Any]]:
    named = {column.name: column for column in columns("results", words)}
    found = []
    for name, low, high in _TOLD:
        value = getattr(given.row, name)
        if value is None:
            continue
        column = named[name]
        told: dict[str, Any] = _variable(
            site, name, column.title, column.unit, given.setting
        )
        told["value"] = _number(value)
        for limit, key in ((low, "minValue"), (high, "maxValue")):
            if limit and getattr(given.row, limit) is not None:
                told[key] = _number(getattr(given.row, limit))
        found.append(told)
    return found


def _number(value: float) -> float:
    return float(significant_text(value))


def _review(site: Site, opinion: Opinion) -> dict[str, Any]:
    review: dict[str, Any] = {
        "@type": "Review",
        "author": {"@type": "Organization", "name": site.publisher},
        "datePublished": opinion.day,
        "reviewBody": opinion.text,
    }
    for key, points in (
        ("positiveNotes", opinion.likes),
        ("negativeNotes", opinion.dislikes),
    ):
        if points:
            review[key] = {
                "@type": "ItemList",
                "itemListElement": [
                    {"@type": "ListItem", "position": at, "name": point}
                    for at, point in enumerate(points, 1)
                ],
            }
    return review


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
