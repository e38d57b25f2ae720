"""A device in a few formatted numbers: a row of the lists of devices."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sitegen.findings.views import Card, QuietPick, ResultRow
from sitegen.model import QUANTITIES
from sitegen.pages.addresses import of_record
from sitegen.pages.code_words import FORMS, STANDINGS, VALIDITY, word
from sitegen.pages.configuration_names import configuration_name
from sitegen.pages.formats import (
    Shown,
    date_text,
    decibels,
    money,
    quantity_text,
    unit_text,
)
from sitegen.pages.frame import Linked, Site
from sitegen.pages.sound_setups import usual_sound_method
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class NumberCell:
    """A number of a device.

    Attributes:
        value: the number, or why there is none.
        interval: its 95 % interval, or ``""``.
        note: at which setting, or what is to be noted, or ``""``.
        missing: whether there is no number.
    """

    value: str
    interval: str = ""
    note: str = ""
    missing: bool = False


@dataclass(frozen=True, slots=True)
class CardShown:
    """A device as a row.

    Attributes:
        device: the device; its note is the maker.
        form: its form.
        marks: words that mark it: held, withdrawn.
        withdrawn: whether it is withdrawn.
        method: comparable set of its numbers where that is not the others', or ``""``.
        numbers: CADR, sound at that setting, CADR under the quiet cap, price.
        acquired: how its units came to the bench.
        standing: the verdict in a word, or ``""``.
        tested: day of its newest run, or ``""``.
    """

    device: Linked
    form: str
    marks: tuple[str, ...]
    withdrawn: bool
    method: str
    numbers: tuple[NumberCell, ...]
    acquired: str
    standing: str
    tested: str


@dataclass(frozen=True, slots=True)
class CardTable:
    """Devices as a table.

    Attributes:
        heads: label and unit of the numbers' columns.
        cards: the devices, in order.
        methods: whether several methods meet in it, so that each row names its own.
        short: whether it is without what only the whole list shows.
    """

    heads: tuple[tuple[str, str], ...]
    cards: tuple[CardShown, ...]
    methods: bool
    short: bool = False


def card_table(
    site: Site,
    words: Words,
    cards: Iterable[Card],
    *,
    methods: Mapping[str, str] | None = None,
    sounds: Mapping[str, str] | None = None,
    short: bool = False,
) -> CardTable:
    """Return devices as a table, in the order given.

    Args:
        site: units and currency.
        words: the interface's words.
        cards: the devices.
        methods: method to the name of its comparable set; devices outside the set that
            most are in say which is theirs.
        sounds: sound method to its name; a level by another method than most names its
            own, since levels hold for one distance.
        short: whether it is without what only the whole list shows.
    """
    listed = tuple(cards)
    own = [_set_of(card, methods or {}) for card in listed]
    most = max(sorted(set(own)), key=own.count, default="")
    caps = {card.quiet.cap_dba for card in listed}
    flow = unit_text("cadr_m3h", site.units, site.currency, words)
    quiet = words("CADR when quiet")
    if len(caps) == 1:
        quiet = words("CADR at {cap} dB(A) or less", cap=decibels(caps.pop(), words))
    usual = usual_sound_method([c.headline for c in listed if c.headline])
    marks = {k: name for k, name in (sounds or {}).items() if k != usual}
    shown = tuple(
        _card(site, words, card, "" if name == most else name, marks)
        for card, name in zip(listed, own, strict=True)
    )
    return CardTable(
        heads=(
            (words("Highest CADR"), flow),
            (words("Sound at that setting"), QUANTITIES["sound_dba"].unit),
            (quiet, flow),
            (words("Price"), site.currency),
        ),
        cards=shown,
        methods=not short and any(card.method for card in shown),
        short=short,
    )


def setting_text(words: Words, card: Card, row: ResultRow) -> str:
    """Return speed and filter of a result; the filter only where there are several."""
    return configuration_name(words, card.labels, row.configuration, device=False)


def _set_of(card: Card, methods: Mapping[str, str]) -> str:
    method = card.headline.method if card.headline else ""
    return methods.get(method, method)


def _card(
    site: Site, words: Words, card: Card, method: str, sounds: Mapping[str, str]
) -> CardShown:
    labels = card.labels
    marks = []
    if labels.held:
        marks.append(words("held"))
    if labels.withdrawn:
        marks.append(words("withdrawn"))
    ways = {
        "bought": words("bought"),
        "lent": words("lent"),
        "given": words("given"),
    }
    return CardShown(
        device=Linked(labels.name, of_record("device", labels.id), labels.maker),
        form=word(words, FORMS, labels.form),
        marks=tuple(marks),
        withdrawn=labels.withdrawn,
        method=method,
        numbers=(
            _headline(site, words, card),
            _sound(site, words, card.headline, sounds),
            _quiet(site, words, card, card.quiet),
            _price(site, words, card.price),
        ),
        acquired=", ".join(ways.get(way, way) for way in card.acquired),
        standing=word(words, STANDINGS, card.standing) if card.standing else "",
        tested=date_text(card.tested, words) if card.tested else "",
    )


def _headline(site: Site, words: Words, card: Card) -> NumberCell:
    row = card.headline
    if row is None:
        text = words("not measured") if not card.tested else words("no rated result")
        return NumberCell(text, missing=True)
    shown = quantity_text("cadr_m3h", row, site.units, words)
    note = setting_text(words, card, row)
    if "CADR_ZERO" in row.flags:
        zero = words("not told from zero")
        note = words("{setting}; {note}", setting=note, note=zero)
    elif row.validity == "not_rated":
        note = words(
            "{setting}; {note}", setting=note, note=word(words, VALIDITY, "not_rated")
        )
    return _cell(shown, note)


def _cell(shown: Shown, note: str = "") -> NumberCell:
    return NumberCell(shown.value, shown.interval, note)


def _sound(
    site: Site, words: Words, row: ResultRow | None, sounds: Mapping[str, str]
) -> NumberCell:
    shown = quantity_text("sound_dba", row, site.units, words) if row else None
    if shown is None or not shown.value:
        return NumberCell(words("not measured"), missing=True)
    return _cell(shown, sounds.get(row.sound_method, "") if row else "")


def _quiet(site: Site, words: Words, card: Card, pick: QuietPick) -> NumberCell:
    if pick.row is None:
        if pick.quietest_dba is None:
            return NumberCell(words("sound not measured"), missing=True)
        if pick.reason == "quiet_speed_not_tested":
            quiet = words(
                "quiet setting of {level} dB(A)",
                level=decibels(pick.quietest_dba, words),
            )
            return NumberCell(words("not tested"), note=quiet, missing=True)
        least = words(
            "quietest measured {level} dB(A)",
            level=decibels(pick.quietest_dba, words),
        )
        return NumberCell(words("none"), note=least, missing=True)
    shown = quantity_text("cadr_m3h", pick.row, site.units, words)
    level = quantity_text("sound_dba", pick.row, site.units, words).value
    note = words(
        "{setting}, {level} dB(A)",
        setting=setting_text(words, card, pick.row),
        level=level,
    )
    if pick.near:
        near = words("perhaps over the cap")
        note = words("{setting}; {note}", setting=note, note=near)
    return _cell(shown, note)


def _price(site: Site, words: Words, price: float | None) -> NumberCell:
    if price is None:
        return NumberCell(words("not known"), missing=True)
    return NumberCell(money(price, site.currency, words))
