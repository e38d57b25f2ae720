"""Words for what is wrong with a field of a record."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

SHAPE: Mapping[str, Code] = MappingProxyType(
    {
        "missing-field": Code(
            "A field is missing",
            'the field "{name}" is missing',
            "it holds: {about}",
            "add it",
            "A record of this kind cannot be understood without the field.",
        ),
        "unknown-field": Code(
            "There is no such field",
            'there is no field "{name}" here',
            "the fields are {fields}",
            'did you mean "{guess}"?',
            "A field that nobody reads would be lost silently, so it is refused."
            " It may be misspelt, indented too far or too little, or belong to"
            " another kind of record.",
        ),
        "id-in-file": Code(
            "The id stands in the file",
            "the id is not written in the file",
            'the name of the file says it: "{id}"',
            "delete the line",
            "The name of a file is the id of its record. A second one inside could"
            " only contradict it.",
        ),
        "not-one-of": Code(
            "The word is none of those allowed",
            '"{value}" is not taken here',
            "{choices}",
            'did you mean "{guess}"?',
            "The field takes one of a few words, so that records can be compared.",
        ),
        "not-a-list": Code(
            "A list is expected",
            '"{value}" is not a list',
            "a list, each item after a hyphen or all in [brackets]",
            "write it as a list, also when it has a single item",
            "The field can hold several values and is a list even when there is one.",
        ),
        "not-fields-here": Code(
            "A group of fields is expected",
            '"{value}" stands where a group of fields belongs',
            "fields, indented below the name",
            "write each as name: value",
            "The field is a group of fields of its own, such as value and uncertainty.",
        ),
        "not-understood": Code(
            "The value is not understood",
            '"{value}" is not understood ({problem})',
            remedy="compare it with the example of this record",
            about="The value does not fit the field, for a reason that has no entry of"
            " its own.",
        ),
    }
)

SCALARS: Mapping[str, Code] = MappingProxyType(
    {
        "not-a-text": Code(
            "A text is expected",
            "a list or a group of fields stands where a text belongs",
            "one text",
            'put it into quotes if it contains ": " or begins with a bracket',
            "A value with a colon and a space in it is read as a group of fields;"
            " one that begins with a bracket, as a list.",
        ),
        "empty-text": Code(
            "The text is empty",
            "the text is empty",
            "at least one character",
            "write it, or leave the line out if the field can be left out",
            "Quotes with nothing but blanks between them say nothing.",
        ),
        "text-too-long": Code(
            "The text is too long for a record",
            "the text has {found} characters",
            "at most {most}",
            "make a prose page of it in texts and link to that",
            "A record's text is a remark, an opinion or a description. What fills many"
            " pages is easier to find and to read as a page of its own.",
        ),
        "not-one-line": Code(
            "The text has more than one line",
            "the text has a line end or a tab in it",
            "one line",
            "write it on one line",
            "The text is used as a name, a title or a label, and those have one line.",
        ),
        "not-an-id": Code(
            "That is no id",
            '"{value}" cannot be an id',
            "lower-case letters a to z, digits and hyphens; a letter or digit first;"
            " 64 at the most",
            "write the id as the file of the record is called, without its ending",
            "Ids are parts of permanent addresses and must read the same everywhere.",
        ),
        "not-a-number": Code(
            "A number is expected",
            '"{value}" is not a number',
            "a number such as 20000, 2e4 or 0.25",
            "write digits with a point for decimals, without unit and without"
            " separators",
            "The unit of a quantity is in the name of its field. Decimal commas,"
            " thousands separators, yes and no, NaN and infinity are refused,"
            " because each can be read in more than one way.",
        ),
        "not-a-whole-number": Code(
            "A whole number is expected",
            '"{value}" is not a whole number',
            "a whole number such as 3 or 2e4",
            "write it without decimals",
            "The field counts something.",
        ),
        "out-of-bounds": Code(
            "The number is out of bounds",
            "{value} is out of bounds",
            "{bounds}",
            "check the number and its unit",
            "The number cannot be right for what the field holds. Often the unit is"
            " another one, or a digit or sign slipped in.",
        ),
        "not-yes-or-no": Code(
            "Yes or no is expected",
            '"{value}" is neither yes nor no',
            "yes or no (also true, false, on, off)",
            "write yes or no",
            "The field answers a question with yes or no.",
        ),
        "not-a-date": Code(
            "A date is expected",
            '"{value}" is not a date of the form expected',
            "year-month-day, for example 2026-03-09",
            "write it in this form",
            "Dates are written as ISO 8601 has it, so that day and month cannot be"
            " confused.",
        ),
        "impossible-date": Code(
            "There is no such day",
            'the calendar has no "{value}"',
            "a day that exists",
            "check month and day",
            "The date has the right form, but the month has fewer days, or the year"
            " fewer months.",
        ),
        "not-a-moment": Code(
            "A date and time is expected",
            '"{value}" is not a date and time of the form expected',
            "for example 2026-03-09T14:45+01:00",
            "write date, T, time and the offset from UTC",
            "Times are written as ISO 8601 has it.",
        ),
        "no-offset": Code(
            "The offset from UTC is missing",
            'the time "{value}" does not say its offset from UTC',
            "for example 2026-03-09T14:45+01:00, or Z for UTC",
            "add the offset that the clock had",
            "Without the offset a time means another moment in each time zone, and"
            " two moments when clocks are set back.",
        ),
        "not-a-clock": Code(
            "A time in the video is expected",
            '"{value}" is not a time in a video',
            "m:ss or h:mm:ss, for example 4:05",
            "write it in this form",
            "Chapters begin at a time counted from the start of the video.",
        ),
        "not-a-link": Code(
            "An address is expected",
            '"{value}" is not an address that can be linked',
            "an address that begins with https:// or http:// (for a contact, also"
            " mailto:)",
            "copy the whole address from the browser",
            "Other kinds of addresses can run something on a reader's device or lead"
            " nowhere. Blanks, quotes and backslashes do not occur in addresses.",
        ),
        "not-an-amount": Code(
            "An amount of money is expected",
            '"{value}" is not an amount of money',
            "digits with at most three decimals, for example 249 or 249.90",
            "write the amount alone; the currency has a field of its own",
            "Amounts are kept exactly, in the main unit of the currency. They are"
            " not negative.",
        ),
        "not-a-currency": Code(
            "A currency code is expected",
            '"{value}" is not a currency code',
            "three capital letters as in ISO 4217, for example EUR",
            "write the code instead of the sign",
            "Signs such as $ stand for more than one currency.",
        ),
        "not-a-file-name": Code(
            "The name of a file is expected",
            '"{value}" is not the name of a file in this folder',
            "a relative path with forward slashes that does not leave the folder",
            "write the path as it is below its folder, for example front.jpg",
            "Paths with a drive, a leading slash, a backslash or two points would"
            " lead out of the archive or work on one system only.",
        ),
        "not-a-configuration": Code(
            "A configuration is expected",
            '"{value}" is not a configuration',
            'DEVICE.FILTER.SPEED, with "none" where there is no filter',
            "write the three ids with points between them",
            "A configuration is one device with one filter at one fan speed.",
        ),
        "not-a-target": Code(
            "A record is expected",
            '"{value}" does not name a record',
            "KIND:ID with device, run, comparison, table, method, video or filter",
            "write it as, for example, device:alder-3",
            "A change names what it affects by kind and id.",
        ),
    }
)

TOGETHER: Mapping[str, Code] = MappingProxyType(
    {
        "id-twice": Code(
            "An id is given twice",
            'the id "{value}" stands in this list already',
            "each id once",
            "choose another id, or delete one of the two",
            "Results are filed under the id, so it must name one thing only.",
        ),
        "empty-list": Code(
            "The list is empty",
            "the list is empty",
            "at least one item",
            "add an item, or leave the field out if it can be left out",
            "An empty list says nothing that leaving the field out would not say.",
        ),
        "filter-none": Code(
            'The filter "none" is listed',
            '"none" stands for running without a filter and is always allowed',
            "ids of filters",
            "delete the entry",
            "The word is reserved; a filter of this name could not be told from no"
            " filter.",
        ),
        "rating-without-date": Code(
            "The date of the look-up is missing",
            "the directory was looked up, but the date is missing",
            "a date for found and not_found",
            'add "date", or write "outcome: not_checked"',
            "Directories change. What one lists is true only of the day on which it"
            " was read.",
        ),
        "months-or-hours": Code(
            "The lifetime needs one of two units",
            "the lifetime gives both months and hours, or neither",
            'either "months" or "hours"',
            "keep the one that the figure was stated or measured in",
            "Filters wear with running time or with calendar time; which of the two"
            " holds decides what a year costs.",
        ),
        "lifetime-crossed": Code(
            "The lifetime lies outside its own range",
            "the lifetime {value} does not lie between {low} and {high}",
            "low, then the lifetime, then high, all in one unit",
            "correct one of the three",
            "The range is the shortest and the longest plausible lifetime. The cheap"
            " and the dear end of the costs are reckoned with it.",
        ),
        "no-fractions": Code(
            "A particle instrument has no fractions",
            "a particle instrument does not say what it reads",
            '"fractions" with at least one size fraction',
            "add them",
            "Unit, resolution and range of each size fraction are needed to weigh"
            " its readings.",
        ),
        "calibrations-out-of-order": Code(
            "The calibrations are out of order",
            "the calibrations do not stand in order of their dates",
            "oldest first",
            "put them in order",
            "The latest calibration before a run counts for it. In order, a gap or"
            " a slip in a date is seen at once.",
        ),
        "rejected-without-decision": Code(
            "A rejected run gives no reason",
            "the run is rejected, but no decision says why",
            '"decision" with by, on, cause and text',
            "add it",
            "Nothing unfavourable is dropped silently: a rejected run stays on"
            " view, with the reason.",
        ),
        "superseded-without-successor": Code(
            "A superseded run names no successor",
            "the run is superseded, but not by which run",
            '"superseded_by" with the id of a run',
            "add it",
            "A reader who arrives at the old run must be led to the one that counts.",
        ),
        "not-one-test": Code(
            "A condition needs one test",
            "the condition has no test, or more than one",
            "one of is, one_of, at_most, at_least",
            "keep one; write a second condition for a second test",
            "Each condition holds one field against one test; all conditions of a"
            " list must be met.",
        ),
        "list-or-where": Code(
            "A comparison needs a list or conditions",
            "the comparison has both a list of configurations and conditions, or"
            " neither",
            'either "configurations" or "where"',
            "keep one of the two",
            "Configurations are either named one by one or found by conditions.",
        ),
        "scatter-needs-axes": Code(
            "A scatter needs two axes",
            "a scatter does not say what stands across and up",
            '"x" and "y", each the name of a quantity',
            "add them",
            "The figure draws one quantity against another.",
        ),
        "configuration-twice": Code(
            "A configuration is listed twice",
            '"{value}" stands in this list already',
            "each configuration once",
            "delete one of the two",
            "It would be drawn twice and ranked against itself.",
        ),
        "order-not-shown": Code(
            "A table is sorted by a column that it does not show",
            'the table has no column "{value}" to be sorted by',
            "one of its columns ({choices}), with a leading hyphen for the largest"
            " first",
            'add "{value}" to "columns", or sort by a column that is there',
            "The head of the column that a table is sorted by says so; an order that"
            " cannot be seen would look like none.",
        ),
        "chapters-out-of-order": Code(
            "The chapters are out of order",
            "the chapter does not begin after the one before, or the first does not"
            " begin at 0:00",
            "0:00 first, then ascending",
            "check the times",
            "Video sites show chapters only when the first begins at 0:00 and each"
            " begins after the one before.",
        ),
        "moved-or-gone": Code(
            "An address needs one fate",
            "the address is said to be both moved and gone, or neither",
            'either "moved_to" or "gone"',
            "keep one of the two",
            "A moved address leads on to its new place; a gone one says why there"
            " is none.",
        ),
        "window-backward": Code(
            "The fitted part ends before it begins",
            "the fitted part begins at {start} min and ends at {end} min",
            "an end after the start",
            "check both figures",
            "Both are minutes of the series' elapsed time.",
        ),
        "row-width": Code(
            "A row has another length than the columns",
            "the row has {found} cells and there are {wanted} columns",
            "a cell for each column",
            "leave the edition as it was pinned",
            "An edition is written once, by pin, and shows what was published on its"
            " day. A row of another length can no longer be read.",
        ),
    }
)
