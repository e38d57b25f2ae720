"""Devices: what was tested, where it came from, what is said about it."""

from __future__ import annotations

from typing import Literal

from sitegen.model.base import DeviceRef, FilterRef, LooseDeviceRef, Part, Record
from sitegen.model.scalars import (
    Currency,
    Date,
    FileName,
    Id,
    Line,
    Money,
    Number,
    Positive,
    Text,
    WebLink,
    Whole,
    YesNo,
)

Form = Literal["portable", "kit", "wall", "in-duct"]
Feature = Literal[
    "air-sensor",
    "auto-mode",
    "child-lock",
    "ioniser",
    "ozone",
    "photocatalytic",
    "prefilter",
    "remote",
    "timer",
    "uvc",
    "washable-prefilter",
]
ClaimQuantity = Literal[
    "cadr", "airflow", "room_area", "sound", "power", "filter_life", "clearance"
]
ClaimUnit = Literal[
    "m3/h",
    "cfm",
    "L/s",
    "m2",
    "ft2",
    "dB(A)",
    "dB",
    "W",
    "months",
    "h",
    "min",
    "unstated",
]
Aerosol = Literal["smoke", "dust", "pollen", "salt", "pm2_5", "not-stated"]


class Speed(Part):
    """One fan speed, or another setting that can be locked."""

    id: Id
    """Permanent name of the speed; results are filed under it."""
    label: Line
    """What the device or its maker calls it; may change."""
    ioniser: YesNo = False
    """Whether the ioniser runs at this setting."""
    uvc: YesNo = False
    """Whether the UV-C lamp runs at this setting."""


class FilterUse(Part):
    """A filter that fits the device."""

    id: FilterRef
    """Id of the filter record."""
    pieces: Whole = 1
    """How many of it the device holds at once."""
    included: YesNo = False
    """Whether it comes in the box."""


class Paid(Part):
    """An amount that was paid."""

    amount: Money
    """Amount, in the currency's main unit."""
    currency: Currency
    """ISO 4217 code."""


class Acquisition(Part):
    """How a specimen came to the bench."""

    how: Literal["bought", "lent", "given"]
    """Bought with the tester's money, lent, or given."""
    by: Line | None = None
    """Who lent or gave it, or where it was bought."""
    date: Date
    """Day on which it arrived."""
    note: Text | None = None
    """Conditions, if there were any."""


class Specimen(Part):
    """One physical unit of the device."""

    id: Id
    """Name of the unit within this device."""
    acquired: Acquisition | None = None
    """How it came to the bench; a device cannot be published without."""
    revision: Line | None = None
    """Hardware revision, as printed on the unit."""
    firmware: Line | None = None
    """Firmware version, as shown by the unit."""
    price_paid: Paid | None = None
    """What the tester paid for this unit."""


class Price(Part):
    """What the device costs, on a day."""

    amount: Money
    """Amount, in the currency's main unit."""
    currency: Currency
    """ISO 4217 code."""
    date: Date
    """Day on which the price was seen or paid."""
    kind: Literal["list", "paid", "carriage", "duty"] = "list"
    """List price, price paid, or a part that comes on top."""
    source: Line | None = None
    """Where it was seen."""


class Sold(Part):
    """Where and for which mains the device is sold."""

    regions: tuple[Line, ...] = ()
    """Countries or regions."""
    voltage: Line | None = None
    """Mains voltage and frequency."""
    checked: Date
    """Day on which this was looked up."""


class Claim(Part):
    """A figure that the maker states."""

    quantity: ClaimQuantity
    """What the figure is about."""
    value: Number
    """The figure."""
    unit: ClaimUnit
    """Its unit, or ``unstated`` where the maker gives none."""
    aerosol: Aerosol = "not-stated"
    """The aerosol that the claim names."""
    speed: Id | Literal["not-stated"] = "not-stated"
    """The fan speed that the claim is for."""
    as_written: Line | None = None
    """The claim word for word."""
    source: Line | None = None
    """Where the claim stands."""
    url: WebLink | None = None
    """Address of the source."""
    seen: Date
    """Day on which it was read."""


class RatedValue(Part):
    """One figure in a certification directory."""

    quantity: ClaimQuantity
    """What the figure is about."""
    value: Number
    """The figure."""
    unit: ClaimUnit
    """Its unit."""
    aerosol: Aerosol = "not-stated"
    """The aerosol of the test."""
    speed: Id | Literal["not-stated"] = "not-stated"
    """The fan speed of the test, where the directory says it."""


class Rating(Part):
    """What a certification directory says of the device."""

    directory: Line
    """Name of the directory."""
    outcome: Literal["found", "not_found", "not_checked"]
    """Whether the device was found in it."""
    date: Date | None = None
    """Day on which it was looked up."""
    url: WebLink | None = None
    """Address of the entry."""
    values: tuple[RatedValue, ...] = ()
    """The figures listed."""


class ShopLink(Part):
    """A link to somewhere outside the archive."""

    url: WebLink
    """Address."""
    label: Line
    """Text of the link."""
    sponsored: YesNo = False
    """Whether the link can earn the tester money."""


class Photo(Part):
    """A photograph in the archive's ``photos`` folder."""

    file: FileName
    """Path below ``photos``."""
    alt: Line
    """What the picture shows, for those who cannot see it."""
    credit: Line
    """Who took it."""


class Sound(Part):
    """A sound recording in the archive's ``audio`` folder."""

    file: FileName
    """Path below ``audio``."""
    label: Line
    """What is heard."""
    level_note: Line
    """At which distance and level it was recorded."""
    credit: Line
    """Who recorded it."""


class Verdict(Part):
    """The tester's opinion; marked as one on the page."""

    standing: Literal["recommended", "for-some", "not-recommended", "undecided"]
    """What the tester would tell a friend."""
    as_of: Date
    """Day of the opinion."""
    text: Text
    """The opinion, in Markdown."""
    likes: tuple[Line, ...] = ()
    """What is good about it."""
    dislikes: tuple[Line, ...] = ()
    """What is not."""
    suits: tuple[Line, ...] = ()
    """For whom it is."""
    does_not_suit: tuple[Line, ...] = ()
    """For whom it is not."""


class Response(Part):
    """What the maker answered."""

    date: Date
    """Day of the answer."""
    by: Line
    """Who answered."""
    text: Text
    """The answer, in Markdown."""


class Withdrawal(Part):
    """Why the device no longer counts as current."""

    date: Date
    """Since when."""
    reason: Text
    """Why; shown on the page."""


class Size(Part):
    """Outer size."""

    width_mm: Positive
    """Width, mm."""
    height_mm: Positive
    """Height, mm."""
    depth_mm: Positive
    """Depth, mm."""


class Device(Record):
    """A room air cleaner, or a kit that works as one."""

    name: Line
    """Name of the model."""
    maker: Line
    """Who makes it; for a kit, who designed it."""
    form: Form
    """What kind of thing it is."""
    speeds: tuple[Speed, ...]
    """Fan speeds in order, quietest first."""
    filters: tuple[FilterUse, ...] = ()
    """Filters that fit; none means that it runs without one."""
    features: tuple[Feature, ...] = ()
    """What else it has; cautions follow from these."""
    modified: Text | None = None
    """What was changed against the maker's intended use, if anything."""
    size: Size | None = None
    """Outer size."""
    mass_kg: Positive | None = None
    """Mass with filter, kg."""
    specimens: tuple[Specimen, ...] = ()
    """The units tested."""
    prices: tuple[Price, ...] = ()
    """Prices with their dates."""
    sold: Sold | None = None
    """Where it is sold."""
    claims: tuple[Claim, ...] = ()
    """What the maker states."""
    ratings: tuple[Rating, ...] = ()
    """What certification directories say."""
    links: tuple[ShopLink, ...] = ()
    """Links to outside."""
    photos: tuple[Photo, ...] = ()
    """Photographs."""
    audio: tuple[Sound, ...] = ()
    """Sound recordings."""
    verdict: Verdict | None = None
    """The tester's opinion."""
    responses: tuple[Response, ...] = ()
    """What the maker answered."""
    withdrawn: Withdrawal | None = None
    """Set when the device no longer counts as current."""
    superseded_by: LooseDeviceRef | None = None
    """The device that replaces it."""
    note: Text | None = None
    """A remark shown on the page, in Markdown."""


__all__ = ["Device", "DeviceRef"]
