"""What the scripts of the compare page say."""

from __future__ import annotations

from sitegen.pages.words import Words


def compare_words(words: Words) -> dict[str, str]:
    """Return the texts that the scripts fill in, by what they are for."""
    return {
        **_notes(words),
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
        "over_cap": words("over your quiet cap"),
        "near_cap": words("its interval reaches over your quiet cap"),
        "own": words("Reckoned with your own numbers: {what}."),
        "tariff": words("{value} {currency} per kWh"),
        "hours": words("{value} hours a day"),
        "rate": words("amounts at {value} {code} for 1 {currency}"),
        "ranked_title": words("{quantity} of the chosen configurations"),
        "scatter_title": words("{y} against {x} of the chosen configurations"),
        "interval_note": words("Each mark with its 95 % interval."),
    }


def _notes(words: Words) -> dict[str, str]:
    return {
        "version": words(
            "This address was made by another version of the page; it is read as far "
            "as it is understood."
        ),
        "unknown_key": words("Ignored, because this page does not know it: {what}."),
        "unknown_row": words(
            "Left out, because it is not among the published results (any more): "
            "{what}."
        ),
        "too_many": words("Only the first {most} configurations are shown."),
        "unknown_quantity": words("Ignored, because it is no column here: {what}."),
        "bad_value": words("Ignored, because its value is not understood: {what}."),
        "no_costs": words(
            "Ignored, because what the costs are reckoned from is not in this page: "
            "{what}."
        ),
        "no_decay": words(
            "Decay curves are drawn on the pages of devices and of named comparisons; "
            "here the intervals are shown."
        ),
        "no_address": words(
            "The page is opened from disk, so the address bar cannot follow what you "
            "choose; the link below does."
        ),
    }
