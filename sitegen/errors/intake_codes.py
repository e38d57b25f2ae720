"""Words for what intake did to a raw log, and for what it has to be told."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code
from sitegen.errors.intake_log_codes import INTAKE_FILE, INTAKE_READINGS, INTAKE_TIME

INTAKE_DONE: Mapping[str, Code] = MappingProxyType(
    {
        "intake-other-encoding": Code(
            "The encoding was seen from the bytes",
            "the file is {found}, not {stated}",
            remedy="write encoding: {found} in the log field of the instrument",
            about="A byte order mark, or a zero in every second byte, leaves no doubt.",
            severity="warning",
        ),
        "intake-trailing": Code(
            "Rows end with empty cells too many",
            "rows that end with empty cells beyond the header: {count}; those cells"
            " were left out",
            "as many cells as the header has",
            about="Some loggers end each row with a delimiter.",
            severity="warning",
        ),
        "intake-header-again": Code(
            "The header stands there again",
            "the header is repeated; the row was left out",
            remedy="check that the rows on both sides belong to one run",
            about="Many loggers write their header at each start, so that something"
            " was switched on again here.",
            severity="warning",
        ),
        "intake-half-row": Code(
            "The last row is half-written",
            "the last row breaks off; it was left out",
            remedy="look whether the run had ended by then",
            about="A logger that loses power or a card that is pulled leaves a row"
            " without its end. What is left of its number cannot be trusted.",
            severity="warning",
        ),
        "intake-no-line-end": Code(
            "The last row has no line end",
            "the last row has no line end but looks whole; it was kept",
            remedy="compare it with the row before",
            about="Some programs leave the last line end out, and some stop in the"
            " middle of a number.",
            severity="warning",
        ),
        "intake-odd-row": Code(
            "A row does not fit the header",
            "the row has not the {wanted} cells of the header but {found}; it was left"
            " out",
            remedy="look at it: a restart, a remark, or a row that broke off",
            about="A row with a cell too few or too many has readings under the"
            " wrong names.",
            severity="warning",
        ),
        "intake-quote": Code(
            "A quote is not closed",
            "a quote in this row is not closed; the row was left out",
            remedy="look at it in the log",
            about="What stands after an open quote cannot be parted into cells.",
            severity="warning",
        ),
        "intake-unit-row": Code(
            "A row of units stands below the header",
            "a row of units was left out ({value})",
            remedy="nothing needs to be done",
            about="Units below the header are held against the instrument's record.",
            severity="warning",
        ),
        "intake-turned": Code(
            "The log has its newest row first",
            "the rows run backward in time; they were turned",
            remedy="write newest_first: yes in the log field of the instrument",
            about="Some exports begin with the latest reading.",
            severity="warning",
        ),
        "intake-clock-set": Code(
            "Clocks were changed during the log",
            "clocks went from {before} to {after} before this row; times are"
            " continuous in UTC",
            remedy="check that the logger follows its zone",
            about="When clocks are set back, an hour of the log occurs twice, told"
            " apart by the order of its rows.",
            severity="warning",
        ),
        "intake-same-row": Code(
            "Rows stand there twice",
            "rows that repeat time and readings of the row before: {count}, the first"
            " on this line; each was taken once",
            remedy="nothing needs to be done",
            about="Loggers that send their rows by radio repeat what was not"
            " acknowledged.",
            severity="warning",
        ),
        "intake-averaged": Code(
            "Rows that share a time were averaged",
            "{count} rows share {left} times; each time has their mean",
            remedy="let the logger write seconds",
            about="The mean of the rows of a minute keeps the decay rate.",
            severity="warning",
        ),
        "intake-gap": Code(
            "The log has a gap",
            "{minutes} minutes before this row have no readings",
            remedy="see the check GAP; note the reason in the run's record",
            about="Gaps of more than a minute and five steps are told, the three"
            " longest of them.",
            severity="warning",
        ),
        "intake-missing": Code(
            "Readings are missing",
            "readings missing: {count}, the first on this line; their cells are empty",
            remedy="nothing needs to be done",
            about="Empty cells and the texts under missing stand for no reading.",
            severity="warning",
        ),
        "intake-over": Code(
            "Readings were above the range",
            "readings above the range: {count}, the first on this line; {range}"
            " stands in their place",
            remedy="the fit begins after the last of them",
            about="The top of the range is what the fit takes for a ceiling, and"
            " nothing is fitted before the last reading there.",
            severity="warning",
        ),
        "intake-cap-kept": Code(
            "Readings stand at the cap",
            "readings at the cap of {cap} or above: {count}, the first on this line",
            remedy="the fit begins after the last of them",
            about="The cap is near the top of the range, where the fit looks for a"
            " ceiling.",
            severity="warning",
        ),
        "intake-cap-emptied": Code(
            "Readings at the cap were left empty",
            "readings at the cap of {cap}: {count}, the first on this line; they were"
            " left empty",
            remedy="if the instrument never reads above the cap, write it as its range",
            about="A capped reading says only that there was at least so much. Below"
            " the top of the range the fit could not tell it from a reading.",
            severity="warning",
        ),
        "intake-held": Code(
            "A reading was held",
            "{value} stands unchanged in {count} rows, to line {last}",
            remedy="look whether the sensor was still connected; see the check HELD",
            about="A logger that has lost its sensor often repeats the last reading."
            " The readings are kept as they are: that they are held is a finding.",
            severity="warning",
        ),
        "intake-shifted": Code(
            "Readings were put on the clock of the first log",
            "{count} of {of} times have a reading of {instrument} within half a step;"
            " the largest shift is {seconds} s",
            remedy="start the loggers together, or let them log more often",
            about="A series has one column of time. Readings of a second log are"
            " taken to the nearest time of the first, half a step away at the most.",
            severity="warning",
        ),
    }
)

INTAKE_RUN: Mapping[str, Code] = MappingProxyType(
    {
        "intake-choose": Code(
            "Something has to be said first",
            "it is not known which {what} is meant",
            "{choices}",
            "add {option}",
            "Intake never chooses between instruments, devices or methods. On a"
            " terminal it asks; elsewhere an option says it.",
        ),
        "intake-no-event": Code(
            "An event is needed",
            "nothing says when {what}",
            "minutes of the series, or a time of day",
            "add --event {event}=MINUTE; {peak}",
            "The method's rule finds the fitted part from what happened when. The"
            " level alone cannot say when a device was switched on.",
        ),
        "intake-event": Code(
            "An event is not understood",
            '"{value}" is not an event',
            "WHAT=WHEN, with WHAT one of {choices}",
            "write it as, for example, device_on=9 or device_on=14:09",
            "WHEN is minutes of the series' elapsed time, or a time of day in the"
            " zone of the log.",
        ),
        "intake-when": Code(
            "A moment is not understood",
            '"{value}" is not a moment of the log',
            "minutes, 14:09, or 2026-03-09T14:09",
            "a time of day needs a log with dates; else write minutes",
            "Without an offset a time is by the log's own clock.",
        ),
        "intake-form": Code(
            "The log field is not understood",
            '{field}: "{value}" is not taken here',
            "the fields of log in an instrument's record",
            "compare it with `sitegen intake --help`",
            "What --log states has the names and values of an instrument's log field.",
        ),
        "intake-unwritten": Code(
            "Nobody has said that it may be written",
            "nothing was written",
            "--yes, or an answer on a terminal",
            "look at the plot, the fitted part and the checks above; then add --yes",
            "A log is looked at before it becomes evidence.",
        ),
        "intake-unconfirmed": Code(
            "A guess is not confirmed",
            "how the log reads was guessed, and nobody has confirmed it",
            "a log field in {file}, or --yes",
            "read what was guessed above; then add --yes, and --keep to write it into"
            " the record",
            "A guess can look right and be wrong by a factor, so it counts only once"
            " somebody has looked at it.",
        ),
    }
)

INTAKE: Mapping[str, Code] = MappingProxyType(
    {**INTAKE_FILE, **INTAKE_TIME, **INTAKE_READINGS, **INTAKE_DONE, **INTAKE_RUN}
)
