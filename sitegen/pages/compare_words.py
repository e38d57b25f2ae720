"""What the scripts of the compare page say."""

from __future__ import annotations

from typing import Any

from sitegen.pages.compare_state import NOTES
from sitegen.pages.words import Words


def own_words(words: Words) -> dict[str, str]:
    """Return what is said where a reader's own numbers are remembered."""
    return {
        "remember": words("Remember on this device"),
        "use": words("Use the numbers that this device remembers"),
        "back": words("Back to the archive's own numbers"),
    }


def compare_words(words: Words) -> dict[str, Any]:
    """Return the texts that the scripts fill in, by what they are for."""
    return {
        "notes": {trouble: words(text) for trouble, text in NOTES.items()},
        "noted": words("To be noted"),
        "mixed": words(
            "Some of these were measured under methods that are not declared "
            "comparable: their numbers stand side by side, but say nothing of which is "
            "better."
        ),
        "no_decay": words(
            "Decay curves are drawn on the pages of devices and of named comparisons; "
            "here the intervals are shown."
        ),
        "no_address": words(
            "The page is opened from disk, so the address bar cannot follow what you "
            "choose; the line below the figure does."
        ),
        "to": words("{low} to {high}"),
        "at_most": words("at most {level}"),
        "shown": words("{n} of {of} shown"),
        "all_shown": words("all {n} shown"),
        "none_shown": words("No result meets these filters."),
        "chosen": words("{n} of at most {most} configurations chosen"),
        "remove": words("Leave out {name}"),
        "leave_out": words("leave out"),
        "missing": words("not measured"),
        "ach": words("Air changes per hour in your room"),
        "ach_here": words("{value} air changes per hour"),
        "not_drawn": words("Not drawn, since a value was not measured: {names}."),
        "over_cap": words("over your quiet cap"),
        "near_cap": words("its interval reaches over your quiet cap"),
        "own_line": own_words(words),
        "in_metric": words("metric units"),
        "in_us": words("US units"),
        "own": words("Reckoned with your own numbers: {what}."),
        "tariff": words("{value} {currency} per kWh"),
        "hours": words("{value} hours a day"),
        "years": words("{value} years"),
        "discount": words("a discount of {value} % a year"),
        "life": words("every filter changed after {value} months"),
        "room": words("a room of {value} m²"),
        "ceiling": words("a ceiling at {value} m"),
        "ach_wanted": words(
            "only what gives at least {value} air changes an hour there, one machine "
            "alone, by the lower end of its interval"
        ),
        "ach_no_room": words(
            "{value} air changes an hour, which need the floor of a room to count"
        ),
        "cap": words("a quiet cap of {value} dB(A)"),
        "rate": words("amounts at {value} {code} for 1 {currency}"),
        "ranked_title": words("{quantity} of the chosen configurations"),
        "scatter_title": words("{y} against {x} of the chosen configurations"),
    }
