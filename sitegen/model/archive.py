"""``archive.yaml``: what holds for the whole archive."""

from __future__ import annotations

from typing import Literal

from sitegen.model.base import Part
from sitegen.model.scalars import (
    Currency,
    Date,
    DayHours,
    Fraction,
    Id,
    Line,
    Link,
    NotNegative,
    Percent,
    Positive,
    Text,
    WebLink,
    Whole,
    YesNo,
)


class Publisher(Part):
    """Who publishes the archive."""

    name: Line
    """Name of the publisher."""
    contact: Link | None = None
    """Where a doubt can be reported: a ``mailto:`` or web address."""


class Licence(Part):
    """Under which licence the data may be used; photographs apart."""

    name: Line
    """Short name of the licence."""
    url: WebLink | None = None
    """Its text."""


class Tariff(Part):
    """Price of electricity, with its date and source."""

    per_kwh: NotNegative
    """Price of one kWh, in the archive's currency."""
    date: Date
    """Day on which it held."""
    source: Line
    """Where it comes from."""


class Assumptions(Part):
    """What costs, sizing and the finder assume."""

    tariff: Tariff
    """Price of electricity."""
    hours_per_day: DayHours = 12.0
    """Hours a day that the device runs."""
    ceiling_m: Positive = 2.5
    """Ceiling height, m."""
    quiet_cap_dba: Positive = 40.0
    """Sound level that counts as quiet, dB(A)."""
    years: Whole = 5
    """Years over which ownership is reckoned."""
    target_ach_per_h: Positive = 5.0
    """Air changes per hour wanted."""
    discount_pct: Percent = 0.0
    """Discount rate a year, per cent."""


class Rate(Part):
    """A dated exchange rate: one unit of ``currency`` in the archive's currency."""

    currency: Currency
    """The foreign currency."""
    value: Positive
    """How much of the archive's currency one unit buys."""
    date: Date
    """Day of the rate."""
    source: Line
    """Where it comes from."""


Language = Literal["en", "de"]


class Archive(Part):
    """The archive's own settings."""

    name: Line
    """Name of the archive."""
    tagline: Line | None = None
    """One sentence on what it is."""
    address: WebLink
    """Canonical address of the published site; may have a sub-path."""
    language: Language = "en"
    """Language of the interface: one whose words and cautions ship."""
    units: Literal["metric", "us"] = "metric"
    """Units shown first."""
    currency: Currency
    """Currency that costs are reckoned in."""
    simulated: YesNo = False
    """Whether the data are simulated; every page says so."""
    publisher: Publisher
    """Who publishes it."""
    licence: Licence
    """Licence of the data, photographs apart."""
    assumptions: Assumptions
    """What costs, sizing and the finder assume."""
    rates: tuple[Rate, ...] = ()
    """Dated exchange rates."""
    rates_valid_days: Whole = 180
    """How many days a rate may lie from the price that it converts, either way."""
    funding: Text
    """How the bench is paid for, in Markdown."""
    disclosure: Line
    """The sentence that stands before the first sponsored link."""
    navigation: tuple[Id, ...] = ("devices", "tables", "c", "methods", "changes")
    """First segments of the addresses in the navigation, in order."""
    primary_fraction: Fraction = "pm2_5"
    """The size fraction that results are headed by."""
