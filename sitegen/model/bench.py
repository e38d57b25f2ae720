"""What a test is made with: filters, rooms, instruments."""

from __future__ import annotations

from typing import Literal

from sitegen.model.base import Measured, Part, PositiveMeasured, Record
from sitegen.model.device import Size
from sitegen.model.scalars import (
    Currency,
    Date,
    Fraction,
    Line,
    Money,
    NotNegative,
    Positive,
    Text,
    Whole,
    YesNo,
)


class FilterPrice(Part):
    """What one piece of a filter costs, on a day."""

    amount: Money
    """Amount for one piece, in the currency's main unit."""
    currency: Currency
    """ISO 4217 code."""
    date: Date
    """Day on which the price was seen."""
    source: Line | None = None
    """Where it was seen."""


class Lifetime(Part):
    """How long a filter is used before it is replaced."""

    months: Positive | None = None
    """Calendar months; either this or ``hours``."""
    hours: Positive | None = None
    """Running hours; either this or ``months``."""
    basis: Literal["stated", "assumed", "measured"]
    """Who says so: the maker, the tester, or a measurement."""
    low: Positive | None = None
    """Shortest plausible, in the same unit."""
    high: Positive | None = None
    """Longest plausible, in the same unit."""


class Filter(Record):
    """A filter that one or more devices take."""

    name: Line
    """Name or part number."""
    maker: Line
    """Who makes it."""
    stated_class: Line | None = None
    """Filter class as the maker states it, for example ``MERV 13``."""
    standard: Line | None = None
    """The standard that the class refers to."""
    size: Size | None = None
    """Size of one piece."""
    price: FilterPrice | None = None
    """Price of one piece."""
    lifetime: Lifetime | None = None
    """How long it is used."""
    note: Text | None = None
    """A remark, in Markdown."""


class Room(Record):
    """The room in which decay is measured."""

    name: Line
    """Name of the room."""
    volume_m3: PositiveMeasured
    """Net air volume, m³."""
    floor_area_m2: Positive | None = None
    """Floor area, m²."""
    height_m: Positive | None = None
    """Ceiling height, m."""
    mixing: Text | None = None
    """How the air is mixed."""
    note: Text | None = None
    """A remark, in Markdown."""


class FractionResponse(Part):
    """How an instrument reads one size fraction."""

    unit: Literal["ug/m3", "1/cm3"] = "ug/m3"
    """Unit of the readings."""
    resolution: Positive
    """Smallest step of the readings."""
    range: Positive
    """Largest reading."""
    zero_offset: Measured = Measured(value=0.0)
    """Reading in particle-free air."""
    noise: NotNegative = 0.0
    """Standard deviation in particle-free air."""
    saturation: Positive | None = None
    """Concentration scale of coincidence loss, if known."""
    response_s: NotNegative = 0.0
    """First-order response time, s."""


class Calibration(Part):
    """A check of the instrument on a day; the latest before a run counts."""

    date: Date
    """Day of the calibration."""
    valid_until: Date | None = None
    """Day after which it should be repeated."""
    by: Line
    """Who did it."""
    zero_offset: dict[Fraction, Measured] = {}
    """Zero offsets found, by fraction; they replace those of the record."""
    linearity: Measured | None = None
    """Exponent of the response against a reference, 1 when linear."""
    note: Text | None = None
    """A remark."""


class LogTime(Part):
    """How a raw log writes time."""

    columns: tuple[Line, ...]
    """Name or names of the column(s) that hold the time, date before clock."""
    form: Literal["iso", "day-month", "month-day", "clock", "epoch", "elapsed"]
    """How the time is written; ``iso`` has the year first, ``clock`` no date."""
    unit: Literal["us", "ms", "s", "min", "h"] = "s"
    """Unit of an epoch or elapsed time."""
    zone: Line | None = None
    """Time zone of its clock: an IANA name, or an offset such as ``+01:00``."""
    repeated: Literal["refuse", "mean"] = "refuse"
    """What is done with rows that share a time: refused, or averaged into one."""


class LogForm(Part):
    """How an instrument's raw logs read."""

    delimiter: Literal["comma", "semicolon", "tab", "space"] = "comma"
    """What stands between cells."""
    decimal_mark: Literal["point", "comma"] = "point"
    """Decimal mark of the numbers."""
    encoding: Literal["utf-8", "utf-16", "latin-1"] = "utf-8"
    """Encoding of the file; a byte order mark in the file goes before it."""
    header_row: Whole = 1
    """Line of the column names, from 1; 0 if there is none (columns are 1, 2, …)."""
    time: LogTime
    """Where the time is and how it is written."""
    columns: dict[Line, Fraction]
    """Column name to size fraction."""
    units: dict[Fraction, Literal["ug/m3", "mg/m3", "1/cm3", "1/L", "1/m3"]] = {}
    """Unit of the log's readings, where it is not the unit of the fraction."""
    missing: tuple[Line, ...] = ()
    """Texts that stand for a missing reading; an empty cell always does."""
    over: tuple[Line, ...] = ()
    """Texts that stand for a reading above the range; the range is put there."""
    caps: dict[Fraction, Positive] = {}
    """Reading that the log writes for all above it, in the unit of the fraction."""
    newest_first: YesNo = False
    """Whether the log runs backwards in time."""


class Instrument(Record):
    """Something that measures."""

    name: Line
    """Name of the instrument on this bench."""
    kind: Literal["particle", "sound", "power", "airflow", "climate"]
    """What it measures."""
    model: Line | None = None
    """Model, as the maker calls it."""
    fractions: dict[Fraction, FractionResponse] = {}
    """For a particle instrument: what it reads, by size fraction."""
    uncertainty_db: NotNegative | None = None
    """For a sound level meter: standard uncertainty, dB."""
    resolution_w: Positive | None = None
    """For a power meter: smallest step, W."""
    calibrations: tuple[Calibration, ...] = ()
    """Dated checks, oldest first."""
    log: LogForm | None = None
    """How its raw logs read."""
    note: Text | None = None
    """A remark, in Markdown."""
