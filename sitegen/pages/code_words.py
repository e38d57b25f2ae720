"""What the codes of records and findings are called on a page.

One table a kind of code, message ids throughout; a code that a table lacks is shown
as it is, so that a page never breaks over a word.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.pages.words import Words, message

FORMS: Mapping[str, str] = MappingProxyType(
    {
        "portable": message("portable"),
        "kit": message("kit to build"),
        "wall": message("for the wall"),
        "in-duct": message("in a duct"),
    }
)
FEATURES: Mapping[str, str] = MappingProxyType(
    {
        "air-sensor": message("air sensor"),
        "auto-mode": message("automatic mode"),
        "child-lock": message("child lock"),
        "ioniser": message("ioniser"),
        "ozone": message("makes ozone"),
        "photocatalytic": message("photocatalytic stage"),
        "prefilter": message("prefilter"),
        "remote": message("remote control"),
        "timer": message("timer"),
        "uvc": message("UV-C lamp"),
        "washable-prefilter": message("washable prefilter"),
    }
)
ACQUIRED: Mapping[str, str] = MappingProxyType(
    {
        "bought": message("Bought with the bench's own money"),
        "lent": message("Lent"),
        "given": message("Given"),
    }
)
STANDINGS: Mapping[str, str] = MappingProxyType(
    {
        "recommended": message("Recommended"),
        "for-some": message("Good for some"),
        "not-recommended": message("Not recommended"),
        "undecided": message("Undecided"),
    }
)
STATUSES: Mapping[str, str] = MappingProxyType(
    {
        "accepted": message("accepted"),
        "rejected": message("rejected"),
        "superseded": message("superseded"),
    }
)
VALIDITY: Mapping[str, str] = MappingProxyType(
    {
        "rated": message("rated"),
        "notes": message("rated, with notes"),
        "not_rated": message("not rated"),
    }
)
RUN_KINDS: Mapping[str, str] = MappingProxyType(
    {
        "decay": message("decay"),
        "natural-decay": message("natural decay"),
        "sound": message("sound"),
        "power": message("power"),
    }
)
CAUSES: Mapping[str, str] = MappingProxyType(
    {
        "door_opened": message("a door was opened"),
        "sensor_fault": message("a sensor failed"),
        "wrong_setting": message("a setting was wrong"),
        "power_loss": message("the power failed"),
        "injection_failed": message("the aerosol was not injected as it should"),
        "looked_at": message("looked at and kept"),
        "other": message("another cause"),
    }
)
GRADES: Mapping[str, str] = MappingProxyType(
    {
        "below": message("below the claim"),
        "consistent": message("consistent with the claim"),
        "above": message("above the claim"),
        "cannot-tell": message("our interval cannot tell"),
        "not-same-quantity": message("not what we measure"),
        "no-unit": message("the claim has no unit"),
    }
)
CLAIM_REASONS: Mapping[str, str] = MappingProxyType(
    {
        "no-aerosol": message("it is not said which aerosol"),
        "other-aerosol": message("claimed for an aerosol that we do not test with"),
        "no-speed": message("it is not said at which speed"),
        "not-top": message("claimed for another speed than the fastest"),
        "not-tested": message("that setting has no result yet"),
        "other-unit": message("the unit is not one of this quantity"),
        "no-value": message("the figure is no number to be held against"),
        "airflow": message("air moved is not clean air"),
        "room_area": message(
            "a floor without air changes and ceiling is no quantity to measure"
        ),
        "sound": message(
            "not comparable: a level needs its distance and room, and a sound power "
            "is another quantity"
        ),
        "filter_life": message("a filter's life is not measured here"),
        "clearance": message("not comparable: the room and what was left in it differ"),
    }
)
CADR_BASES: Mapping[str, str] = MappingProxyType(
    {
        "single": message("a single run; how much runs differ is not in the interval"),
        "repeatability": message(
            "the method's repeatability stands for how much runs differ"
        ),
        "random-effects": message(
            "how much these runs differ among themselves is in the interval"
        ),
    }
)
CLEARANCE_BASES: Mapping[str, str] = MappingProxyType(
    {
        "observed": message("observed"),
        "modelled": message("modelled from the decay rate"),
        "not-reached": message("not reached"),
    }
)
START_RULES: Mapping[str, str] = MappingProxyType(
    {
        "mixing_off": message("the mixing fan was off and the mixing wait was over"),
        "device_on": message("the device was on and the mixing wait was over"),
        "injected": message("the aerosol was in and the mixing wait was over"),
        "first_reading": message("the mixing wait after the first reading was over"),
        "ceiling": message("the last sensor came down from its ceiling"),
        "fixed": message("the record fixes it, with its reason"),
    }
)
END_RULES: Mapping[str, str] = MappingProxyType(
    {
        "fraction": message("the method's share of the start level was left"),
        "floor": message("a sensor came to its floor"),
        "time_limit": message("the method's time was up"),
        "last_reading": message("the readings end"),
        "fixed": message("the record fixes it, with its reason"),
    }
)
COST_GAPS: Mapping[str, str] = MappingProxyType(
    {
        "power": message("the power was not measured"),
        "standby": message("the power when off was not measured and counts as 0 W"),
        "price": message("the price of the device is not known"),
        "filter_price": message("the price of the filter is not known"),
        "filter_lifetime": message("the lifetime of the filter is not known"),
        "clean_air": message(
            "clean air that cannot be told from none has no cost for each 1,000 m³"
        ),
    }
)
LIFETIME_BASES: Mapping[str, str] = MappingProxyType(
    {
        "stated": message("stated by the maker"),
        "assumed": message("assumed by this bench"),
        "measured": message("measured"),
    }
)
PRICE_KINDS: Mapping[str, str] = MappingProxyType(
    {
        "list": message("list price"),
        "paid": message("price paid"),
        "carriage": message("carriage"),
        "duty": message("duty"),
    }
)
OUTCOMES: Mapping[str, str] = MappingProxyType(
    {
        "found": message("found"),
        "not_found": message("looked for and not found"),
        "not_checked": message("not looked up yet"),
    }
)
CLAIMED: Mapping[str, str] = MappingProxyType(
    {
        "cadr": message("CADR"),
        "airflow": message("Airflow"),
        "room_area": message("Room area"),
        "sound": message("Sound level"),
        "power": message("Power"),
        "filter_life": message("Filter life"),
        "clearance": message("Clearance time"),
    }
)
AEROSOLS: Mapping[str, str] = MappingProxyType(
    {
        "smoke": message("smoke"),
        "dust": message("dust"),
        "pollen": message("pollen"),
        "salt": message("salt"),
        "pm2_5": message("PM2.5"),
        "not-stated": message("aerosol not stated"),
    }
)
UNITS: Mapping[str, str] = MappingProxyType(
    {
        "m3/h": "m³/h",
        "cfm": "cfm",
        "L/s": "L/s",
        "m2": "m²",
        "ft2": "ft²",
        "months": message("months"),
        "ug/m3": "µg/m³",
        "1/cm3": "1/cm³",
        "unstated": message("no unit"),
    }
)


def word(words: Words, table: Mapping[str, str], code: str) -> str:
    """Return what a code is called, or the code itself where no word is known."""
    return words(table[code]) if code in table else code
