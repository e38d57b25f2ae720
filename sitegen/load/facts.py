"""What the checks between records need to know of each record, and no more.

A remark or a reading that changes leaves a record's facts as they are, so nothing that
rests on them is checked again. No place stands here: a fault's place is
looked up in the file when there is a fault.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from sitegen.load.tree import Path
from sitegen.model import (
    Archive,
    Change,
    Comparison,
    DecayMethod,
    DecayRun,
    Device,
    Edition,
    Filter,
    Instrument,
    NaturalDecayRun,
    PowerMethod,
    PowerRun,
    Record,
    Reference,
    Release,
    SoundMethod,
    SoundRun,
    Table,
    references,
)
from sitegen.model.showing import Condition

NamedAt = tuple[Path, str]
"""A word, and where it stands in its record."""
AmountAt = tuple[Path, str, str]
"""Where an amount names its currency, the currency, and its day (ISO) or ``""``."""
Role = Literal["table", "column", "axis", "order", "frozen", "condition"]


@dataclass(frozen=True, slots=True)
class DeviceFacts:
    """What a device lets others name.

    Attributes:
        speeds: ids of its fan speeds, quietest first.
        filters: ids of its filters.
        specimens: ids of its specimens.
        unacquired: positions of the specimens without acquisition.
        claimed_speeds: fan speeds that its claims and ratings name.
    """

    speeds: tuple[str, ...]
    filters: tuple[str, ...]
    specimens: tuple[str, ...]
    unacquired: tuple[int, ...]
    claimed_speeds: tuple[NamedAt, ...]


@dataclass(frozen=True, slots=True)
class RunFacts:
    """What a run is of.

    Attributes:
        kind: ``decay``, ``natural-decay``, ``sound`` or ``power``.
        method: id of the method.
        device: id of the device; ``""`` for a natural decay.
        specimen: id of the specimen, or ``""``.
        filter: id of the filter or ``none``, or ``""``.
        speed: id of the fan speed, or ``""``.
        series: name of the series, or ``""``.
        natural: natural decays listed.
        status: whether the run counts.
    """

    kind: str
    method: str
    device: str = ""
    specimen: str = ""
    filter: str = ""
    speed: str = ""
    series: str = ""
    natural: tuple[str, ...] = ()
    status: str = "accepted"


@dataclass(frozen=True, slots=True)
class MethodFacts:
    """What a method measures, and with what.

    Attributes:
        kind: ``decay``, ``sound`` or ``power``.
        instruments: where its instruments stand, and their ids.
        comparable_with: ids of methods declared comparable here.
        primary_fraction: for a decay method, else ``""``.
    """

    kind: str
    instruments: tuple[NamedAt, ...]
    comparable_with: tuple[str, ...] = ()
    primary_fraction: str = ""


@dataclass(frozen=True, slots=True)
class InstrumentFacts:
    """What an instrument measures.

    Attributes:
        kind: what it measures.
        fractions: size fractions that it reads.
    """

    kind: str
    fractions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReleaseFacts:
    """What was published on a day.

    Attributes:
        date: the day, ISO text.
        ids: kind and ids that were published.
        left: kind and ids that had moved or were gone by then.
    """

    date: str
    ids: tuple[tuple[str, tuple[str, ...]], ...]
    left: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class QuantityUse:
    """A quantity named by a table, comparison or edition.

    Attributes:
        path: where.
        name: its name.
        role: what it is named for.
        test: for a condition, the test: ``is``, ``one_of``, ``at_most``, ``at_least``.
        words: for ``is`` and ``one_of``, the words wanted.
    """

    path: Path
    name: str
    role: Role
    test: str = ""
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Facts:
    """What others may need to know of one record.

    Attributes:
        kind: kind of the record.
        id: its id.
        held: whether the record itself says that it is held.
        references: every record that it names.
        successor: the record of its kind that replaces it, and where it says so.
        configurations: configurations that it names.
        quantities: quantities that it names.
        amounts: currencies and days of its amounts.
        media: files that it names, as paths below the archive.
        targets: records that a change affects, as ``KIND:ID``.
        dated: for an edition: comparison and date, as its address has them.
        device: for a device.
        run: for a run.
        method: for a method.
        instrument: for an instrument.
        release: for a release.
    """

    kind: str
    id: str
    held: bool = False
    references: tuple[Reference, ...] = ()
    successor: NamedAt | None = None
    configurations: tuple[NamedAt, ...] = ()
    quantities: tuple[QuantityUse, ...] = ()
    amounts: tuple[AmountAt, ...] = ()
    media: tuple[NamedAt, ...] = ()
    targets: tuple[NamedAt, ...] = ()
    dated: str = ""
    device: DeviceFacts | None = None
    run: RunFacts | None = None
    method: MethodFacts | None = None
    instrument: InstrumentFacts | None = None
    release: ReleaseFacts | None = None


@dataclass(frozen=True, slots=True)
class SettingsFacts:
    """What of the archive's settings the checks need.

    Attributes:
        currency: the archive's currency.
        rates: currency and day (ISO) of each rate.
        navigation: first segments that the navigation names.
        rates_valid_days: how many days a rate may lie from a price.
    """

    currency: str
    rates: tuple[tuple[str, str], ...]
    navigation: tuple[str, ...]
    rates_valid_days: int = 180


def facts_of(kind: str, record: Record) -> Facts:
    """Return what others may need to know of a record.

    Args:
        kind: kind of the record, as in ``KINDS``.
        record: the record.
    """
    return Facts(
        kind=kind,
        id=record.id,
        held=record.held,
        references=references(record),
        successor=_successor(record),
        configurations=_configurations(record),
        quantities=tuple(_quantities(record)),
        amounts=tuple(_amounts(record)),
        media=tuple(_media(record)),
        targets=_targets(record),
        dated=_dated(record),
        device=_device(record) if isinstance(record, Device) else None,
        run=_run(record),
        method=_method(record),
        instrument=_instrument(record),
        release=_release(record),
    )


def facts_of_settings(archive: Archive) -> SettingsFacts:
    """Return what of the archive's settings the checks need."""
    return SettingsFacts(
        currency=archive.currency,
        rates=tuple((rate.currency, rate.date.isoformat()) for rate in archive.rates),
        navigation=archive.navigation,
        rates_valid_days=archive.rates_valid_days,
    )


def _successor(record: Record) -> NamedAt | None:
    for field in ("superseded_by", "replaced_by"):
        name = getattr(record, field, None)
        if isinstance(name, str):
            return (field,), name
    return None


def _configurations(record: Record) -> tuple[NamedAt, ...]:
    if not isinstance(record, Comparison):
        return ()
    return tuple(
        (("configurations", at), text) for at, text in enumerate(record.configurations)
    )


def _quantities(record: Record) -> Iterator[QuantityUse]:
    if isinstance(record, Table):
        for at, name in enumerate(record.columns):
            yield QuantityUse(("columns", at), name, "table")
        yield QuantityUse(("order",), record.order.removeprefix("-"), "order")
        yield from _conditions(record.where)
    elif isinstance(record, Comparison):
        for axis, axis_name in (("x", record.x), ("y", record.y)):
            if axis_name is not None:
                yield QuantityUse((axis,), axis_name, "axis")
        yield from _conditions(record.where)
    elif isinstance(record, Edition):
        yield from _of_edition(record)


def _of_edition(record: Edition) -> Iterator[QuantityUse]:
    for at, name in enumerate(record.columns):
        yield QuantityUse(("columns", at), name, "frozen")
    for at, name in enumerate(record.shown):
        yield QuantityUse(("shown", at), name, "column")
    if record.figure is not None:
        for axis, axis_name in (("x", record.figure.x), ("y", record.figure.y)):
            if axis_name is not None:
                yield QuantityUse(("figure", axis), axis_name, "axis")


def _conditions(where: tuple[Condition, ...]) -> Iterator[QuantityUse]:
    for at, condition in enumerate(where):
        words: tuple[str, ...] = ()
        if condition.is_ is not None:
            test, words = "is", (condition.is_,)
        elif condition.one_of is not None:
            test, words = "one_of", condition.one_of
        else:
            test = "at_least" if condition.at_most is None else "at_most"
        yield QuantityUse(("where", at), condition.field, "condition", test, words)


def _amounts(record: Record) -> Iterator[AmountAt]:
    if isinstance(record, Device):
        for at, price in enumerate(record.prices):
            day = price.date.isoformat()
            yield ("prices", at, "currency"), price.currency, day
        for at, specimen in enumerate(record.specimens):
            if specimen.price_paid is not None:
                path = ("specimens", at, "price_paid", "currency")
                # It is printed as paid and never converted, so its day is of no weight.
                yield path, specimen.price_paid.currency, ""
    elif isinstance(record, Filter) and record.price is not None:
        price_day = record.price.date.isoformat()
        yield ("price", "currency"), record.price.currency, price_day


def _media(record: Record) -> Iterator[NamedAt]:
    if isinstance(record, Device):
        for at, photo in enumerate(record.photos):
            yield ("photos", at, "file"), f"photos/{photo.file}"
        for at, sound in enumerate(record.audio):
            yield ("audio", at, "file"), f"audio/{sound.file}"


def _targets(record: Record) -> tuple[NamedAt, ...]:
    if not isinstance(record, Change):
        return ()
    return tuple((("affects", at), text) for at, text in enumerate(record.affects))


def _dated(record: Record) -> str:
    if not isinstance(record, Edition):
        return ""
    return f"{record.comparison}/{record.pinned.isoformat()}"


def _device(record: Device) -> DeviceFacts:
    return DeviceFacts(
        speeds=tuple(speed.id for speed in record.speeds),
        filters=tuple(use.id for use in record.filters),
        specimens=tuple(specimen.id for specimen in record.specimens),
        unacquired=tuple(
            at
            for at, specimen in enumerate(record.specimens)
            if specimen.acquired is None
        ),
        claimed_speeds=tuple(_claimed_speeds(record)),
    )


def _claimed_speeds(record: Device) -> Iterator[NamedAt]:
    for at, claim in enumerate(record.claims):
        if claim.speed != "not-stated":
            yield ("claims", at, "speed"), claim.speed
    for at, rating in enumerate(record.ratings):
        for place, value in enumerate(rating.values):
            if value.speed != "not-stated":
                yield ("ratings", at, "values", place, "speed"), value.speed


def _run(record: Record) -> RunFacts | None:
    if isinstance(record, NaturalDecayRun):
        return RunFacts(
            record.kind, record.method, series=record.series, status=record.status
        )
    if not isinstance(record, DecayRun | SoundRun | PowerRun):
        return None
    decay = record if isinstance(record, DecayRun) else None
    return RunFacts(
        kind=record.kind,
        method=record.method,
        device=record.device,
        specimen=record.specimen,
        filter=record.filter,
        speed=record.speed,
        series=decay.series if decay else "",
        natural=(decay.natural or ()) if decay else (),
        status=record.status,
    )


def _method(record: Record) -> MethodFacts | None:
    if isinstance(record, DecayMethod):
        return MethodFacts(
            kind=record.kind,
            instruments=tuple(
                (("instruments", at), name)
                for at, name in enumerate(record.instruments)
            ),
            comparable_with=record.comparable_with,
            primary_fraction=record.primary_fraction,
        )
    if isinstance(record, SoundMethod | PowerMethod):
        return MethodFacts(
            kind=record.kind,
            instruments=((("instrument",), record.instrument),),
            comparable_with=record.comparable_with,
        )
    return None


def _instrument(record: Record) -> InstrumentFacts | None:
    if not isinstance(record, Instrument):
        return None
    return InstrumentFacts(record.kind, tuple(record.fractions))


def _release(record: Record) -> ReleaseFacts | None:
    if not isinstance(record, Release):
        return None
    kinds = sorted({*record.moved, *record.gone})
    return ReleaseFacts(
        date=record.date.isoformat(),
        ids=tuple(sorted(record.ids.items())),
        left=tuple(
            (kind, (*record.moved.get(kind, {}), *record.gone.get(kind, ())))
            for kind in kinds
        ),
    )
