"""What the scripts of the compare page say."""

from __future__ import annotations

from typing import Any

from sitegen.pages.compare_state import NOTES
from sitegen.pages.own_words import own_said, own_words
from sitegen.pages.words import Words


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
        "fixed_figure": words(
            "The figure of this page stays as it is; the page to compare on draws "
            "others."
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
        **own_said(words),
        "ranked_title": words("{quantity} of the chosen configurations"),
        "scatter_title": words("{y} against {x} of the chosen configurations"),
        "point_hint": words(
            "Tap the chart, point at it, or use the arrow keys to read values."
        ),
        "hollow": words("Hollow marks: results that are not rated."),
        "below_zero": words("An arrow: the interval goes on below nought."),
        "edge": words(
            "Dashed line: the best trade-offs, beaten on both counts by none of the "
            "others."
        ),
        **_curve_words(words),
        "pick_none": words("Nothing tested is called that."),
        "pick_more": words("{n} of {of} shown; type more to narrow them down"),
        "pick_count": words("{n} to choose from"),
        "pick_added": words("Added: {name}"),
        "pick_full": words("No more can be compared at once; leave one out first."),
        "qr": words("QR code of {address}"),
        "qr_long": words("The address is too long for a QR code; copy it instead."),
    }


def _curve_words(words: Words) -> dict[str, str]:
    return {
        "configuration": words("Configuration"),
        "run": words("Run"),
        "points": words("Readings"),
        "point": words("{name}, run {run}: {percent} % after {time} min"),
        "point_fit": words("the fit there, 95 %: {low} to {high} %"),
        "watched": words("Watched for"),
        "decay_rate": words("Decay rate"),
        "curve_table": words("Decay rate of every run drawn"),
        "decay_title": words("Decay of the chosen configurations; {method}"),
        "decay_time": words("Time since the start, min"),
        "decay_share": words("Share of the start's concentration, %"),
        "decay_target": words("target {percent} %"),
        "decay_lines": words(
            "Strong: the middle run of a configuration, with the 95 % band of its fit. "
            "Thin: its repeats. Drawn from fewer readings than were fitted."
        ),
        "decay_no_bands": words("Too many lines for bands: none are drawn."),
        "decay_floored": words("Triangles: readings too low for this axis."),
        "decay_panels": words(
            "Each method has its own room and stands by itself: curves of different "
            "panels say nothing of which is better."
        ),
        "no_curve": words("No decay curve under a method in force: {names}."),
    }
