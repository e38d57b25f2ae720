"""Who pays: how the bench lives, how devices came to it, which links earn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.model import Device
from sitegen.pages.addresses import FUNDING, of_record
from sitegen.pages.code_words import ACQUIRED, word
from sitegen.pages.device_facts import Acquired, acquisitions
from sitegen.pages.frame import Block, Linked, Page, Site
from sitegen.pages.words import Words

WAYS = ("bought", "lent", "given")


@dataclass(frozen=True, slots=True)
class FundingGiven:
    """What the page shows.

    Attributes:
        funding: how the bench is paid for, from the archive's settings.
        title: title of the archive's own text about it, or ``""``.
        text: that text, or nothing.
        devices: every published device.
    """

    funding: Block
    title: str
    text: Block | None
    devices: tuple[Device, ...]


@dataclass(frozen=True, slots=True)
class FundingContext:
    """What the layout shows.

    Attributes:
        title: heading.
        funding: how the bench is paid for.
        text: the archive's own text, or nothing.
        counted: way of acquisition and how many units, a sentence each.
        units: device, and how each of its units came to the bench.
        earning: devices with links that earn.
    """

    title: str
    funding: Block
    text: Block | None
    counted: tuple[str, ...]
    units: tuple[tuple[Linked, tuple[Acquired, ...]], ...]
    earning: tuple[Linked, ...]


def funding_page(site: Site, words: Words, given: FundingGiven) -> Page:
    """Return the page that says who pays."""
    title = given.title or words("Who pays for this")
    return Page(
        address=FUNDING,
        layout="funding.html",
        title=title,
        summary=words(
            "How {site} is paid for, how each device came to it, and which links earn.",
            site=site.name,
        ),
        context=FundingContext(
            title=title,
            funding=given.funding,
            text=given.text,
            counted=_counted(words, given.devices),
            units=tuple(
                (_link(device), acquisitions(words, device, {}))
                for device in given.devices
            ),
            earning=tuple(
                _link(device)
                for device in given.devices
                if any(link.sponsored for link in device.links)
            ),
        ),
        section=FUNDING,
    )


def _link(device: Device) -> Linked:
    return Linked(device.name, of_record("device", device.id))


def _counted(words: Words, devices: Sequence[Device]) -> tuple[str, ...]:
    found: list[str] = [
        unit.acquired.how
        for device in devices
        for unit in device.specimens
        if unit.acquired is not None
    ]
    return tuple(
        words.plural(
            "{how}: {n} unit", "{how}: {n} units", count, how=word(words, ACQUIRED, way)
        )
        for way in WAYS
        if (count := found.count(way))
    )
