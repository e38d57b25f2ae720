"""The one table of quantities.

It drives the columns of ``results.csv`` and of tables, axes of figures, sorting,
conditions of tables and comparisons, and the query string of the compare page.
Labels are message ids of the interface catalogue.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Better = Literal["up", "down", "none"]
Holds = Literal["number", "whole", "text", "money"]
Rounding = Literal["interval", "sound", "money", "three", "whole", "text"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """One column of results.

    Attributes:
        name: header in ``results.csv``; permanent.
        label: short label, as a message id.
        unit: unit as printed; empty when there is none; ``currency`` stands for
            the archive's currency.
        better: direction in which a larger number is better.
        holds: what a cell is.
        rounding: how a page rounds it.
        low: column of the lower limit, or ``""``.
        high: column of the upper limit, or ``""``.
        us_unit: unit in which US readers see it, or ``""`` when the same.
        axis: whether it can stand on an axis and in a sortable column.
    """

    name: str
    label: str
    unit: str = ""
    better: Better = "none"
    holds: Holds = "number"
    rounding: Rounding = "three"
    low: str = ""
    high: str = ""
    us_unit: str = ""
    axis: bool = False


def _text(name: str, label: str) -> Quantity:
    return Quantity(name, label, holds="text", rounding="text")


_ROWS = (
    _text("device", "Device"),
    _text("filter", "Filter"),
    _text("speed", "Fan speed"),
    _text("method", "Method"),
    _text("fraction", "Size fraction"),
    Quantity("runs", "Runs", holds="whole", rounding="whole"),
    _text("run_ids", "Run ids"),
    _text("validity", "Validity"),
    _text("flags", "Flags"),
    Quantity(
        "cadr_m3h",
        "CADR",
        "m³/h",
        "up",
        rounding="interval",
        low="cadr_low",
        high="cadr_high",
        us_unit="cfm",
        axis=True,
    ),
    Quantity("cadr_low", "CADR, low", "m³/h", us_unit="cfm"),
    Quantity("cadr_high", "CADR, high", "m³/h", us_unit="cfm"),
    _text("cadr_basis", "Basis of the CADR interval"),
    Quantity("decay_per_h", "Decay rate", "1/h", "up", axis=True),
    Quantity("natural_per_h", "Natural decay", "1/h"),
    Quantity(
        "clearance_min",
        "Clearance time",
        "min",
        "down",
        rounding="interval",
        low="clearance_low",
        high="clearance_high",
        axis=True,
    ),
    Quantity("clearance_low", "Clearance time, low", "min"),
    Quantity("clearance_high", "Clearance time, high", "min"),
    _text("clearance_basis", "Basis of the clearance time"),
    Quantity(
        "sound_dba",
        "Sound level",
        "dB(A)",
        "down",
        rounding="sound",
        low="sound_low",
        high="sound_high",
        axis=True,
    ),
    Quantity("sound_low", "Sound level, low", "dB(A)", rounding="sound"),
    Quantity("sound_high", "Sound level, high", "dB(A)", rounding="sound"),
    _text("sound_limit", "Limit of the sound level"),
    _text("sound_method", "Sound method"),
    Quantity("power_w", "Power", "W", "down", axis=True),
    Quantity("power_sd", "Power, standard deviation", "W"),
    _text("power_method", "Power method"),
    Quantity(
        "cadr_per_w",
        "CADR per watt",
        "m³/h per W",
        "up",
        us_unit="cfm per W",
        axis=True,
    ),
    Quantity("energy_kwh_year", "Energy a year", "kWh", "down", axis=True),
    Quantity(
        "energy_cost_year",
        "Energy cost a year",
        "currency",
        "down",
        "money",
        "money",
        axis=True,
    ),
    Quantity(
        "filter_cost_year",
        "Filter cost a year",
        "currency",
        "down",
        "money",
        "money",
        axis=True,
    ),
    Quantity(
        "running_cost_year",
        "Running cost a year",
        "currency",
        "down",
        "money",
        "money",
        axis=True,
    ),
    Quantity(
        "ownership_cost",
        "Cost of ownership",
        "currency",
        "down",
        "money",
        "money",
        axis=True,
    ),
    _text("currency", "Currency"),
    Quantity("rank_low", "Rank, from", holds="whole", rounding="whole"),
    Quantity("rank_high", "Rank, to", holds="whole", rounding="whole"),
    Quantity("ranked_of", "Tested", holds="whole", rounding="whole"),
    _text("address", "Address"),
)

QUANTITIES: Mapping[str, Quantity] = MappingProxyType({row.name: row for row in _ROWS})

RESULT_COLUMNS: tuple[str, ...] = tuple(QUANTITIES)

RUN_COLUMNS: tuple[str, ...] = (
    "run",
    "kind",
    "device",
    "filter",
    "speed",
    "method",
    "date",
    "status",
    "validity",
    "instrument",
    "fraction",
    "points",
    "window_start_min",
    "window_end_min",
    "zero_offset",
    "decay_per_h",
    "decay_sd_per_h",
    "decay_low",
    "decay_high",
    "plain_decay_per_h",
    "plain_se_per_h",
    "r_squared",
    "natural_per_h",
    "natural_sd_per_h",
    "cadr_m3h",
    "cadr_low",
    "cadr_high",
    "flags",
)

READING_COLUMNS: tuple[str, ...] = (
    "run",
    "kind",
    "device",
    "specimen",
    "filter",
    "speed",
    "method",
    "date",
    "status",
    "what",
    "position",
    "value",
    "unit",
)

# What a condition or a filter may also ask for, beside the quantities.
DEVICE_FIELDS: tuple[str, ...] = (
    "form",
    "maker",
    "price",
    "withdrawn",
    "filter_class",
)
CONDITION_FIELDS: tuple[str, ...] = (*RESULT_COLUMNS[:-1], *DEVICE_FIELDS)


# What a table may show beside the quantities, by the name of its column.
TABLE_FACTS: Mapping[str, Quantity] = MappingProxyType(
    {
        "price": Quantity(
            "price",
            "Price",
            unit="currency",
            better="down",
            holds="money",
            rounding="money",
        ),
        "filter_class": _text("filter_class", "Filter class"),
        "rank": Quantity("rank", "Place by CADR", better="down", holds="text"),
    }
)


def table_columns() -> tuple[str, ...]:
    """Return the quantities that a table may show and sort by."""
    return tuple(name for name, quantity in QUANTITIES.items() if quantity.axis)
