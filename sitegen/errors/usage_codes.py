"""Words for a command that was asked for something that it does not do."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

_OPTIONS: Mapping[str, Code] = MappingProxyType(
    {
        "options-together": Code(
            "Two options belong together",
            "{first} was said without {second}",
            "both of them, or neither",
            "add {second}",
            "Each of the two means nothing without the other.",
        ),
        "options-one-of": Code(
            "One of several options has to be said",
            "{said} of {choices} was said",
            "one of them",
            "say one; sitegen COMMAND --help shows an example",
            "The command does one thing at a time, so that what it writes can be read"
            " over.",
        ),
        "code-unknown": Code(
            "There is no such code",
            'there is no code "{value}"',
            "a code as it stands in brackets behind a fault or warning",
            'did you mean "{guess}"?',
            "Codes are permanent, and every fault and warning ends with one.",
        ),
        "kind-unknown": Code(
            "There is no such kind of record",
            'there is no kind "{value}"',
            "{choices}",
            'did you mean "{guess}"?',
            "Kinds are the words before the colon in KIND:ID.",
        ),
        "not-kind-and-id": Code(
            "That names no record",
            "{value} does not name a record",
            "KIND:ID, such as device:alder-3",
            "write kind and id with a colon between them",
            "Ids are unique within their kind only.",
        ),
        "said-no": Code(
            "The question was answered with no",
            "stopped; nothing was written",
            remedy="state what is wrong by options (how a log reads with --log"
            " FIELD=VALUE), then run it again",
            about="What is shown is written only when it is confirmed.",
        ),
        "page-unknown": Code(
            "No compile has written such a page",
            "no compile of this archive has written such a file",
            "an address such as /devices/, or a path below published",
            "compile first, or look at the address again",
            "What a page is made of is known from the compile that made it.",
        ),
        "reason-missing": Code(
            "The reason is missing",
            "it is not said why, in one line",
            "one line that readers will see",
            "say it with --because",
            "What changes or leaves a published archive is explained to its readers.",
        ),
    }
)

_FOLDERS: Mapping[str, Code] = MappingProxyType(
    {
        "folder-is-a-file": Code(
            "There is a file of that name",
            "{path} is a file",
            "a folder that is new or empty",
            "name another folder",
            "A new archive is written into a folder of its own.",
        ),
        "folder-not-empty": Code(
            "The folder holds something",
            "{path} is not empty",
            "a folder that is new or empty",
            "name another folder",
            "A new archive is never written over something that is there.",
        ),
        "no-counter-named": Code(
            "No particle counter is named",
            "no particle counter is named",
            "at least one",
            "name it with --instrument",
            "The method that a new archive begins with needs one.",
        ),
        "record-other-kind": Code(
            "The record is of another sort",
            "{path} is no {wanted}",
            remedy="name another record",
            about="Methods and runs come in several sorts; here only one of them fits.",
        ),
    }
)

_ADDRESSES: Mapping[str, Code] = MappingProxyType(
    {
        "not-renamed": Code(
            "Such a record cannot be renamed",
            "a {kind} cannot be renamed",
            "{choices}",
            about="The ids of the others stand in files that are not edited, such as"
            " the series.",
        ),
        "id-same": Code(
            "The new id is the old one",
            'the new id "{value}" is the old one',
            "an id that no record of the kind has",
            about="There is nothing to rename.",
        ),
        "id-taken": Code(
            "There is a record of that id",
            'there already is a {kind} "{value}"',
            "an id that no record of the kind has",
            about="Two records of one kind cannot share an address.",
        ),
        "id-too-long": Code(
            "The id of an edition would be too long",
            'the id of the edition, "{value}", is longer than 64 signs',
            "a comparison whose id leaves room for the day of its editions",
            "give the comparison a shorter id with sitegen rename",
            "An edition's id is that of its comparison and its day.",
        ),
        "without-address": Code(
            "Such a record has no address",
            "a {kind} has no address of its own",
            "{choices}",
            about="Only what has an address can be listed as gone.",
        ),
        "still-named": Code(
            "Other records rest on it",
            'the {kind} "{id}" is still named by {files}',
            "a record that no other rests on or links to",
            "correct these or take them away first",
            "What rests on a record that is gone could no longer be traced.",
        ),
        "not-published": Code(
            "It is not published",
            'no {kind} "{id}" is published',
            "one that compile publishes: it exists and is not held",
            'did you mean "{guess}"?',
            "Only what readers can see can be kept as it was.",
        ),
        "release-later": Code(
            "There is a later release",
            "there is a release of {day} already, later than that",
            "a day after the last release",
            "give another day with --today",
            "Releases are compared with the one before them.",
        ),
        "nothing-changed": Code(
            "No number changed without a change record",
            "no number changed without a change record",
            "--change only where the release asks for it",
            "release without --change and --because",
            "A change record that explains nothing would mislead.",
        ),
    }
)

_CLUSTER: Mapping[str, Code] = MappingProxyType(
    {
        "cluster-not-installed": Code(
            "The library for clusters is not installed",
            "a cluster needs sitegen installed with its extra named cluster",
            remedy="pip install 'sitegen[cluster]' here and on every worker",
            about="One machine does not need it.",
        ),
        "cluster-without-sitegen": Code(
            "The workers lack this sitegen",
            "its workers do not have this sitegen",
            "the same sitegen, Python and libraries on every worker",
            "install them there",
            "What workers return is published as it is.",
        ),
        "cluster-unlike": Code(
            "The workers are not like this machine",
            "not the same sitegen, Python and libraries as here, or more than one"
            " thread for matrix products ({settings} must be 1): {workers}",
            "workers that are alike",
            "install the same versions there",
            "What workers return is published as it is, and must be the same bytes.",
        ),
    }
)

USAGE: Mapping[str, Code] = MappingProxyType(
    {**_OPTIONS, **_FOLDERS, **_ADDRESSES, **_CLUSTER}
)
