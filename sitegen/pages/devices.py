"""The list of all devices, by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sitegen.findings.views import Card
from sitegen.model.collation import collation_key
from sitegen.pages.addresses import DEVICES
from sitegen.pages.cards import CardTable, card_table
from sitegen.pages.frame import Caution, Page, Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class DevicesGiven:
    """What the page shows.

    Attributes:
        cards: every device that is shown, in any order.
        cautions: cautions that stand on the page.
        methods: method to the name of its comparable set.
        sounds: sound method to its name.
    """

    cards: tuple[Card, ...]
    cautions: tuple[Caution, ...] = ()
    methods: Mapping[str, str] = field(default_factory=dict)
    sounds: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class DevicesContext:
    """What the layout shows.

    Attributes:
        table: the devices by name, withdrawn ones last.
        count: how many there are.
        cautions: cautions.
    """

    table: CardTable
    count: int
    cautions: tuple[Caution, ...]


def devices_page(site: Site, words: Words, given: DevicesGiven) -> Page:
    """Return the list of devices.

    By name, not by CADR: devices of several methods stand in one list, and a place in
    it must not read as a rank.
    """
    by_name = sorted(
        given.cards,
        key=lambda card: (
            card.labels.withdrawn,
            collation_key(card.labels.name),
            card.labels.id,
        ),
    )
    return Page(
        address=DEVICES,
        layout="devices.html",
        title=words("Devices"),
        summary=words(
            "Every room air cleaner that {site} has tested: clean air delivered, "
            "sound, price, how it was acquired.",
            site=site.name,
        ),
        context=DevicesContext(
            table=card_table(
                site, words, by_name, methods=given.methods, sounds=given.sounds
            ),
            count=len(by_name),
            cautions=given.cautions,
        ),
        section=DEVICES,
    )
