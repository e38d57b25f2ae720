"""Words for what is wrong with a series file."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

SERIES: Mapping[str, Code] = MappingProxyType(
    {
        "series-empty": Code(
            "The series is empty",
            "the file holds no header and no rows",
            "a header such as elapsed_min,bench-a.pm2_5 and a row for each reading",
            "export the log again, or delete the file",
            "A series begins with a line that names its columns.",
        ),
        "series-no-header": Code(
            "The header is missing",
            "the first line holds numbers",
            "a header such as elapsed_min,bench-a.pm2_5",
            "add a first line that names the columns",
            "Without the header nobody knows which instrument and which size"
            " fraction a column holds.",
        ),
        "series-no-rows": Code(
            "There are no readings",
            "nothing follows the header",
            "a row for each reading",
            "export the log again",
            "A series without rows cannot be measured.",
        ),
        "series-semicolons": Code(
            "The cells are parted by semicolons",
            "the cells are parted by semicolons",
            "commas between cells, points for decimals",
            "export it as CSV with commas, or let sitegen intake convert the log",
            "Spreadsheets set to a language with decimal commas part the cells of a"
            " CSV file by semicolons.",
        ),
        "series-tabs": Code(
            "The cells are parted by tabs",
            "the cells are parted by tabs",
            "commas between cells",
            "export it as CSV with commas, or let sitegen intake convert the log",
            "Text copied from a spreadsheet, or exported as text, has tabs between"
            " its cells.",
        ),
        "series-no-time-column": Code(
            "The first column is no time",
            'the first column is called "{name}"',
            "elapsed_min, elapsed_s or time",
            'did you mean "{guess}"?',
            "A series begins with its time: minutes or seconds elapsed, or date and"
            " time with the offset from UTC.",
        ),
        "series-two-times": Code(
            "There is a second column of time",
            '"{name}" stands beside another column of time',
            "one column of time, first in the row",
            "delete one of the two",
            "With two times it is open which of them counts.",
        ),
        "series-empty-column": Code(
            "A column has no name",
            "a column has no name",
            "INSTRUMENT.FRACTION, for example bench-a.pm2_5",
            "name the column, or delete the comma that makes it",
            "A comma at the end of the header makes an empty column; so does an empty"
            " column of a spreadsheet.",
        ),
        "series-column-name": Code(
            "The name of a column is not understood",
            '"{name}" does not name an instrument and a size fraction',
            "INSTRUMENT.FRACTION, for example bench-a.pm2_5",
            "write the id of the instrument, a point and the size fraction",
            "Each column holds what one instrument read of one size fraction.",
        ),
        "series-column-twice": Code(
            "A column is given twice",
            'there are two columns "{name}"',
            "each column once",
            "rename or delete one of the two",
            "Which of the two columns counts cannot be known.",
        ),
        "series-unknown-instrument": Code(
            "There is no such instrument",
            'there is no instrument "{value}"',
            "{choices}",
            'did you mean "{guess}"?',
            "The first part of a column's name is the id of an instrument in"
            " records/instruments.",
        ),
        "series-unknown-fraction": Code(
            "The instrument does not read this fraction",
            'the instrument "{instrument}" does not read a fraction "{value}"',
            "{choices}",
            'did you mean "{guess}"?',
            "The second part of a column's name is a size fraction that the"
            " instrument's record lists.",
        ),
        "series-no-readings": Code(
            "There is no column of readings",
            "the file has a column of time only",
            "columns named INSTRUMENT.FRACTION",
            "add the columns of the instruments",
            "Without readings there is nothing to fit.",
        ),
        "series-unit-row": Code(
            "A row of units stands below the header",
            "the row holds words, most likely units",
            "numbers",
            'delete the row, or begin it with "#"',
            "The unit of the time is in its column's name; that of the readings is in"
            " the instrument's record.",
        ),
        "series-cells": Code(
            "A row has another number of cells than the header",
            "the row has {found} cells and the header has {wanted}",
            "{wanted} cells",
            "check the row for a missing or surplus comma",
            "A row with a cell too many or too few has readings under the wrong names.",
        ),
        "series-trailing-comma": Code(
            "A row ends with a comma too many",
            "the row ends with a comma too many",
            "{wanted} cells",
            "delete the comma",
            "A comma at the end makes an empty cell that no column has, and can hide"
            " that the readings have shifted.",
        ),
        "series-decimal-comma": Code(
            "Decimals are written with a comma",
            "a number seems to have a decimal comma",
            "a point for decimals",
            "export it with decimal points, or let sitegen intake convert the log",
            "A comma parts two cells, so a number with a decimal comma becomes two"
            " wrong ones.",
        ),
        "series-quotes": Code(
            "A quote is not closed",
            "a quote in this row is not closed, or stands inside a cell",
            "cells without quotes",
            "delete the quotes",
            "Numbers need no quotes.",
        ),
        "series-not-a-number": Code(
            "A reading is not a number",
            '"{value}" is not a number',
            "a number, or an empty cell where the reading is missing",
            "correct the cell, or empty it",
            "Units, thousands separators and marks such as < or * do not belong in"
            " a cell.",
        ),
        "series-missing-word": Code(
            "A word stands for a missing reading",
            '"{value}" stands in place of a reading',
            "an empty cell where the reading is missing",
            "empty the cell",
            "Each logger has a word of its own for a missing reading. In a series a"
            " missing reading is an empty cell.",
        ),
        "series-not-finite": Code(
            "A reading is not finite",
            '"{value}" is not a finite number',
            "a finite number, or an empty cell where the reading is missing",
            "empty the cell",
            "NaN and infinity come from a logger or a spreadsheet that could not"
            " work something out; they are no readings.",
        ),
        "series-no-time": Code(
            "A row has no time",
            "the row has no time",
            "a time in each row",
            "add the time, or delete the row",
            "A reading without its time cannot be used. Empty rows at the end of a"
            " spreadsheet can be deleted.",
        ),
        "series-time-form": Code(
            "A date and time is not understood",
            '"{value}" is not a date and time of the form expected',
            "for example 2026-03-09T14:45:30+01:00",
            "write it as ISO 8601 has it, or use elapsed_min",
            "Day and month can be confused in any other form.",
        ),
        "series-no-offset": Code(
            "The offset from UTC is missing",
            'the time "{value}" does not say its offset from UTC',
            "for example 2026-03-09T14:45:30+01:00, or Z for UTC",
            "add the offset that the clock had, or use elapsed_min",
            "Without the offset, an hour is repeated or lost when clocks are changed.",
        ),
        "series-time-repeated": Code(
            "A time stands twice",
            'the time "{value}" stands on line {line} already',
            "times that increase from row to row",
            "delete one of the two rows, or give the time with more digits",
            "Two readings cannot both be the one of a moment. Loggers that write"
            " whole minutes only repeat times when they sample faster.",
        ),
        "series-time-back": Code(
            "The time runs backward",
            'the time "{value}" comes before "{before}" on line {line}',
            "times that increase from row to row",
            "put the rows in order of time",
            "Two logs joined in the wrong order, a clock that was set, or a log that"
            " begins with its newest row makes time run backward.",
        ),
        "series-too-wide": Code(
            "A series has too many columns",
            "the header has {found} columns",
            "at most {most}",
            "check that it is the right file, and the commas of its first line",
            "A run is read by a few instruments. A file this wide is another table, or"
            " its header is damaged.",
        ),
        "series-too-long": Code(
            "A series has too many rows",
            "the file has {found} lines",
            "at most {most}",
            "keep the stretch of the run, or fewer readings a minute",
            "A decay takes hours. A file this long is most likely the log of many days,"
            " out of which the run has to be cut.",
        ),
        "series-more": Code(
            "More of the same",
            'there are {count} more of these ("{title}")',
            remedy="correct the first ones; one cause often makes them all",
            about="Of each sort of fault in a series the first 20 are shown.",
        ),
    }
)
