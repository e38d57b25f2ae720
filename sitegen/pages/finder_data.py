"""The numbers that the finder's script reckons with, as a script file.

A file of its own, read only when a reader touches the finder: pages opened from disk
can read scripts and nothing else.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from sitegen.findings.picks import MOST_PICKS, MOST_UNITS
from sitegen.findings.views import Labels, ResultRow
from sitegen.model.archive import Assumptions
from sitegen.pages.addresses import Address, data_file, of_record
from sitegen.pages.configuration_names import configuration_name
from sitegen.pages.cost_parts import (
    COST_PARTS,
    END_PARTS,
    cost_parts,
    end_parts,
    exact,
)
from sitegen.pages.formats import us_units
from sitegen.pages.frame import Site
from sitegen.pages.reading_tools import Reckoning
from sitegen.pages.words import Words

FINDER_ROWS: Address = data_file("finder.js")

NUMBERS = (
    "cadr_m3h",
    "cadr_low",
    "cadr_high",
    "sound_dba",
    "sound_low",
    "sound_high",
    "power_w",
    "power_sd",
)
TEXTS = (
    "configuration",
    "device",
    "name",
    "maker",
    "setting",
    "to",
    "sound_limit",
)


def finder_data(
    site: Site,
    words: Words,
    rows: Sequence[ResultRow],
    names: Mapping[str, Labels],
    prices: Mapping[str, float],
    reckoning: Reckoning,
    assumed: Assumptions,
) -> dict[str, Any]:
    """Return what the finder reckons with.

    Args:
        site: units and currency.
        words: the interface's words.
        rows: results under methods in force, of devices that are not withdrawn.
        names: labels of their devices by id.
        prices: price of each device that has one.
        reckoning: what costs were reckoned from.
        assumed: the archive's assumptions.
    """
    known = {each.configuration: each for each in reckoning.costs}
    return {
        "locale": words.locale.replace("_", "-"),
        "units": site.units,
        "currency": site.currency,
        "us": us_units(words),
        "most_units": MOST_UNITS,
        "most_picks": MOST_PICKS,
        "assumed": {
            "tariff": assumed.tariff.per_kwh,
            "hours": assumed.hours_per_day,
            "ceiling": assumed.ceiling_m,
            "cap": assumed.quiet_cap_dba,
            "ach": assumed.target_ach_per_h,
            "years": assumed.years,
            "discount": assumed.discount_pct,
        },
        "words": {
            "near": words("perhaps over the cap"),
            "unknown": words("not known"),
            "to": words("{low} to {high}"),
            "at_most": words("at most {level}"),
            "with_price": words("{amount} with the price over {n} years"),
            "with_price_one": words("{amount} with the price in one year"),
            "none": words(
                "No setting tested does it with at most {n} machines, so little sound "
                "and that budget."
            ),
            "head": words("Your room of {room}"),
            "need": words("wants {flow} of clean air"),
        },
        "columns": [*TEXTS, *NUMBERS, *COST_PARTS, *END_PARTS, "first_price"],
        "rows": [
            [
                row.configuration,
                row.device,
                names[row.device].name,
                names[row.device].maker,
                configuration_name(
                    words, names[row.device], row.configuration, device=False
                ),
                of_record("device", row.device).file,
                row.sound_limit,
                *(exact(getattr(row, name)) for name in NUMBERS),
                *cost_parts(known.get(row.configuration)),
                *end_parts(known.get(row.configuration)),
                exact(prices.get(row.device)),
            ]
            for row in rows
            if row.cadr_low is not None
            and row.cadr_low > 0
            and row.sound_dba is not None
        ],
    }


def finder_script(data: Mapping[str, Any]) -> bytes:
    """Return the data as a script that leaves it at ``window.benchFinder``."""
    text = json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return f"window.benchFinder={text};\n".encode()
