"""The home page: what the archive is, what serves a room, what is new."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sitegen.findings.picks import MOST_UNITS
from sitegen.findings.views import Card, FinderAnswer, FinderPick, Labels
from sitegen.measure.sound import several_units
from sitegen.model.archive import Assumptions
from sitegen.pages.addresses import HOME, Address, of_record
from sitegen.pages.amounts import Amount, amount
from sitegen.pages.cards import CardTable, card_table
from sitegen.pages.configuration_names import configuration_name
from sitegen.pages.finder_data import FINDER_ROWS
from sitegen.pages.formats import (
    Shown,
    decibels,
    estimate_text,
    in_units,
    number,
    sound_text,
    with_unit,
)
from sitegen.pages.frame import Caution, Linked, Page, Site
from sitegen.pages.words import Words

FINDER_SCRIPTS = ("reckoning.js", "find.js", "finder.js")
"""Scripts of the finder, in the order in which they rest on each other."""


@dataclass(frozen=True, slots=True)
class HomeGiven:
    """What the page shows.

    Attributes:
        finder: what serves rooms of a few sizes.
        names: names of the devices proposed, by id.
        latest: devices tested last, the newest first.
        changes: the newest changes; their note is the day.
        comparisons: named comparisons.
        cautions: cautions beside what is proposed.
        assumptions: what the finder and costs rest on.
        devices: how many devices are published.
        runs: how many runs.
        configurations: how many configurations have a result.
        sounds: sound method to a link to it.
    """

    finder: tuple[FinderAnswer, ...]
    names: Mapping[str, Labels]
    latest: tuple[Card, ...]
    changes: tuple[Linked, ...]
    comparisons: tuple[Linked, ...]
    cautions: tuple[Caution, ...]
    assumptions: Assumptions
    devices: int
    runs: int
    configurations: int
    sounds: Mapping[str, Linked] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PickShown:
    """One proposal for a room.

    Attributes:
        device: the device.
        setting: speed and filter.
        units: how many are needed.
        sound: level of all together, dB(A), with its interval.
        price: price of all, or why there is none.
        running: a year's running cost of all with its ends, or why there is none.
        owning: that with its share of the price, a phrase, or ``""``; with its ends.
        near: said where the level may be over the cap, or ``""``.
        meter: how the level was measured, where several ways meet, or ``""``.
        clean: clean air of all, with its unit and its interval.
    """

    device: Linked
    setting: str
    units: str
    sound: Shown
    price: str
    running: Amount
    owning: Amount
    near: str
    meter: str
    clean: Shown


@dataclass(frozen=True, slots=True)
class RoomShown:
    """A room and what serves it.

    Attributes:
        ident: id of its group.
        area: its floor area, m², as a script reads it.
        size: its floor area, for readers.
        need: clean air that it wants.
        picks: what serves it; may be empty.
    """

    ident: str
    area: str
    size: str
    need: str
    picks: tuple[PickShown, ...]


@dataclass(frozen=True, slots=True)
class FinderField:
    """Something that a reader may set.

    Attributes:
        name: its name in the address.
        label: what it is, with its unit.
        assumed: the archive's own value, or ``""`` where there is none.
        factor: what a typed number is multiplied by.
    """

    name: str
    label: str
    assumed: str = ""
    factor: str = "1"


@dataclass(frozen=True, slots=True)
class HomeContext:
    """What the layout shows.

    Attributes:
        given: links and cautions.
        tagline: one sentence on what the archive is, or ``""``.
        holds: how much it holds, a sentence.
        rooms: rooms and what serves each.
        rests: what the finder rests on, a sentence.
        fields: what a reader may set of the finder.
        data: the file that the finder's script reckons with.
        latest: devices tested last.
        meters: how the levels of what is proposed were measured.
    """

    given: HomeGiven
    tagline: str
    holds: str
    rooms: tuple[RoomShown, ...]
    rests: str
    fields: tuple[FinderField, ...]
    data: Address
    latest: CardTable
    meters: tuple[Linked, ...]


def home_page(site: Site, words: Words, given: HomeGiven) -> Page:
    """Return the home page."""
    holds = words(
        "{devices}, {configurations} of speed and filter, {runs}: all of them open to "
        "look at and to take away.",
        devices=words.plural("{n} device", "{n} devices", given.devices),
        configurations=words.plural(
            "{n} setting", "{n} settings", given.configurations
        ),
        runs=words.plural("{n} run", "{n} runs", given.runs),
    )
    return Page(
        address=HOME,
        layout="home.html",
        title=site.name,
        summary=site.tagline or holds,
        context=HomeContext(
            given=given,
            tagline=site.tagline,
            holds=holds,
            rooms=tuple(_room(site, words, given, each) for each in given.finder),
            rests=_rests(site, words, given.assumptions),
            fields=_fields(site, words, given.assumptions),
            data=FINDER_ROWS,
            latest=card_table(
                site,
                words,
                given.latest,
                sounds={name: link.text for name, link in given.sounds.items()},
                short=True,
            ),
            meters=_meters(given),
        ),
        scripts=FINDER_SCRIPTS if given.finder else (),
    )


def _fields(site: Site, words: Words, assumed: Assumptions) -> tuple[FinderField, ...]:
    def measure(name: str, text: str, unit: str, value: float | None) -> FinderField:
        own, shown = in_units(value or 0.0, unit, site.units)
        factor = 1 / in_units(1.0, unit, site.units)[0]
        return FinderField(
            name,
            f"{text}, {shown}",
            "" if value is None else number(own, 3, words, plain=True),
            f"{factor:.10g}",
        )

    return (
        measure("room", words("Floor of your room"), "m²", None),
        measure("volume", words("or its volume"), "m³", None),
        measure("ceiling", words("Ceiling"), "m", assumed.ceiling_m),
        FinderField(
            "cap",
            words("Sound of all at most, dB(A)"),
            number(assumed.quiet_cap_dba, 3, words, plain=True),
        ),
        FinderField(
            "budget", words("Price of all at most, {unit}", unit=site.currency)
        ),
        FinderField(
            "ach",
            words("Air changes an hour"),
            number(assumed.target_ach_per_h, 3, words, plain=True),
        ),
        FinderField(
            "hours",
            words("Hours a day"),
            number(assumed.hours_per_day, 3, words, plain=True),
        ),
        FinderField(
            "tariff",
            words("Price of one kWh, {unit}", unit=site.currency),
            number(assumed.tariff.per_kwh, 6, words, plain=True),
        ),
        FinderField("years", words("Years"), str(assumed.years)),
    )


def _meters(given: HomeGiven) -> tuple[Linked, ...]:
    """Return the sound methods of what is proposed."""
    rows = [pick.row for answer in given.finder for pick in answer.picks]
    used = dict.fromkeys(row.sound_method for row in rows)
    return tuple(given.sounds[name] for name in used if name in given.sounds)


def _rests(site: Site, words: Words, assumed: Assumptions) -> str:
    return words(
        "Reckoned with a ceiling of {ceiling}, {changes} air changes an hour, at most "
        "{most} machines and {cap} dB(A) from all of them together, {hours} hours a "
        "day, and the lower limit of each measured CADR.",
        most=MOST_UNITS,
        ceiling=with_unit(assumed.ceiling_m, "m", site.units, words),
        changes=number(assumed.target_ach_per_h, 3, words, plain=True),
        cap=decibels(assumed.quiet_cap_dba, words),
        hours=number(assumed.hours_per_day, 3, words, plain=True),
    )


def _room(
    site: Site, words: Words, given: HomeGiven, answer: FinderAnswer
) -> RoomShown:
    area = number(answer.area_m2, 3, words, plain=True)
    return RoomShown(
        ident=f"room-{answer.area_m2:g}".replace(".", "-"),
        area=f"{answer.area_m2:g}",
        size=words("Room of {area}", area=with_unit(answer.area_m2, "m²", site.units))
        if site.units == "us"
        else words("Room of {area} m²", area=area),
        need=words(
            "wants {flow} of clean air", flow=_flow(site, words, answer.needed_m3h)
        ),
        picks=tuple(_pick(site, words, given, pick) for pick in answer.picks),
    )


def _flow(site: Site, words: Words, flow_m3h: float) -> str:
    value, unit = in_units(flow_m3h, "m³/h", site.units)
    return f"{number(value, 3, words)} {unit}"


def _pick(site: Site, words: Words, given: HomeGiven, pick: FinderPick) -> PickShown:
    row = pick.row
    labels = given.names[row.device]
    setting = configuration_name(words, labels, row.configuration, device=False)

    def shown(value: float | None, ends: tuple[float, float] | None = None) -> Amount:
        if value is None:
            return Amount(words("not known"))
        return amount(value, ends, site.currency, words)

    return PickShown(
        device=Linked(labels.name, of_record("device", row.device), labels.maker),
        setting=setting,
        units=str(pick.units),
        sound=_sound(words, pick),
        price=shown(pick.first_cost).value,
        running=shown(pick.running_cost_year, pick.running_ends),
        owning=_owning(site, words, pick, given.assumptions.years),
        meter=given.sounds[row.sound_method].text
        if len(_meters(given)) > 1 and row.sound_method in given.sounds
        else "",
        near=words("perhaps over the cap") if pick.near_cap else "",
        clean=_clean(site, words, pick),
    )


def _owning(site: Site, words: Words, pick: FinderPick, years: int) -> Amount:
    if pick.owning_cost_year is None:
        return Amount("")
    value, ends = amount(pick.owning_cost_year, pick.owning_ends, site.currency, words)
    if years == 1:
        said = words("{amount} with the price in one year", amount=value)
    else:
        said = words(
            "{amount} with the price over {n} years", amount=value, n=str(years)
        )
    return Amount(said, ends)


def _sound(words: Words, pick: FinderPick) -> Shown:
    row = pick.row
    if row.sound_dba is None:
        return Shown("", "")
    value, low, high = (
        None if level is None else several_units(level, pick.units)
        for level in (row.sound_dba, row.sound_low, row.sound_high)
    )
    return sound_text(value or 0.0, low, high, row.sound_limit, words)


def _clean(site: Site, words: Words, pick: FinderPick) -> Shown:
    row = pick.row
    value, low, high = (
        None if one is None else in_units(one * pick.units, "m³/h", site.units)[0]
        for one in (row.cadr_m3h, row.cadr_low, row.cadr_high)
    )
    shown = estimate_text(value, low, high, words)
    unit = in_units(0.0, "m³/h", site.units)[1]
    return Shown(f"{shown.value} {unit}", shown.interval)
