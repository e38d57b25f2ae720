"""Words for what is wrong with a raw log."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

_STATE = "or state it with --log"

INTAKE_FILE: Mapping[str, Code] = MappingProxyType(
    {
        "intake-empty": Code(
            "The log is empty",
            "the file holds nothing",
            "a header and rows of readings",
            "export the log again; look whether the card was full",
            "A file without a single character says nothing about a run.",
        ),
        "intake-no-text": Code(
            "The log is no text",
            "the file is a workbook or another file of bytes, not a text",
            "a text with a reading on each line (CSV)",
            'open it in the program that wrote it and export it as "CSV"',
            "Workbooks and databases of loggers hold their cells in a form of their"
            " own, with dates that depend on settings. The exported text can be read"
            " again in ten years.",
        ),
        "intake-encoding": Code(
            "The log has another encoding",
            "the byte {byte} here is no {stated}",
            "the encoding that the instrument's record names",
            "write encoding: {guess} in its log field, " + _STATE + " encoding={guess}",
            "The same byte is another letter in each encoding. Readings are safe,"
            " but the names of columns may not be found.",
        ),
        "intake-header-row": Code(
            "The header is beyond the end",
            "the header should stand on line {row}, and the log has {count} lines",
            "the number of the line with the column names",
            "correct header_row in the instrument's log field, "
            + _STATE
            + " header_row=N",
            "Loggers write a few lines about themselves before the header; another"
            " version of one may write more or fewer.",
        ),
        "intake-no-column": Code(
            "A column is missing",
            'there is no column "{name}"',
            "the columns here are {columns}",
            'did you mean "{guess}"? Correct the log field of the instrument, '
            + _STATE,
            "The instrument's record says which columns hold time and readings."
            " Another export, another version or another header line has others.",
        ),
        "intake-column-twice": Code(
            "A column is there twice",
            'there are two columns "{name}"',
            "each name once",
            "rename one of the two in a copy of the log",
            "Which of the two columns is meant cannot be known.",
        ),
        "intake-no-rows": Code(
            "There are no rows",
            "no row of readings follows the header",
            "a row for each reading",
            "check header_row and delimiter in the instrument's log field",
            "Either the logger recorded nothing, or its log is described wrongly.",
        ),
        "intake-many-odd-rows": Code(
            "Many rows do not fit the header",
            "the row has {found} cells and the header has {wanted}"
            " (such rows: {count})",
            "rows with as many cells as the header",
            "check delimiter, decimal_mark and header_row in the log field of the"
            " instrument",
            "A few broken rows are left out. Where many differ, the form is another"
            " one: often decimal commas in a file parted by commas, which make two"
            " cells of one number.",
        ),
        "intake-exists": Code(
            "There is a file already",
            "{path} exists already",
            "a name that is free",
            "give the run another id with --run, or delete the file yourself",
            "Intake never writes over a file. A run that is taken in again gets a"
            " record of its own, so that what was published can be traced.",
        ),
    }
)

INTAKE_TIME: Mapping[str, Code] = MappingProxyType(
    {
        "intake-no-time-column": Code(
            "No column of time was found",
            "no column is a time for certain",
            "the columns here are {columns}",
            "state it with --log time.columns=NAME",
            "A column of time has dates, times of day, or numbers that run one way"
            " under a name that says so.",
        ),
        "intake-times-alike": Code(
            "Several columns hold a time",
            "the columns {names} all hold a time",
            "one time (or a date and a time of day)",
            "state which counts with --log time.columns=NAME",
            "Loggers write the local time beside UTC, or the time of the phone"
            " beside their own. Which is right only you can know.",
        ),
        "intake-day-or-month": Code(
            "Day and month cannot be told apart",
            '"{value}" can be {one} or {other}, and no row of the log decides',
            "day-month or month-day",
            "look at the calendar, then state it with --log time.form=day-month or"
            " --log time.form=month-day",
            "Dates with the year last are written in two orders. Unless a number"
            " above 12 or a midnight within the log tells them apart, sitegen does"
            " not guess: a run under a wrong date takes the wrong natural decay and"
            " the wrong calibration.",
        ),
        "intake-elapsed-unit": Code(
            "The unit of the time is not said",
            'the column "{name}" (first "{value}") does not say its unit',
            "ms, s, min or h",
            "state it with --log time.unit=s, for example",
            "A decay rate is wrong by as much as its time is, so its unit is not"
            " guessed.",
        ),
        "intake-epoch-unit": Code(
            "The count of time leads to another age",
            '"{value}" counted in {unit} would be in the year {year}',
            "s, ms or us since 1970",
            "correct unit in the log's time, " + _STATE + " time.unit=ms",
            "Counts from 1970 are kept in seconds by some loggers and in thousandths"
            " or millionths by others.",
        ),
        "intake-time-form": Code(
            "A time is not understood",
            '"{value}" is no time of the form {form}',
            "a time as the log field of the instrument says",
            "did the log change to {guess}? Correct time.form, " + _STATE,
            "The form is one for the whole log. A day that the calendar does not"
            " have is a sign that day and month are the other way round.",
        ),
        "intake-more-times": Code(
            "More times that are not understood",
            "more times that are not understood: {count}",
            remedy="correct the form; one cause often makes them all",
            about="The first five are shown with their lines.",
        ),
        "intake-no-time": Code(
            "A row has no time",
            "the row has readings but no time",
            "a time in each row",
            "delete the row in a copy of the log",
            "A reading without its time cannot be used.",
        ),
        "intake-no-zone": Code(
            "The time zone is not said",
            "the log has times of day, and nothing says in which zone its clock is",
            "an IANA name such as Europe/Oslo, or an offset such as +01:00",
            "write zone in the instrument's log field (time), "
            + _STATE
            + " time.zone=Europe/Oslo",
            "A run's record says the offset from UTC, so that its time means one"
            " moment. A logger that does not follow the change of clocks has an"
            " offset all year.",
        ),
        "intake-unknown-zone": Code(
            "There is no such time zone",
            'there is no time zone "{value}"',
            "an IANA name such as Europe/Oslo, or an offset such as +01:00",
            'did you mean "{guess}"?',
            "Names of zones are continent and city. Abbreviations such as CST stand"
            " for several zones.",
        ),
        "intake-repeated-hour": Code(
            "An hour occurred twice",
            '"{value}" occurred twice in {zone}, at {first} and at {second}, and the'
            " log does not show which it was",
            "a log that begins before the hour or goes on after it",
            "state the offset that held, with --log time.zone={first} or"
            " --log time.zone={second}",
            "When clocks are set back an hour is lived through twice. Where the log"
            " itself steps back, or continues a regular step, the two are told"
            " apart; otherwise sitegen does not guess.",
        ),
        "intake-lost-hour": Code(
            "An hour did not exist",
            '"{value}" did not exist in {zone}: clocks were set forward',
            "times that occurred",
            "if the logger does not follow the change of clocks, state its offset,"
            " with --log time.zone=+01:00",
            "When clocks are set forward an hour is left out. A log with times in"
            " it was written by a clock that stayed as it was.",
        ),
        "intake-no-start": Code(
            "The log does not say when it began",
            "the log counts elapsed time only",
            "date and time with offset at its first row",
            "add --started 2026-03-09T14:45+01:00 with the right moment",
            "A run's record says when it was made: the calibration and the natural"
            " decay that count are found by it.",
        ),
        "intake-no-date": Code(
            "The log does not say its date",
            'the times have no date (first "{value}")',
            "the day on which the log begins",
            "add --date 2026-03-09 with the right day",
            "A log that runs past midnight is counted on by itself.",
        ),
        "intake-time-back": Code(
            "The time runs backward",
            "the time is {seconds} s before that of line {line}",
            "times that increase, or decrease, all through",
            "take the part before or after it with --from and --to; a clock that was"
            " set during a run makes its time worthless",
            "Somebody set the logger's clock, or two logs were joined. Within a run"
            " nobody can know which of the times is right.",
        ),
        "intake-time-repeated": Code(
            "Rows share a time",
            "the row has the time of line {line} and other readings"
            " (such rows: {count})",
            "each time once",
            "let the logger write seconds; or average the rows of each time with"
            " --log time.repeated=mean",
            "A logger that writes whole minutes and samples faster gives several"
            " rows one time. The mean of each minute keeps the decay rate; a guess"
            " where in the minute each row belongs would not be a measurement.",
        ),
    }
)

INTAKE_READINGS: Mapping[str, Code] = MappingProxyType(
    {
        "intake-no-readings": Code(
            "No column of readings was found",
            "no column can be given to a size fraction for certain",
            "columns {columns}; the instrument reads {fractions}",
            "state it with --log columns.NAME=pm2_5, for example",
            "Columns are known by names such as PM2.5, or because there is only one.",
        ),
        "intake-columns-alike": Code(
            "Several columns could be one fraction",
            "the columns {names} could all be {fraction}",
            "one column for each size fraction",
            'state which counts with --log "columns.{name}={fraction}", for example',
            "Optical modules write several corrections of one reading side by side."
            " They differ by a factor that changes with level, so the choice changes"
            " results: make it once and keep it.",
        ),
        "intake-fraction": Code(
            "The instrument does not read this fraction",
            'the instrument "{instrument}" does not read "{value}"',
            "{choices}",
            "correct the log field of the instrument, or its fractions",
            "The log field gives a column to a size fraction that the record does"
            " not describe.",
        ),
        "intake-unit": Code(
            "The unit is another one",
            "the log says {seen}, and {stated} is taken for {fraction}",
            "the unit that the log is written in",
            "write units: {{{fraction}: {seen}}} in the log field of the instrument, "
            + _STATE
            + " units.{fraction}={seen}",
            "A unit that differs makes every reading wrong by a power of ten, and"
            " with it zero offset, ceiling and start range. It is converted once it"
            " is stated.",
        ),
        "intake-unit-kind": Code(
            "The units cannot be converted",
            "{seen} of the log cannot be turned to {stated} of the record for"
            " {fraction}",
            "two masses or two counts in a volume",
            "correct units in the log field, or unit of the fraction",
            "A count of particles has no mass without their size.",
        ),
        "intake-not-a-number": Code(
            "A reading is not a number",
            '"{value}" is not a number (such cells: {count})',
            "a number, or a text that the log field lists",
            "if it stands for a missing reading, add it to missing; if the reading"
            ' was above the range, to over, as in --log "missing={value}"',
            "Each logger has words of its own for what it could not measure. A word"
            " that nobody explained is not dropped in silence.",
        ),
        "intake-decimal-mark": Code(
            "The decimal mark is the other one",
            '"{value}" has another decimal mark than {stated}',
            "one decimal mark in the whole log",
            "correct decimal_mark in the log field of the instrument, "
            + _STATE
            + " decimal_mark=comma or point",
            "A mark that is read wrongly makes readings a thousand times too large,"
            " or none at all.",
        ),
        "intake-long": Code(
            "The log is longer than a run",
            "the log has {hours} hours; a run has {most} at the most",
            "the part that is the run",
            "take it out with --from and --to; {rises}",
            "A logger that is left on holds days. Only you know which rise was a test.",
        ),
        "intake-little": Code(
            "Too little of the log is left",
            "rows in the part asked for: {count}",
            "at least {least} rows, between {first} and {last}",
            "check --from and --to; without an offset they are in the log's own zone",
            "A part that lies beside the log usually has another day or zone.",
        ),
        "intake-apart": Code(
            "The logs do not overlap",
            "none of its readings lies within half a step of those of {other}",
            "logs of one run",
            "check zone and clock of both instruments",
            "Instruments of one run are joined by their times. A clock that is an"
            " hour off is usually a zone that does not follow the change of clocks.",
        ),
    }
)
