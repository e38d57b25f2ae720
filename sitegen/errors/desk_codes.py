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
            'cv, degrees_of_freedom and adopted below "repeatability"',
            "write the values named by --only-show by hand",
            "The command changes nothing but the three values, so that comments and"
            " spelling stay. Where they are written by an alias or in another unusual"
            " way, it leaves the record to its author.",
        ),
    }
)
