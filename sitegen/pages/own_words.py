"""What is said of a reader's own numbers."""

from __future__ import annotations

from sitegen.pages.words import Words


def own_words(words: Words) -> dict[str, str]:
    """Return what is said where a reader's own numbers are remembered."""
    return {
        "remember": words("Remember on this device"),
        "use": words("Use the numbers that this device remembers"),
        "back": words("Back to the archive's own numbers"),
        "waits": words("This device remembers other numbers."),
        "misread": words("Left out of the address, for it cannot be used: {what}."),
        "refused": words("Not a number that can be used: {names}."),
    }


def own_said(words: Words) -> dict[str, str]:
    """Return what says which of a reader's own numbers are set, by their names."""
    return {
        "own": words("Reckoned with your own numbers: {what}."),
        "tariff": words("{value} {currency} per kWh"),
        "hours": words("{value} hours a day"),
        "year": words.plural("{n} year", "{n} years", 1),
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
    }
