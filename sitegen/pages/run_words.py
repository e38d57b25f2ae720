"""What the codes of a single run are called on its page."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.pages.words import message

KIND_TITLES: Mapping[str, str] = MappingProxyType(
    {
        "decay": message("Decay run"),
        "natural-decay": message("Natural decay, no device running"),
        "sound": message("Sound run"),
        "power": message("Power run"),
    }
)
EVENTS: Mapping[str, str] = MappingProxyType(
    {
        "injected": message("aerosol in the room"),
        "mixing_on": message("mixing fan on"),
        "mixing_off": message("mixing fan off"),
        "device_on": message("device switched on"),
        "device_off": message("device switched off"),
        "door": message("door moved"),
        "other": message("other"),
    }
)
# Why nothing could be fitted.
FIT_ERRORS: Mapping[str, str] = MappingProxyType(
    {
        "window_empty": message(
            "Fewer than three readings are left in the part that may be fitted."
        ),
        "too_few_points": message(
            "Fewer than three readings are left in the part that may be fitted."
        ),
        "no_readings": message("No instrument has a reading that can be used."),
        "no_primary_fraction": message(
            "No instrument read the size fraction that results are headed by."
        ),
        "below_floor": message(
            "Every reading lies at or under what the instruments can tell."
        ),
        "constant_series": message("The readings do not change at all."),
    }
)
# Which case of a check it is, where one check has several.
CASES: Mapping[str, str] = MappingProxyType(
    {
        "spread": message("between instruments"),
        "outlier": message("one instrument against the others"),
        "ceiling": message("top of its range"),
        "flat_top": message("equal highest readings"),
        "coincidence": message("too many particles at once"),
        "natural": message("of the natural decay"),
        "against_natural": message("against the natural decay"),
        "late_start": message("first third against the rest"),
        "mixing_time": message("against the room's mixing time"),
        "rate": message("decay rate"),
        "share": message("share of all readings"),
        "longest": message("longest gap"),
        "humidity": message("humidity"),
        "temperature": message("temperature"),
        "door": message("door"),
    }
)
CHECK_UNITS: Mapping[str, str] = MappingProxyType(
    {
        "points": message("readings"),
        "runs": message("runs"),
        "days": message("days"),
        "events": message("events"),
        "m3/h": "m³/h",
    }
)
READ_WHAT: Mapping[str, str] = MappingProxyType(
    {
        "device": message("device on"),
        "background": message("device off: background"),
        "standby": message("switched off, plugged in"),
    }
)
# How the background was treated in a sound level.
BACKGROUNDS: Mapping[str, str] = MappingProxyType(
    {
        "no_correction": message(
            "The background lies more than 15 dB lower; nothing is taken off."
        ),
        "corrected": message("The background lies 6 to 15 dB lower and is taken off."),
        "indicative": message(
            "The background lies only 3 to 6 dB lower: the level is at most this."
        ),
        "background_limited": message(
            "The background lies less than 3 dB lower: the level is at most this."
        ),
    }
)
