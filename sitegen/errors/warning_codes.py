"""Words for what a careful colleague would ask about records that have no fault."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

_RUNS: Mapping[str, Code] = MappingProxyType(
    {
        "repeat-stands-off": Code(
            "A run stands off from its repeats",
            "{setting}: this run stands off from its repeats; the result is {with}"
            " m³/h with it and {without} m³/h without it",
            "runs of one setting that agree, or a decision that says why one does not",
            "look at its log and notes, then record what was found: sitegen run {run}"
            ' --decide OUTLIER "..."',
            "A run that lies far from the others of the same setting moves their"
            " common result. It stays in, for nothing is dropped in silence. If a"
            " cause is found in the log or the notes (a door, a wrong setting), reject"
            " the run with that cause; if none is found, say that it was looked at.",
            severity="warning",
        ),
        "repeats-differ": Code(
            "Repeats differ by more than the repeatability",
            "{setting}: its {runs} runs scatter by {scatter} %, where the repeatability"
            " of {method} is {repeatability} %",
            "runs that differ no more than those of other settings do",
            "look at these runs ({ids}); repeat the setting",
            "The repeatability of a method says how far repeats of one setting usually"
            " lie apart. Runs that differ by more (99 % point of F) have a cause of"
            " their own: a filter that was put in differently, a speed that wanders, a"
            " door. The result's interval is made from its own runs then, and is wide.",
            severity="warning",
        ),
        "single-run": Code(
            "A setting rests on a single run",
            "{settings}: measured in a single run",
            "two runs or more of each setting, better three",
            "repeat it; sitegen worklist says which repeats help readers most",
            "One run cannot show whether another would give the same. Where the method"
            " has an adopted repeatability it makes the interval, but a slip in that"
            " one run stays unseen.",
            severity="warning",
        ),
        "natural-stale": Code(
            "The newest natural decay is out of date",
            "the newest natural decay under {method} is {days} days old on {today}",
            "at most {most} days (natural_valid_days of the method)",
            "measure a natural decay, better two, with the next runs",
            "What the room does by itself is taken off every run with the device on. It"
            " changes with weather, leaks and what stands in the room, so that a"
            " natural decay counts only for runs within some days of it. Runs made now"
            " would have none.",
            severity="warning",
        ),
        "natural-lapsed": Code(
            "A run rests on a natural decay out of date",
            "the natural decay that is taken off was made more than {most} days from"
            " this run",
            "at most {most} days (natural_valid_days of the method)",
            "name a nearer natural decay, or repeat the run with one",
            "The run names its natural decays itself, and one of them lies further"
            " away than its method allows.",
            severity="warning",
        ),
    }
)

_BENCH: Mapping[str, Code] = MappingProxyType(
    {
        "calibration-lapsed": Code(
            "An instrument is past its calibration",
            "the newest calibration was valid until {until}, {days} days before"
            " {today}; accepted runs made since: {runs}",
            "a calibration that is valid on the day of a run",
            'calibrate it and add the day under "calibrations"',
            "Only instruments of methods in force are asked about. Runs made after the"
            " day still count: say what the next calibration finds, and correct them if"
            " it finds a change.",
            severity="warning",
        ),
        "price-old": Code(
            "A price is older than a year",
            "the newest price is of {day}, {days} days before {today}",
            "a price seen within a year",
            "look it up and add it: {command}",
            "Costs of a year and of ownership rest on it, and readers compare it with"
            " what they see in a shop today. Devices that are withdrawn or superseded"
            " are not asked about.",
            severity="warning",
        ),
        "tariff-old": Code(
            "The price of electricity is older than a year",
            "the tariff is of {day}, {days} days before {today}",
            "a tariff that held within a year",
            "look it up and change per_kwh, date and source in archive.yaml",
            "The running cost of every device is reckoned with it.",
            severity="warning",
        ),
        "rate-old": Code(
            "An exchange rate is older than a year",
            'the newest rate from "{currency}" is of {day}, {days} days before {today}',
            "a rate of within a year for each foreign currency in use",
            'add a rate under "rates" in archive.yaml; the older ones stay',
            "Prices in that currency are converted at the rate nearest to their day, so"
            " that prices of now would be converted at one of long ago.",
            severity="warning",
        ),
    }
)

_SHOWN: Mapping[str, Code] = MappingProxyType(
    {
        "claim-without-source": Code(
            "A claim has no source",
            "it is not said where the claim stands",
            '"source" (box, manual, shop page) or "url"',
            "add it; without a source nobody can check that it was made",
            "A claim is held against a measurement on the device's page. The maker and"
            " the reader must be able to look it up.",
            severity="warning",
        ),
        "sound-not-measured": Code(
            "Clean air is measured, sound is not",
            "{settings}: clean air is measured, sound is not",
            "a sound run for each setting with a CADR",
            "measure its sound level at the same filter and speed",
            "Readers choose by their ears as much as by clean air. Without a level the"
            " setting is missing from all that is sorted or capped by sound; a level is"
            " never borrowed from another filter or speed.",
            severity="warning",
        ),
        "comparison-mixed": Code(
            "A comparison mixes methods that are not comparable",
            "results of methods that are not declared comparable stand together:"
            " {sets}",
            "methods of one comparable set for each quantity compared",
            'leave some out, or declare "comparable_with" in a method if it is true',
            "The page says so, marks the rows apart and ranks nothing across the two."
            " That may be what the comparison is for; if it is not, readers see less"
            " than they could.",
            severity="warning",
        ),
        "alt-says-nothing": Code(
            "The text for a picture says nothing",
            '"{alt}" does not say what the picture shows',
            "what somebody who cannot see it needs to know, in one line",
            "describe it: shape, size, what is special about it",
            "A screen reader says already that there is a picture, and often its file"
            " name. The text is what stands in its place.",
            severity="warning",
        ),
    }
)

WARNINGS: Mapping[str, Code] = MappingProxyType({**_RUNS, **_BENCH, **_SHOWN})
