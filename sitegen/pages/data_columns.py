"""What each column of the data files holds: for the dictionary and the package.

The names are those of ``RESULT_COLUMNS``, ``RUN_COLUMNS`` and ``READING_COLUMNS``.
Titles and meanings are message ids of the interface catalogue.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from sitegen.model import QUANTITIES, RESULT_COLUMNS
from sitegen.model.quantities import READING_COLUMNS, RUN_COLUMNS
from sitegen.pages.words import ENGLISH, Words, message

Table = Literal["results", "runs", "readings"]
Holds = Literal["string", "number", "integer", "date"]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a data file.

    Attributes:
        name: its header; permanent.
        title: a short label.
        holds: type of a cell, as Frictionless Table Schema names types.
        unit: unit of its numbers, or ``""``; ``currency`` stands for what the column
            of that name says.
        meaning: one sentence on what it is.
    """

    name: str
    title: str
    holds: Holds
    unit: str
    meaning: str


ENUMS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "validity": ("rated", "notes", "not_rated"),
        "status": ("accepted", "rejected", "superseded"),
        "cadr_basis": ("single", "repeatability", "random-effects"),
        "clearance_basis": ("observed", "modelled", "not-reached"),
        "sound_limit": ("at_most",),
    }
)
"""Columns that hold one of a few words, and which; empty cells apart."""

_MEANINGS: Mapping[str, str] = MappingProxyType(
    {
        "device": message("Id of the device; part of its address."),
        "filter": message("Id of the filter, or none."),
        "speed": message("Id of the fan speed."),
        "method": message("Id of the method."),
        "fraction": message("Size fraction of the particles, for example pm2_5."),
        "runs": message("Number of runs that the result rests on."),
        "run_ids": message("Ids of those runs, separated by spaces."),
        "validity": message(
            "rated: ranked and compared; notes: with flags to read; not_rated: shown, "
            "never ranked."
        ),
        "flags": message("Codes of the quality checks raised, separated by spaces."),
        "cadr_m3h": message("Clean air delivery rate of the configuration."),
        "cadr_low": message(
            "Lower limit of the 95 % interval of the CADR; room volume and linearity "
            "of the instruments are in it, so it is not for telling devices apart "
            "that were tested in one room."
        ),
        "cadr_high": message("Upper limit of the same interval."),
        "cadr_basis": message(
            "What the interval rests on: single (one run's own), repeatability (of "
            "all tests of the method), random-effects (these runs' own scatter)."
        ),
        "decay_per_h": message("Fitted decay rate with the device on."),
        "natural_per_h": message("Decay rate with the device off, subtracted."),
        "clearance_min": message("Time until the method's target share was left."),
        "clearance_low": message(
            "Lower limit of its 95 % interval; when not reached, how long was watched: "
            "the true time is longer."
        ),
        "clearance_high": message("Upper limit of its 95 % interval."),
        "clearance_basis": message("observed, modelled or not-reached."),
        "sound_dba": message("A-weighted sound level at the method's positions."),
        "sound_low": message("Lower limit of its 95 % interval."),
        "sound_high": message("Upper limit of its 95 % interval."),
        "sound_limit": message(
            "at_most: the room was too loud for more than an upper bound."
        ),
        "sound_method": message("Id of the method of the sound level."),
        "power_w": message("Mean electric power."),
        "power_sd": message("Standard deviation of the power readings."),
        "power_method": message("Id of the method of the power."),
        "cadr_per_w": message("CADR divided by power."),
        "energy_kwh_year": message("Energy a year at the archive's hours a day."),
        "energy_cost_year": message("Cost of that energy at the archive's tariff."),
        "filter_cost_year": message("Cost of the filters used up in a year."),
        "running_cost_year": message("Energy and filters together."),
        "ownership_cost": message("Price and running for the archive's years."),
        "currency": message("ISO 4217 code of the costs."),
        "rank_low": message("Best rank by CADR that the result may hold."),
        "rank_high": message("Worst rank by CADR that the result may hold."),
        "ranked_of": message("Number of results that it is ranked among."),
        "address": message("Permanent address of the device's page."),
        "run": message("Id of the run; part of its address."),
        "kind": message("Kind of the run."),
        "date": message("Day of the run."),
        "status": message("What the tester decided: accepted, rejected, superseded."),
        "instrument": message(
            "Id of the instrument, or all for the combined fit that results rest on."
        ),
        "points": message("Number of readings fitted."),
        "window_start_min": message("First minute of the fitted part."),
        "window_end_min": message("Last minute of the fitted part."),
        "zero_offset": message("Zero offset subtracted; empty for all."),
        "decay_sd_per_h": message("Standard uncertainty of the decay rate."),
        "decay_low": message("Lower limit of the decay rate's 95 % interval."),
        "decay_high": message("Upper limit of the decay rate's 95 % interval."),
        "plain_decay_per_h": message(
            "Ordinary least squares of ln(C − zero offset) over the same points."
        ),
        "plain_se_per_h": message("Standard error of that plain fit."),
        "r_squared": message("Coefficient of determination of that plain fit."),
        "natural_sd_per_h": message("Standard uncertainty of the natural decay."),
        "specimen": message("Id of the specimen that was tested."),
        "what": message("What was read: device, background or standby."),
        "position": message("Number of the position or reading, from 1."),
        "value": message("The reading as logged."),
        "unit": message("Unit of the reading."),
    }
)

_OTHERS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "run": (message("Run"), ""),
        "kind": (message("Kind"), ""),
        "date": (message("Date"), ""),
        "status": (message("Status"), ""),
        "instrument": (message("Instrument"), ""),
        "points": (message("Readings fitted"), ""),
        "window_start_min": (message("Fitted from"), "min"),
        "window_end_min": (message("Fitted to"), "min"),
        "zero_offset": (message("Zero offset"), message("unit of the instrument")),
        "decay_sd_per_h": (message("Decay rate, standard uncertainty"), "1/h"),
        "decay_low": (message("Decay rate, low"), "1/h"),
        "decay_high": (message("Decay rate, high"), "1/h"),
        "plain_decay_per_h": (message("Decay rate, plain fit"), "1/h"),
        "plain_se_per_h": (message("Plain fit, standard error"), "1/h"),
        "r_squared": (message("R² of the plain fit"), ""),
        "natural_sd_per_h": (message("Natural decay, standard uncertainty"), "1/h"),
        "specimen": (message("Specimen"), ""),
        "what": (message("What was read"), ""),
        "position": (message("Position"), ""),
        "value": (message("Value"), message("see the column unit")),
        "unit": (message("Unit"), ""),
    }
)

# Columns that no quantity describes: what they hold, where it is not text.
_HOLDS: Mapping[str, Holds] = MappingProxyType(
    {
        "date": "date",
        "points": "integer",
        "position": "integer",
        "value": "number",
        "r_squared": "number",
        "zero_offset": "number",
    }
)

# What names a row, as the files are written: no two rows share all of these.
KEYS: Mapping[Table, tuple[str, ...]] = MappingProxyType(
    {
        "results": ("device", "filter", "speed", "method", "fraction"),
        "runs": ("run", "instrument", "fraction"),
        "readings": ("run", "what", "position"),
    }
)

_NAMES: Mapping[Table, tuple[str, ...]] = MappingProxyType(
    {"results": RESULT_COLUMNS, "runs": RUN_COLUMNS, "readings": READING_COLUMNS}
)


def columns(table: Table, words: Words = ENGLISH) -> tuple[Column, ...]:
    """Return what the columns of a data file hold, in the order of the file.

    Args:
        table: ``results``, ``runs`` or ``readings``.
        words: the interface's words.
    """
    return tuple(_column(name, words) for name in _NAMES[table])


def _column(name: str, words: Words) -> Column:
    meaning = words(_MEANINGS[name])
    if name in _OTHERS:
        title, unit = _OTHERS[name]
        # A unit of "min" or "1/h" is no sentence, yet harmless to look up.
        shown = words(unit) if unit else ""
        return Column(name, words(title), _holds(name, unit), shown, meaning)
    quantity = QUANTITIES[name]
    holds: Holds = "number"
    if quantity.holds == "text":
        holds = "string"
    elif quantity.holds == "whole":
        holds = "integer"
    return Column(name, words(quantity.label), holds, words(quantity.unit), meaning)


def _holds(name: str, unit: str) -> Holds:
    return _HOLDS.get(name, "number" if unit else "string")
