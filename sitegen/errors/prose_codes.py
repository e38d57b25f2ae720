"""Words for what is wrong with a prose page."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sitegen.errors.code import Code

_LINKS = (
    "KIND:ID with device, run, comparison, table, method, video, filter or page;"
    " #HEADING; or an address that begins with https://, http:// or mailto:"
)

PROSE: Mapping[str, Code] = MappingProxyType(
    {
        "prose-without-title": Code(
            "A prose page has no title",
            "the text has no heading",
            "a first line such as: # How we measure",
            "write the heading",
            "The first heading of a prose page is its title and the name under which"
            " it is listed.",
        ),
        "link-unknown": Code(
            "A link leads nowhere",
            'there is no "{target}" to link to',
            "an id of the archive",
            'did you mean "{guess}"?',
            "Links between pages name a record by its kind and id, so that they stay"
            " right when addresses change.",
        ),
        "link-refused": Code(
            "A link is not taken",
            '"{target}" is nothing that can be linked',
            _LINKS,
            "correct the address",
            "Other kinds of addresses can run something on a reader's device, or"
            " break when the site moves.",
        ),
        "link-fragment-unknown": Code(
            "A link leads to no heading",
            'there is no heading "#{target}" on this page',
            "the words of a heading of the page, lower-case, with hyphens between",
            "correct the link or the heading",
            "A link that begins with # leads to a heading on the same page.",
        ),
        "image-refused": Code(
            "Only figures of comparisons stand in a text",
            '"{target}" is no figure',
            "![caption](comparison:ID)",
            "name a comparison; photographs belong to the record of a device",
            "Pictures from elsewhere would make a reader's browser ask another site,"
            " and nothing on these pages does.",
        ),
        "figure-not-alone": Code(
            "A figure stands within other text",
            'the figure "{target}" does not stand in a paragraph of its own',
            "an empty line before and after it, on a prose page",
            "give it a paragraph of its own, or link to the comparison instead",
            "A figure brings a table along and cannot stand inside a sentence, a list"
            " or the text of a record.",
        ),
        "caution-left-out": Code(
            "A layout leaves a caution out",
            'a page made with the layout "{layout}" lacks the caution "{titles}"',
            "layouts that show every caution of the page",
            'show them with the part "parts/caution.html"',
            "Cautions follow from the records and cannot be switched off. A layout of"
            " the archive may place them elsewhere and add to them; it may not leave"
            " them out or word them anew.",
        ),
    }
)
