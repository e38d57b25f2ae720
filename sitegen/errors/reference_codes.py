"""Words for what is wrong between records."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

REFERENCES: Mapping[str, Code] = MappingProxyType(
    {
        "unknown-reference": Code(
            "There is no such record",
            'there is no {kind} "{id}"',
            "an id from {folder}",
            'did you mean "{guess}"?',
            "The field names another record by its id, which is the name of that"
            " record's file without its ending.",
        ),
        "filter-not-of-device": Code(
            "The device does not have this filter",
            'the device "{device}" lists no filter "{value}"',
            "{choices}",
            'did you mean "{guess}"?',
            "A device lists the filters that fit it. The filter none, running"
            " without one, is always allowed.",
        ),
        "speed-not-of-device": Code(
            "The device does not have this fan speed",
            'the device "{device}" has no fan speed "{value}"',
            "{choices}",
            'did you mean "{guess}"?',
            "A device lists its fan speeds by id; the label that is printed on it"
            " may be another.",
        ),
        "specimen-not-of-device": Code(
            "The device does not have this specimen",
            'the device "{device}" lists no specimen "{value}"',
            "{choices}",
            'did you mean "{guess}"?',
            "A run says which unit was tested, and the device says where that unit"
            " came from.",
        ),
        "method-kind": Code(
            "The method does not fit the run",
            'the method "{method}" is one of {found}',
            "a method of {wanted}",
            "name another method, or correct the kind of the run",
            "Decay and natural-decay runs follow a decay method, sound runs a sound"
            " method, power runs a power method.",
        ),
        "natural-kind": Code(
            "A run listed as natural decay is none",
            'the run "{run}" is of kind {found}',
            "runs of kind natural-decay",
            "name a natural decay",
            "What is subtracted from a decay is the decay of the room without the"
            " device.",
        ),
        "natural-method": Code(
            "A natural decay follows another method",
            'the natural decay "{run}" follows the method "{found}"',
            'the method "{wanted}", or one declared comparable with it',
            "name another natural decay, or declare the methods comparable",
            "A natural decay of another room or aerosol is no measure of what the"
            " room did in this run.",
        ),
        "series-missing": Code(
            "The series file is missing",
            "there is no series/{series}.csv",
            "the name of a file in series, without .csv",
            'did you mean "{guess}"?',
            "A decay run rests on the series that it names.",
        ),
        "instrument-kind": Code(
            "The instrument measures something else",
            'the instrument "{instrument}" is of kind {found}',
            "an instrument of kind {wanted}",
            "name another instrument",
            "A decay method needs particle instruments, a sound method a sound level"
            " meter, a power method a power meter.",
        ),
        "fraction-not-read": Code(
            "No instrument reads the primary fraction",
            'no instrument of the method reads "{value}"',
            "{choices}",
            "name a fraction that the instruments read, or add an instrument",
            "Results are headed by the primary fraction, so at least one instrument"
            " of the method must read it.",
        ),
        "comparable-kind": Code(
            "Methods of two kinds cannot be comparable",
            'the method "{method}" is one of {found}',
            "a method of {wanted}",
            "delete the entry",
            "Only results of one quantity can stand beside each other.",
        ),
        "unknown-quantity": Code(
            "There is no such quantity",
            'there is no quantity "{value}" to show here',
            "{choices}",
            'did you mean "{guess}"?',
            "Columns, axes, orders and conditions name quantities as the header of"
            " data/results.csv has them.",
        ),
        "test-needs-number": Code(
            "The field holds no numbers",
            '"{value}" holds words and cannot be held against a number',
            '"is" or "one_of"',
            "use one of these tests",
            "at_most and at_least compare numbers.",
        ),
        "edition-twice": Code(
            "Two editions have one address",
            'the edition "{other}" of this comparison has the same date',
            "one edition of a comparison a day",
            "delete one of the two",
            "An edition's address is made of its comparison and its date.",
        ),
        "edition-name": Code(
            "An edition's file has another name than its address",
            'the edition is called "{id}"',
            'the name of its comparison and its date, "{wanted}"',
            "rename the file",
            "An edition's address is made of its comparison and its date. Named so, its"
            " address follows from its id, as that of every record does.",
        ),
        "acquisition-missing": Code(
            "It is not said how the device was acquired",
            "it is not said how {what} came to the bench",
            '"acquired" with how (bought, lent or given) and date, for each specimen',
            'add it, or write "held: yes" until it is known',
            "A reader is owed this before any link that can earn money, so a device"
            " without it is not published.",
        ),
        "supersession-cycle": Code(
            "Records replace each other in a circle",
            "the successors lead back to this record ({circle})",
            "a last record that is replaced by none",
            "delete one of the links",
            "A reader who follows the successors must arrive somewhere.",
        ),
        "rate-missing": Code(
            "The exchange rate is missing",
            'there is no rate from "{currency}" to "{wanted}"',
            'a rate for each foreign currency under "rates" in archive.yaml',
            "add the rate with its date and source",
            "Costs are reckoned in the archive's currency. A price in another one"
            " cannot be compared without a dated rate.",
        ),
        "unknown-navigation": Code(
            "The navigation leads nowhere",
            'there is no page "{value}"',
            "{choices}, or the id of a prose page",
            'did you mean "{guess}"?',
            "The navigation names first segments of addresses.",
        ),
        "media-missing": Code(
            "The file is missing",
            "there is no {path}",
            "the path of a file below {folder}",
            'did you mean "{guess}"?',
            "Photographs lie in photos, sound recordings in audio.",
        ),
        "address-present": Code(
            "An address is said to be left, yet has a record",
            'there still is a {kind} "{id}"',
            "ids that have no record any more",
            "delete the entry, or the record",
            "addresses.yaml lists what was published once and is no longer there.",
        ),
        "address-twice": Code(
            "An address is listed twice",
            'the {kind} "{id}" is listed already',
            "each address once",
            "delete one of the two",
            "An address can lead to one place only.",
        ),
        "address-lost": Code(
            "A moved address leads nowhere",
            'there is no {kind} "{id}" to lead to',
            "an id from {folder}",
            'did you mean "{guess}"?',
            "A moved address must lead to a record, or to an address that itself"
            " has moved to one or is gone.",
        ),
        "released-lost": Code(
            "Something published before is no longer there",
            'the {kind} "{id}" was published with this release and has no record',
            "ids that have a record, or stand in records/addresses.yaml as moved or"
            " gone",
            "put the record back, or mark it with sitegen rename or sitegen gone",
            "An address that was published never dies: it shows the record, leads to"
            " where it is now, or says why it is gone. Nothing is compiled until one"
            " of these is decided.",
        ),
        "released-held": Code(
            "Something published before is held",
            'the {kind} "{id}" was published with this release and is held now,'
            " by {cause}",
            "records that are not held, once they have been published",
            "take the hold away, or mark the record as gone",
            "A record that is held has no page, so the address that was published"
            " would die. Mark what is in doubt with a correction instead: a record in"
            " records/changes of kind correction marks every page that it affects.",
        ),
        "released-forgotten": Code(
            "An address that had moved or was gone is forgotten",
            'the {kind} "{id}" had moved or was gone with this release and is no longer'
            " listed",
            "an entry of it in records/addresses.yaml",
            "put the entry back",
            "Whoever follows an old link still needs to be led on.",
        ),
        "address-circle": Code(
            "Moved addresses lead in a circle",
            'the {kind} "{id}" leads back to itself',
            "a move that ends at a record",
            "correct one of the moves",
            "A reader who follows the moves must arrive somewhere.",
        ),
    }
)

REFERENCE_WARNINGS: Mapping[str, Code] = MappingProxyType(
    {
        "series-unused": Code(
            "A series belongs to no run",
            "no run names this series",
            remedy="write the run record, or delete the file",
            about="The series is kept, but nothing on the site rests on it.",
            severity="warning",
        ),
        "series-shared": Code(
            "Two runs name one series",
            'the run "{other}" names the same series',
            remedy="check that the right file is named in both",
            about="Two runs that rest on the same readings are one piece of evidence"
            " and would be counted as two.",
            severity="warning",
        ),
        "rate-stale": Code(
            "The exchange rate is stale",
            'the price is of {day}, and the nearest rate from "{currency}" to'
            ' "{wanted}" is of {rated}, {apart} days off',
            "a rate at most {most} days from the price (rates_valid_days in"
            " archive.yaml)",
            'add a rate of about that day under "rates" in archive.yaml',
            "The amount is converted at the nearest rate all the same, and the page"
            " prints both days. Exchange rates move, so that a rate far from the price"
            " gives a cost of neither day.",
            severity="warning",
        ),
    }
)
