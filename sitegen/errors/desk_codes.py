"""Words for what a command at the tester's desk refuses to do."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

DESK: Mapping[str, Code] = MappingProxyType(
    {
        "not-a-decay-method": Code(
            "There is no such decay method",
            '"{value}" is no decay method of this archive',
            "{choices}",
            'did you mean "{guess}"?',
            "Only methods of kind decay have a repeatability; it is of their CADR.",
        ),
        "repeatability-too-few": Code(
            "The repeats are too few for a repeatability",
            "the repeats under this method have {degrees} degrees of freedom",
            "at least 8, better 20: each setting gives one less than it has runs",
            "repeat more settings, then adopt",
            "A repeatability makes the interval of every result under its method. From"
            " a handful of repeats it would be off by a third or more, and all"
            " intervals with it.",
        ),
        "record-not-editable": Code(
            "The record cannot be edited by the command",
            "this part is written in a way that the command would have to rewrite",
            "a field and its values, a line each, that nothing else refers to",
            "write the values named by --only-show by hand",
            "The command changes nothing but the values that it names, so that comments"
            " and spelling stay. Where they are written by an alias or in another"
            " unusual way, it leaves the record to its author.",
        ),
        "decision-not-asked": Code(
            "The run waits for no such decision",
            'the run "{run}" has no check "{value}" that waits for a decision',
            "{choices}",
            'did you mean "{guess}"?',
            "Only checks that are marked for a decision wait for one; the run's page"
            " and sitegen worklist name them. Once a decision is recorded, none of the"
            " run's checks waits any longer.",
        ),
        "decision-more-asked": Code(
            "The run waits for more than this decision",
            'the run "{run}" also waits for a decision on {choices}',
            "one decision that names every check that waits, for a record holds one",
            "give all of them: {command}",
            "A run's record holds a single decision, and with it none of its checks"
            " waits any longer. So each of them has to be named, with what was found.",
        ),
        "run-so-already": Code(
            "The run has this status already",
            'the run "{run}" is {status} already',
            "a status that the run does not have yet",
            "correct the reason by hand, or record a decision with --decide",
            "A reason that is recorded stays; it is changed in the record, by hand.",
        ),
        "price-there": Code(
            "The price is there already",
            'the record holds a price of kind "{kind}" of {day} already',
            "one price of a kind a day",
            "give another day, or correct that price by hand",
            "A price that was seen stays as it was seen, for costs published with it"
            " rest on it. A new one is put beside it with its own date.",
        ),
        "price-older": Code(
            "The record holds a newer price",
            "the price of this filter is of {day}, and the new one is of {new}",
            "a price of a later day",
            "correct the price by hand, if it was wrong",
            "A filter's record holds one price, the newest.",
        ),
    }
)
