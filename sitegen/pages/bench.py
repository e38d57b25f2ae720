"""The bench: rooms, instruments, what they resolve, and their calibrations."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sitegen.model import Instrument, Measured, Room
from sitegen.model.bench import Calibration, FractionResponse
from sitegen.model.collation import collation_key
from sitegen.pages.addresses import BENCH
from sitegen.pages.formats import date_text, with_unit
from sitegen.pages.fractions import as_given, fraction_text, reading_unit_text
from sitegen.pages.frame import Block, Caution, Linked, Page, Site
from sitegen.pages.words import Words


@dataclass(frozen=True, slots=True)
class BenchGiven:
    """What the page shows.

    Attributes:
        rooms: every room.
        instruments: every instrument.
        texts: Markdown of the records, by ``room:ID:mixing``, ``room:ID:note``,
            ``instrument:ID:note``.
        used: methods that use a room or an instrument, by ``room:ID`` and
            ``instrument:ID``.
        cautions: cautions that stand on the page.
    """

    rooms: tuple[Room, ...]
    instruments: tuple[Instrument, ...]
    texts: Mapping[str, Block] = field(default_factory=dict)
    used: Mapping[str, tuple[Linked, ...]] = field(default_factory=dict)
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class RoomShown:
    """A room, ready for the page.

    Attributes:
        anchor: id of its element.
        name: its name.
        facts: label and value.
        mixing: how the air is mixed, or nothing.
        note: a remark, or nothing.
        methods: methods that use it.
        held: whether it is held (preview only).
    """

    anchor: str
    name: str
    facts: tuple[tuple[str, str], ...]
    mixing: Block | None
    note: Block | None
    methods: tuple[Linked, ...]
    held: bool


@dataclass(frozen=True, slots=True)
class InstrumentShown:
    """An instrument, ready for the page.

    Attributes:
        anchor: id of its element.
        name: its name on the bench.
        kind: what it measures.
        facts: label and value.
        fraction_head: heads of the table of fractions.
        fractions: its rows; empty unless it counts particles.
        calibration_head: heads of the table of calibrations.
        calibrations: its rows, newest first.
        note: a remark, or nothing.
        methods: methods that use it.
        held: whether it is held (preview only).
    """

    anchor: str
    name: str
    kind: str
    facts: tuple[tuple[str, str], ...]
    fraction_head: tuple[str, ...]
    fractions: tuple[tuple[str, ...], ...]
    calibration_head: tuple[str, ...]
    calibrations: tuple[tuple[str, ...], ...]
    note: Block | None
    methods: tuple[Linked, ...]
    held: bool


@dataclass(frozen=True, slots=True)
class BenchContext:
    """What the layout loops over.

    Attributes:
        rooms: rooms by name.
        instruments: instruments by name.
        cautions: cautions of the page.
    """

    rooms: tuple[RoomShown, ...]
    instruments: tuple[InstrumentShown, ...]
    cautions: tuple[Caution, ...]


def bench_page(site: Site, words: Words, given: BenchGiven) -> Page:
    """Return the page of rooms and instruments."""
    rooms = sorted(given.rooms, key=lambda room: (collation_key(room.name), room.id))
    instruments = sorted(
        given.instruments, key=lambda found: (collation_key(found.name), found.id)
    )
    return Page(
        address=BENCH,
        layout="bench.html",
        title=words("The bench"),
        summary=words(
            "Rooms and instruments that {site} measures with, and their calibrations.",
            site=site.name,
        ),
        context=BenchContext(
            rooms=tuple(_room(site, words, given, room) for room in rooms),
            instruments=tuple(
                _instrument(words, given, instrument) for instrument in instruments
            ),
            cautions=given.cautions,
        ),
        section=BENCH,
    )


def _volume(site: Site, words: Words, volume_m3: Measured) -> str:
    text = with_unit(volume_m3.value, "m³", site.units, words, digits=4)
    if not volume_m3.u:
        return text
    return words(
        "{value}, standard uncertainty {u}",
        value=text,
        u=with_unit(volume_m3.u, "m³", site.units, words, digits=2),
    )


def _room(site: Site, words: Words, given: BenchGiven, room: Room) -> RoomShown:
    facts = [(words("Net air volume"), _volume(site, words, room.volume_m3))]
    if room.floor_area_m2 is not None:
        facts.append(
            (
                words("Floor area"),
                with_unit(room.floor_area_m2, "m²", site.units, words),
            )
        )
    if room.height_m is not None:
        facts.append(
            (words("Ceiling height"), with_unit(room.height_m, "m", site.units, words))
        )
    return RoomShown(
        anchor=f"room-{room.id}",
        name=room.name,
        facts=tuple(facts),
        mixing=given.texts.get(f"room:{room.id}:mixing"),
        note=given.texts.get(f"room:{room.id}:note"),
        methods=given.used.get(f"room:{room.id}", ()),
        held=room.held,
    )


def _instrument(
    words: Words, given: BenchGiven, instrument: Instrument
) -> InstrumentShown:
    kinds = {
        "particle": words("Particles in air"),
        "sound": words("Sound level"),
        "power": words("Electrical power"),
        "airflow": words("Airflow"),
        "climate": words("Temperature and humidity"),
    }
    facts = [(words("Measures"), kinds[instrument.kind])]
    if instrument.model:
        facts.append((words("Model"), instrument.model))
    if instrument.uncertainty_db is not None:
        facts.append(
            (
                words("Standard uncertainty"),
                f"{as_given(words, instrument.uncertainty_db)} dB",
            )
        )
    if instrument.resolution_w is not None:
        facts.append(
            (words("Smallest step"), f"{as_given(words, instrument.resolution_w)} W")
        )
    return InstrumentShown(
        anchor=f"instrument-{instrument.id}",
        name=instrument.name,
        kind=kinds[instrument.kind],
        facts=tuple(facts),
        fraction_head=(
            words("Size fraction"),
            words("Smallest step"),
            words("Largest reading"),
            words("Zero offset"),
            words("Noise"),
            words("Coincidence scale"),
            words("Response time"),
        ),
        fractions=tuple(
            _fraction(words, name, response)
            for name, response in instrument.fractions.items()
        ),
        calibration_head=(
            words("Date"),
            words("Valid until"),
            words("By"),
            words("Zero offset found"),
            words("Linearity exponent"),
            words("Remark"),
        ),
        calibrations=tuple(
            _calibration(words, instrument, found)
            for found in reversed(instrument.calibrations)
        ),
        note=given.texts.get(f"instrument:{instrument.id}:note"),
        methods=given.used.get(f"instrument:{instrument.id}", ()),
        held=instrument.held,
    )


def _with_u(words: Words, measured: Measured, unit: str = "") -> str:
    """Return a value in a unit, which may be ``""``, with its standard uncertainty."""
    value = _in(words, measured.value, unit)
    if not measured.u:
        return value
    u = _in(words, measured.u, unit)
    return words("{value}, standard uncertainty {u}", value=value, u=u)


def _in(words: Words, value: float, unit: str) -> str:
    """Return a figure with its unit, which no narrow column parts from it."""
    return f"{as_given(words, value)}\N{NO-BREAK SPACE}{unit}".rstrip()


def _fraction(words: Words, name: str, response: FractionResponse) -> tuple[str, ...]:
    unit = reading_unit_text(words, response.unit)
    scale = response.saturation
    return (
        fraction_text(words, name),
        _in(words, response.resolution, unit),
        _in(words, response.range, unit),
        _with_u(words, response.zero_offset, unit),
        _in(words, response.noise, unit),
        words("not known") if scale is None else _in(words, scale, unit),
        _in(words, response.response_s, "s"),
    )


def _calibration(
    words: Words, instrument: Instrument, found: Calibration
) -> tuple[str, ...]:
    units = {
        name: reading_unit_text(words, response.unit)
        for name, response in instrument.fractions.items()
    }
    offsets = [
        f"{fraction_text(words, name)}: {_with_u(words, offset, units.get(name, ''))}"
        for name, offset in found.zero_offset.items()
    ]
    return (
        date_text(found.date.isoformat(), words),
        date_text(found.valid_until.isoformat(), words) if found.valid_until else "–",
        found.by,
        "; ".join(offsets) or "–",
        _with_u(words, found.linearity) if found.linearity else "–",
        found.note or "–",
    )
