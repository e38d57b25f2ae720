"""What a device is and where its units come from, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sitegen.model import Device
from sitegen.model.device import Acquisition, Price, Specimen
from sitegen.pages.code_words import ACQUIRED, FEATURES, PRICE_KINDS, word
from sitegen.pages.formats import date_text, money, with_unit
from sitegen.pages.frame import Block, Site
from sitegen.pages.links import safe_link
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class Acquired:
    """How one unit came to the bench.

    Attributes:
        unit: its id, or ``""`` when it is the only one.
        said: how, from whom and when, a sentence.
        note: conditions, or nothing.
    """

    unit: str
    said: str
    note: Block | None


@dataclass(frozen=True, slots=True)
class Outside:
    """A link to somewhere outside the archive.

    Attributes:
        text: what is read.
        url: address.
        sponsored: whether it can earn the tester money.
    """

    text: str
    url: str
    sponsored: bool


def acquisitions(
    words: Words, device: Device, texts: Mapping[str, Block]
) -> tuple[Acquired, ...]:
    """Return how each unit tested came to the bench.

    Args:
        words: the interface's words.
        device: the device.
        texts: the record's Markdown by its keys; ``acquired:0`` is the first unit's.
    """
    several = len(device.specimens) > 1
    return tuple(
        Acquired(
            unit=unit.id if several else "",
            said=_said(words, unit, unit.acquired),
            note=texts.get(f"acquired:{at}"),
        )
        for at, unit in enumerate(device.specimens)
        if unit.acquired is not None
    )


def _said(words: Words, unit: Specimen, acquired: Acquisition) -> str:
    how = word(words, ACQUIRED, acquired.how)
    day = date_text(acquired.date.isoformat(), words)
    if acquired.by is None:
        said = words("{how}, {date}", how=how, date=day)
    elif acquired.how == "bought":
        said = words("{how}: {shop}, {date}", how=how, shop=acquired.by, date=day)
    else:
        said = words("{how} by {who}, {date}", how=how, who=acquired.by, date=day)
    if unit.price_paid is not None:
        paid = money(unit.price_paid.amount, unit.price_paid.currency, words)
        said = words("{said}, for {amount}", said=said, amount=paid)
    return f"{said}."


def outside_links(device: Device) -> tuple[Outside, ...]:
    """Return links to outside, those that earn last, dangerous ones left out."""
    found = [
        Outside(link.label, url, link.sponsored)
        for link in device.links
        if (url := safe_link(link.url))
    ]
    return tuple(sorted(found, key=lambda link: link.sponsored))


def device_facts(
    words: Words, site: Site, device: Device
) -> tuple[tuple[str, str], ...]:
    """Return label and value of what is known of the device itself."""
    return tuple(_facts(words, site, device))


def _facts(words: Words, site: Site, device: Device) -> Iterator[tuple[str, str]]:
    if device.size is not None:
        size = device.size
        sides = [
            with_unit(side, "mm", site.units, words)
            for side in (size.width_mm, size.height_mm, size.depth_mm)
        ]
        yield words("Width, height, depth"), " × ".join(sides)
    if device.mass_kg is not None:
        yield (
            words("Mass with filter"),
            with_unit(device.mass_kg, "kg", site.units, words),
        )
    if device.features:
        named = [word(words, FEATURES, feature) for feature in device.features]
        yield words("Has"), ", ".join(named)
    for price in device.prices:
        yield _price_label(words, price), _price(words, price)
    if device.sold is not None:
        sold = device.sold
        parts = [*sold.regions, *([sold.voltage] if sold.voltage else [])]
        day = date_text(sold.checked.isoformat(), words)
        text = ", ".join(parts) or words("nowhere found")
        yield words("Sold in"), words("{what}, as of {date}", what=text, date=day)
    for unit in device.specimens:
        marks = []
        if unit.revision:
            marks.append(words("revision {mark}", mark=unit.revision))
        if unit.firmware:
            marks.append(words("firmware {mark}", mark=unit.firmware))
        if marks:
            yield words("Unit tested, {unit}", unit=unit.id), ", ".join(marks)


def _price_label(words: Words, price: Price) -> str:
    label = word(words, PRICE_KINDS, price.kind)
    return label[:1].upper() + label[1:]


def _price(words: Words, price: Price) -> str:
    amount = money(price.amount, price.currency, words)
    day = date_text(price.date.isoformat(), words)
    if price.source:
        return words(
            "{amount}, {source}, {date}", amount=amount, source=price.source, date=day
        )
    return words("{amount}, {date}", amount=amount, date=day)
